"""What is written reads back the same, with quotes only where they are needed."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.yaml.edit import get, set_value
from planner.files.yaml.places import EditError
from planner.files.yaml.scalars import inline, is_plain, quoted, text_block
from planner.files.yaml.tree import scalar
from tests.files.yaml.pools import LONG, ODD, PLAIN
from tests.files.yaml.reading import read

#: Characters that YAML gives a meaning, and some that it does not.
MARKS = "-?:,[]{}#&*!|>'\"%@`~=<.\\/ \t\n0123456789abénoyestruf×😀\u00a0\u200b"
TEXTS = st.one_of(
    st.text(MARKS, max_size=12), st.text(st.sampled_from(MARKS), max_size=40), st.sampled_from(ODD + PLAIN + LONG)
)
NUMBERS = st.one_of(
    st.integers(),
    st.booleans(),
    st.none(),
    st.floats(allow_nan=False, allow_infinity=False, min_value=-1e200, max_value=1e200),
)


def _by_python(text: str) -> Any:
    """What PyYAML's own parser makes of the value of a."""
    events = list(yaml.parse(text, Loader=yaml.SafeLoader))
    found = [event for event in events if isinstance(event, yaml.events.ScalarEvent)]
    return scalar(found[-1])


@settings(max_examples=1500, deadline=None)
@given(TEXTS)
def test_text_behind_a_colon(value: str) -> None:
    """In every kind of quotes that was there before."""
    for like in ("", "'", '"'):
        line = f"a: {inline(value, like=like)}\n"
        assert read(line) == {"a": value}
        assert _by_python(line) == value


@settings(max_examples=1500, deadline=None)
@given(TEXTS, TEXTS)
def test_text_in_brackets(one: str, other: str) -> None:
    """Commas, brackets and colons between others do not come apart."""
    line = f"a: [{inline(one, True)}, {{b: {inline(other, True)}}}]\n"
    assert read(line) == {"a": [one, {"b": other}]}
    assert _by_python(line) == other


@settings(max_examples=500, deadline=None)
@given(TEXTS)
def test_text_behind_a_dash_and_as_a_key(value: str) -> None:
    """A dash, a question mark and a colon at the start of a text are text."""
    assert read(f"- {inline(value)}\n") == [value]
    key = inline(value)
    if "\n" not in key and len(key) < 1000 and value not in ("<<", ""):
        assert read(f"{key}: 1\n") == {value: 1}


@settings(max_examples=500, deadline=None)
@given(NUMBERS)
def test_what_is_no_text(value: float | bool | None) -> None:
    """Numbers, switches and nothing come back as they were, of the same type."""
    try:
        line = f"a: {inline(value)}\n"
    except EditError:
        assert isinstance(value, float)
        assert 0 < abs(value) < 1e-200
        return
    got = read(line)["a"]
    assert (type(got), got) == (type(value), value)


@settings(max_examples=500, deadline=None)
@given(TEXTS, st.sampled_from(["|", ">"]))
def test_text_as_a_block(value: str, style: str) -> None:
    """A block scalar of a text says the text, whatever its column."""
    made = text_block(value, style)
    if made is None:
        return
    header, lines = made
    for pad in ("  ", "      "):
        body = "".join(pad + line + "\n" if line else "\n" for line in lines)
        assert read(f"a: {header}\n{body}") == {"a": value}


@pytest.mark.parametrize(
    "value", ["no", "on", "yes", "1:30", "012", "20 min", "2027-02-13 17:00", "0x1f", "1e5", "it's"]
)
def test_what_stays_plain(value: str) -> None:
    """These are text as they stand: the reader takes only 12, 1.5, true, false, null, ~ for something else."""
    assert inline(value) == inline(value, True) == value


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("true", '"true"'),
        ("1", '"1"'),
        ("1.50", '"1.50"'),
        ("~", '"~"'),
        ("", '""'),
        ("null", '"null"'),
        (" lead", '" lead"'),
        ("trail ", '"trail "'),
        ("{narrow.first-line}", '"{narrow.first-line}"'),
        ("a: b", '"a: b"'),
        ("ends:", '"ends:"'),
        ("a # b", '"a # b"'),
        ("- a", '"- a"'),
        ("@a", '"@a"'),
        ('say "hi": now', "'say \"hi\": now'"),
        ("back\\slash: it's", '"back\\\\slash: it\'s"'),
        ("one\ttwo", '"one\\ttwo"'),
        ("one\ntwo", '"one\\ntwo"'),
    ],
)
def test_what_is_quoted(value: str, written: str) -> None:
    """In the quotes that need no escapes, where there are such."""
    assert inline(value) == written


def test_brackets_want_more_quotes() -> None:
    """A comma is text behind a colon and ends a text in brackets."""
    assert inline("a, b") == "a, b"
    assert inline("a, b", True) == '"a, b"'
    assert inline("what?", True) == '"what?"'
    assert is_plain("1:30", True)
    assert not is_plain("a:", True)
    assert not is_plain("-]", True)


def test_quotes_as_before() -> None:
    """A text keeps the quotes that it had; escapes are only in double ones."""
    assert inline("plain", like="'") == "'plain'"
    assert inline("it's", like="'") == "'it''s'"
    assert inline("a\nb", like="'") == '"a\\nb"'
    assert inline(5, like="'") == "5"
    assert quoted("it's", "'") == '"it\'s"'


@pytest.mark.parametrize("bad", ["\x00", "\x07", "\x1b[31m", "a\rb", "\x7f", "\x85", "\u2028", "\ufeff", "\ud800"])
def test_what_no_file_can_hold(bad: str) -> None:
    """Such a character is named; nothing is written."""
    with pytest.raises(EditError, match=r"U\+[0-9A-F]{4}"):
        set_value("a: 1\n", ("a",), bad)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -float("inf")])
def test_no_number(bad: float) -> None:
    """Not a number, and nothing endless."""
    with pytest.raises(EditError, match="not a number"):
        set_value("a: 1\n", ("a",), bad)


def test_long_lines_fold_where_they_were_folded() -> None:
    """A folded text stays folded, cut where it reads back the same."""
    text = "do: >\n  A few words\n  more\nnote: x\n"
    long = "Clamp it down, " * 12 + "and check.\n"
    new = set_value(text, ("do",), long)
    assert get(new, ("do",)) == long
    assert new.startswith("do: >\n  Clamp it down, ")
    assert max(len(line) for line in new.splitlines()) <= 102
    assert new.endswith("\nnote: x\n")
