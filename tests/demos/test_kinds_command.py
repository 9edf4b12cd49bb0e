"""``planner kinds`` tells what the file of kinds says, in the terminal and as JSON."""

from __future__ import annotations

import contextlib
import io
import json

import pytest

from planner.commands import main
from planner.files.build.kinds import shipped_kinds

KINDS = shipped_kinds()


def said(*argv: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a command."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(argv)
    return code, out.getvalue(), err.getvalue()


def test_every_kind_is_listed_with_what_it_means() -> None:
    """One line a kind, in the order of the file."""
    code, out, _ = said("kinds")
    assert code == 0
    lines = out.splitlines()
    assert [line.split()[0] for line in lines[: len(KINDS)]] == list(KINDS)
    assert all(kind.means in out for kind in KINDS.values())


@pytest.mark.parametrize("name", list(KINDS))
def test_one_kind_shows_all_that_it_brings(name: str) -> None:
    """Words with their meaning, cautions whole, and the same facts as JSON."""
    kind = KINDS[name]
    code, out, _ = said("kinds", name)
    assert code == 0
    flat = " ".join(out.split())
    for ref in (*kind.needs, *kind.gives, *kind.spoils, *kind.used_up, *kind.counts_when):
        assert str(ref) in flat
    assert all(caution in flat for caution in kind.cautions)
    answer = json.loads(said("kinds", name, "--json")[1])
    (row,) = answer["kinds"]
    assert answer["format"] == 1
    assert (row["kind"], row["needs"], row["time_s"]) == (name, [str(ref) for ref in kind.needs], kind.time)
    assert set(row["words"]) == {
        ref.name for ref in (*kind.needs, *kind.gives, *kind.spoils, *kind.used_up, *kind.counts_when)
    }


@pytest.mark.parametrize(
    ("typed", "meant"), [("saw", "cut"), ("grinding", "dress"), ("tak", "tack"), ("zinc", "galvanise")]
)
def test_an_unknown_kind_names_near_ones(typed: str, meant: str) -> None:
    """By spelling, and by what else people call the work."""
    code, out, err = said("kinds", typed)
    assert (code, out) == (2, "")
    assert f"there is no kind {typed}" in err
    assert meant in err.partition("near it:")[2] and "planner kinds" in err


def test_the_output_stays_in_a_narrow_terminal() -> None:
    """Nothing but the list itself runs past a hundred columns."""
    for name in KINDS:
        assert max(len(line) for line in said("kinds", name)[1].splitlines()) <= 100, name
