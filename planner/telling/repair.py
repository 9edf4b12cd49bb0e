"""A finding in full, and the order that its repair leads to with the lines that change. Pure."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, NamedTuple

from planner.plan.changes import moved
from planner.plan.messages import split_grounded
from planner.plan.model import Finding
from planner.telling.finding import Row, in_words, names_of, place_says, sentence, shown_name
from planner.telling.looks import LEVEL_GLYPHS, Line, line
from planner.telling.step import meaning, repair_lines

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened

AROUND = 2  # unchanged operations shown on either side of a change
MOST = 400  # operations compared line by line; a longer stretch is shown as moved whole


class Changed(NamedTuple):
    """An operation in the repaired order: ``how`` is same, earlier, later, new or a gap of unchanged ones."""

    how: str
    name: str


def changed_lines(before: Sequence[str], after: Sequence[str], moved: Collection[str] = ()) -> list[Changed]:
    """The repaired order, every operation marked by how its place changes; long unchanged runs left out.

    Where it is all in the moving of ``moved``, these are marked and not what they pass on their way.
    """
    start = 0
    while start < min(len(before), len(after)) and before[start] == after[start]:
        start += 1
    end = 0
    while end < min(len(before), len(after)) - start and before[-1 - end] == after[-1 - end]:
        end += 1
    old, new = before[start : len(before) - end], after[start : len(after) - end]
    marks = _marks(old, new, moved)
    found = [Changed("same", name) for name in after[:start]]
    found += [Changed(how, name) for how, name in zip(marks, new, strict=True)]
    found += [Changed("same", name) for name in after[len(after) - end :]]
    return _without_long_runs(found)


def _marks(old: Sequence[str], new: Sequence[str], moved: Collection[str]) -> list[str]:
    """How each of new has moved: what keeps its order stays the same, the rest is earlier, later or new."""
    if moved and [name for name in old if name not in moved] == [name for name in new if name not in moved]:
        kept = {index for index, name in enumerate(new) if name not in moved}
    elif len(new) <= MOST:
        kept = {
            index
            for block in SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks()
            for index in range(block.b, block.b + block.size)
        }
    else:
        kept = set()
    first = {name: index for index, name in reversed(list(enumerate(old)))}
    left: dict[str, int] = {}
    for name in old:
        left[name] = left.get(name, 0) + 1
    marks = []
    for index, name in enumerate(new):
        if index in kept:
            left[name] -= 1
            marks.append("same")
        elif left.get(name, 0) <= 0:
            marks.append("new")
        else:
            left[name] -= 1
            marks.append("earlier" if index < first[name] else "later")
    return marks


def _without_long_runs(found: Sequence[Changed]) -> list[Changed]:
    near = [False] * len(found)
    for index, each in enumerate(found):
        if each.how != "same":
            for at in range(max(0, index - AROUND), min(len(found), index + AROUND + 1)):
                near[at] = True
    out: list[Changed] = []
    for index, each in enumerate(found):
        if near[index]:
            out.append(each)
        elif not out or out[-1].how != "gap":
            out.append(Changed("gap", ""))
    return out


_MARKS = {
    "same": ("  same     ", "dim"),
    "earlier": ("↑ earlier  ", "waits"),
    "later": ("↓ later    ", "waits"),
    "new": ("+ put in   ", "done"),
    "gap": ("  …", "dim"),
}


def trap_lines(opened: Opened, row: Row) -> list[Line]:
    """Everything about the findings of one row: in words first, then its cure, its names last."""
    one, finding = opened.one, row.first
    glyph = LEVEL_GLYPHS[finding.level]
    head = f"{glyph} was a {finding.level}; it is ticked already" if finding.history else f"{glyph} {finding.level}"
    lines = [line((head, finding.level), ("   cannot be undone once it is done", "trap") if finding.one_way else "")]
    repairs = opened.known_repairs()
    cured = repairs is not None and finding.id in repairs.by_finding
    todo = "" if cured or not finding.todo else f" {in_words(one.plan, finding.todo)}"
    lines += [line((f"{sentence(one.plan, row)}.", "strong"), todo)]
    repair = repair_lines(opened, finding)
    if repair:
        lines += [(), *repair]
    lines += [(), line(("where    ", "head"), place_says(one.plan, finding))]
    if finding.at.startswith("(episode "):  # its sentence has said all of it
        return [*lines, (), line((names_of(row), "dim"))]
    lines.append(line(("at       ", "head"), _named(one, finding.at)))
    for twin in row.findings[1:]:
        lines.append(line(("and at   ", "head"), _named(one, twin.at)))
    if finding.condition is not None:
        name = split_grounded(finding.condition)[0]
        known = name in one.plan.build.conditions
        says = meaning(one, finding.condition) if known else finding.condition
        lines.append(line(("needs    ", "head"), says, (f"  {finding.condition}", "dim")))
    if finding.cause is not None:
        lines.append(line(("cause    ", "head"), _named(one, finding.cause)))
    if finding.also:
        lines.append(line(("also     ", "head"), "; ".join(shown_name(each) for each in finding.also)))
    return [*lines, *_order_lines(opened, finding), (), line((names_of(row), "dim"))]


def _named(one: OneBuild, name: str) -> str:
    """An operation by its name and by what it does."""
    op = one.live.by_name.get(name)
    return shown_name(name) if op is None else f"{shown_name(name)}: {one.said(op)}"


def _order_lines(opened: Opened, finding: Finding) -> list[Line]:
    """The order that the repair leads to, and which lines of it change."""
    repairs, one = opened.known_repairs(), opened.one
    repair = repairs.by_finding.get(finding.id) if repairs is not None else None
    if repair is None or one is None:
        return []
    now = [op.name for op in one.live.order().operations]
    rows = changed_lines(now, repair.order, moved(repair.change, now))
    count = sum(1 for row in rows if row.how not in ("same", "gap"))
    change = f"   {count} of {len(repair.order)} lines change"
    lines: list[Line] = [(), line(("the order then", "head"), (change, "dim"))]
    for row in rows:
        word, look = _MARKS[row.how]
        lines.append(line((word, look), (shown_name(row.name), "strong" if row.how != "same" else "")))
    if repair.kind in ("turns", "pace"):
        lines.append(line(("The rounds and sides go in this order; no step is put elsewhere.", "dim")))
    return lines
