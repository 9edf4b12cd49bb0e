"""Parts of another text taken over: all of them make it the other text, none of them leaves it as it was."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.files.editing.taking import parts_of, with_part

LINES = st.lists(st.sampled_from(["  - step: cut", "    do: Cut", "", "stages:", "# a", "x"]), max_size=12)


def text_of(lines: list[str], end: str = "\n") -> str:
    return "".join(line + end for line in lines)


@given(LINES, LINES)
def test_taking_every_part_gives_the_other_text(ours: list[str], theirs: list[str]) -> None:
    text, other = text_of(ours), text_of(theirs)
    for part in reversed(parts_of(text, other)):  # from the end, so that the places of the others stand
        text = with_part(text, part)
    assert text == other
    assert parts_of(text, other) == []


@given(LINES, LINES, st.data())
def test_one_part_taken_leaves_the_others(ours: list[str], theirs: list[str], data: st.DataObject) -> None:
    text, other = text_of(ours), text_of(theirs)
    parts = parts_of(text, other)
    if not parts:
        return
    part = data.draw(st.sampled_from(parts))
    taken = with_part(text, part).splitlines()
    assert taken[: part.start] == ours[: part.start]
    assert taken[part.start : part.start + len(part.theirs)] == [line.rstrip("\n") for line in part.theirs]
    assert taken[part.start + len(part.theirs) :] == ours[part.end :]


@given(LINES, LINES)
def test_our_line_ends_stay(ours: list[str], theirs: list[str]) -> None:
    text, other = text_of(["first", *ours], "\r\n"), text_of(["first", *theirs])
    for part in reversed(parts_of(text, other)):
        text = with_part(text, part)
    assert text == text_of(["first", *theirs], "\r\n")


def test_a_part_names_the_step_it_stands_in() -> None:
    ours = "stages:\n  - stage: Cut\n    steps:\n      - step: saw\n        do: Saw\n      - {step: dress, do: Dress}\n"
    (part,) = parts_of(ours, ours.replace("do: Saw\n", "do: Saw it\n"))
    assert part.within == "step saw"
    (part,) = parts_of(ours, ours.replace("do: Dress", "do: Dress it"))
    assert part.within == "step dress"
