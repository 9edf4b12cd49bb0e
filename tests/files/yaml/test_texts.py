"""New text in the file's own hand, by example, with the resulting text in full."""

from __future__ import annotations

import pytest

from planner.files.yaml.edit import get, insert, move, remove, rename_key, set_scalars, set_value
from planner.files.yaml.places import EditError


@pytest.mark.parametrize(
    ("text", "new"),
    [
        ("a:\n  - x\n  - y\nb:\n  - z\n", "a:\n  - x\n  - y\nb:\n  - z\nc:\n  - v\n  - w\n"),
        ("a:\n- x\n- y\n", "a:\n- x\n- y\nc:\n- v\n- w\n"),
        ("a:\n    -   x\n    -   y\n", "a:\n    -   x\n    -   y\nc:\n    -   v\n    -   w\n"),
        ("a: [x, y]\n", "a: [x, y]\nc: [v, w]\n"),
        ("a: [ x, y ]\n", "a: [ x, y ]\nc: [ v, w ]\n"),
        ("a: 1\n", "a: 1\nc: [v, w]\n"),
        ("a: 1\r\n", "a: 1\r\nc: [v, w]\r\n"),
        ("a: 1", "a: 1\nc: [v, w]\n"),
        ("\ufeffa: 1\n", "\ufeffa: 1\nc: [v, w]\n"),
        ("{a: 1}\n", "{a: 1, c: [v, w]}\n"),
        ("{ a: 1 }\n", "{ a: 1, c: [v, w] }\n"),
        ('{"a": "x", "b": 1}\n', '{"a": "x", "b": 1, "c": ["v", "w"]}\n'),
        ("a: 1\n...\n", "a: 1\nc: [v, w]\n...\n"),
        ("--- # one\na: 1\n", "--- # one\na: 1\nc: [v, w]\n"),
        ("a: 1\n\n# the end\n", "a: 1\nc: [v, w]\n\n# the end\n"),
        ("a: 1\n\nb: 2\n", "a: 1\n\nb: 2\n\nc: [v, w]\n"),
    ],
)
def test_a_new_list_as_the_others_are(text: str, new: str) -> None:
    """Dashes or brackets, indentation, space inside brackets, line breaks, blank lines between keys."""
    assert set_value(text, ("c",), ["v", "w"]) == new


def test_a_long_list_is_written_one_item_a_line() -> None:
    """Where nothing in the file says otherwise, brackets that would be too long are not written."""
    names = [f"operation-number-{number}@passenger" for number in range(6)]
    assert set_value("a: 1\n", ("c",), list(names)) == "a: 1\nc:\n" + "".join(f"  - {name}\n" for name in names)


@pytest.mark.parametrize(
    ("text", "index", "new"),
    [
        ("a: [x, y]\n", 0, "a: [n, x, y]\n"),
        ("a: [x, y]\n", 1, "a: [x, n, y]\n"),
        ("a: [x, y]\n", 2, "a: [x, y, n]\n"),
        ("a: [x, y,]\n", 2, "a: [x, y, n,]\n"),
        ("a: []\n", 0, "a: [n]\n"),
        ("a: [ x ]\n", 1, "a: [ x, n ]\n"),
        ("a: [\n  x,\n  y,\n]\n", 2, "a: [\n  x,\n  y,\n  n,\n]\n"),
        ("a: [\n  x,\n  y\n]\n", 2, "a: [\n  x,\n  y,\n  n\n]\n"),
        ("a: [x,\n    y]\n", 2, "a: [x,\n    y,\n    n]\n"),
        ("a: [x,\n    y]\n", 1, "a: [x,\n    n,\n    y]\n"),
        ("a: [ # none\n]\n", 0, "a: [n # none\n]\n"),
        ("a:\n  - x\n\n  - y\n", 1, "a:\n  - x\n\n  - n\n\n  - y\n"),
        ("a:\n  - x\n\n  - y\n", 2, "a:\n  - x\n\n  - y\n\n  - n\n"),
        ("a:\n- x\n- y\n", 0, "a:\n- n\n- x\n- y\n"),
        ("a: # of these\n", 0, "a: [n] # of these\n"),
    ],
)
def test_an_item_more(text: str, index: int, new: str) -> None:
    """Inside brackets or with a dash, as its neighbours are."""
    assert insert(text, ("a",), index, "n") == new


def test_an_item_before_one_in_the_line_of_a_dash() -> None:
    """It takes that line, and the other one goes on a line of its own, below the dash's."""
    assert insert("c:\n- - x\n  - y\n", ("c", 0), 0, "n") == "c:\n- - n\n  - x\n  - y\n"
    text = "c:\n- - x\n  # second\n  - y\n"
    assert move(text, ("c", 0), 1, ("c", 0), 0) == "c:\n-\n  # second\n  - y\n  - x\n"


def test_the_last_item_leaves_empty_brackets() -> None:
    """An empty value would be no list."""
    assert remove("a:\n  - x  # why\nb: 1\n", ("a", 0)) == "a: []\nb: 1\n"
    assert remove("a: [x]\n", ("a", 0)) == "a: []\n"
    assert remove("a:\n  b: 1\n", ("a", "b")) == "a: {}\n"
    assert remove("a: # c\n- x\n", ("a", 0)) == "a: [] # c\n"


def test_an_empty_list_becomes_one_as_the_file_writes_them() -> None:
    """The comment behind the brackets stays in its line."""
    text = "a:\n  - stage: one\n    steps:\n      - step: x\n  - stage: two\n    steps: []  # none yet\n"
    new = insert(text, ("a", 1, "steps"), 0, {"step": "y", "do": "Y"})
    assert new == text.replace("steps: []  # none yet\n", "steps:  # none yet\n      - step: y\n        do: Y\n")


def test_an_item_is_in_brackets_where_its_neighbours_are() -> None:
    """A step in one line among steps in one line each."""
    text = "steps:\n  - {step: a, do: A}\n  - {step: b, do: B}\n"
    new = insert(text, ("steps",), 2, {"step": "c", "do": "C: now", "needs": ["x", "y"]})
    assert new == text + '  - {step: c, do: "C: now", needs: [x, y]}\n'


def test_a_text_of_several_lines() -> None:
    """As a block where there is room for one, in quotes where there is none."""
    assert set_value("a: x # c\nb: 1\n", ("a",), "one\ntwo\n") == "a: | # c\n  one\n  two\nb: 1\n"
    assert set_value("a: x\n", ("a",), "one\ntwo") == "a: |-\n  one\n  two\n"
    assert set_value("a: {b: x}\n", ("a", "b"), "one\ntwo") == 'a: {b: "one\\ntwo"}\n'
    assert set_value("a: x\n  # below\n", ("a",), "one\ntwo\n") == 'a: "one\\ntwo\\n"\n  # below\n'
    assert set_value("a: |\n    x\n\nb: 1\n", ("a",), "y\n") == "a: |\n    y\n\nb: 1\n"
    assert set_value("a: |+\n  x\n\nb: 1\n", ("a",), "y\n") == "a: |\n  y\nb: 1\n"
    assert set_value("a: >\n  x\n", ("a",), "y") == "a: >-\n  y\n"


def test_a_text_at_the_end_of_a_file_without_a_line_break() -> None:
    """It says what it said when something comes to stand below it."""
    text = "a: |\n  x"
    assert get(text, ("a",)) == "x"
    assert set_value(text, ("b",), 1) == "a: |-\n  x\nb: 1\n"
    assert set_value("a: x", ("b",), 1) == "a: x\nb: 1\n"
    assert get(set_value("a: |+\n  x\n\n  ", ("b",), 1)) == {"a": get("a: |+\n  x\n\n  ", ("a",)), "b": 1}


def test_blank_lines_that_a_text_keeps_are_its_own() -> None:
    """Nothing is put between, and nothing that is parted by a blank line is brought below it."""
    text = "a:\n  - |+\n    x\n\n  - y\n\nb: 1\n"
    assert insert(text, ("a",), 1, "n") == "a:\n  - |+\n    x\n\n  - n\n  - y\n\nb: 1\n"
    assert remove(text, ("a", 1)) == "a:\n  - |+\n    x\n\nb: 1\n"


def test_quotes_and_spacing_stay() -> None:
    """Of a changed text, and of everything else in its line."""
    assert set_value("a:   'x'   # c\n", ("a",), "it's") == "a:   'it''s'   # c\n"
    assert set_value('a: ["x" , y]\n', ("a", 0), "z") == 'a: ["z" , y]\n'
    assert set_value("a: 'x'\nb: y\n", ("b",), "1") == "a: 'x'\nb: '1'\n"
    assert set_value("? a\n: b\n", ("a",), "c") == "? a\n: c\n"


def test_only_what_differs_in_a_list_or_mapping_changes() -> None:
    """A form hands over all of it; the comments of what is the same stay."""
    text = "needs:\n  - a  # first\n  - b  # second\n  - c  # third\n"
    assert set_value(text, ("needs",), ["a", "c", "d"]) == "needs:\n  - a  # first\n  - c  # third\n  - d\n"
    text = "show:\n  lengths: mm   # as bought\n  temperature: C  # as read\n"
    assert set_value(text, ("show",), {"lengths": "inch 1/32", "temperature": "C"}) == text.replace("mm", "inch 1/32")


def test_order_of_keys() -> None:
    """A new key goes behind the last that comes before it."""
    text = "- step: a\n  note: n\n  do: A\n"
    assert set_value(text, (0, "kind"), "weld", ("step", "do", "kind", "note")).endswith("  do: A\n  kind: weld\n")
    assert set_value(text, (0, "x"), 1, ("x", "step")) == "- x: 1\n  step: a\n  note: n\n  do: A\n"
    assert set_value(text, (0, "unheard-of"), 1, ("step", "do")).endswith("  do: A\n  unheard-of: 1\n")


def test_several_texts_at_once_and_a_key_renamed() -> None:
    """In place, in the quotes that they had."""
    text = "a: [x, 'y', \"z\"]\n'b': {c: 1}  # d\n"
    assert (
        set_scalars(text, {("a", 0): "1", ("a", 1): "two", ("a", 2): "3"})
        == "a: [\"1\", 'two', \"3\"]\n'b': {c: 1}  # d\n"
    )
    assert rename_key(text, ("b",), "e.f").endswith("'e.f': {c: 1}  # d\n")
    with pytest.raises(EditError, match="already"):
        rename_key(text, ("b",), "a")


def test_moving_between_columns_and_line_breaks() -> None:
    """All lines of an item go as far as its dash."""
    text = "a:\r\n- b:\r\n  - x: |\r\n        deep\r\n      text\r\n    y: [1,\r\n      2]\r\n- c\r\n".replace(
        "        deep", "      deep"
    )
    assert move(text, ("a", 0, "b"), 0, ("a",), 2) == (
        "a:\r\n- b: []\r\n- c\r\n- x: |\r\n    deep\r\n    text\r\n  y: [1,\r\n    2]\r\n"
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: &x 1\nb: *x\n", "line 1, column 4: anchors"),
        ("a: 1\na: 2\n", "line 2, column 1: a stands here a second time"),
        ("a: !t 1\n", "tags"),
        ("a: 1\n---\nb: 2\n", "second document"),
        ("a: [1\n", "line"),
        ("", "empty"),
        ("a: {b\n", "{"),
        ("<<: {a: 1}\n", "<<"),
        ("? [a]\n: 1\n", "plain word"),
        ("[" * 40 + "]" * 40, "nested"),
    ],
)
def test_a_file_that_cannot_be_read_is_not_edited(text: str, said: str) -> None:
    """The problem and its place are told, as reading tells them."""
    with pytest.raises(EditError, match="must be mended first") as raised:
        set_value(text, ("z",), 1)
    assert said in str(raised.value)


def test_what_is_not_there() -> None:
    """Named, and nothing happens."""
    for path in (("b",), ("a", 3), ("a", 0, "c")):
        with pytest.raises(EditError, match="there is no"):
            remove("a: [1]\n", path)
    with pytest.raises(EditError, match="where there are no keys"):
        set_value("a: 1\n", ("a", "b"), 1)
    with pytest.raises(EditError, match="there is no"):
        insert("a: [1]\n", ("a",), 5, 1)
    with pytest.raises(EditError, match="braces"):
        remove("a: [b: c]\n", ("a", 0, "b"))
    with pytest.raises(EditError, match="itself"):
        move("a:\n- - 1\n", ("a",), 0, ("a", 0), 0)


def test_a_file_that_would_be_too_large() -> None:
    """What could not be read again is not written."""
    text = "a: x\n" + "# " + "y" * (4 * 1024 * 1024 - 20) + "\n"
    with pytest.raises(EditError, match="split it"):
        set_value(text, ("b",), "z" * 100)
    assert set_value(text, ("b",), 1).endswith("y\n")
