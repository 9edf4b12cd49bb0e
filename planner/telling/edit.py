"""What an edit comes to, in lines: the reader's own words where it is refused, else findings before and after. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from pathlib import PurePath

from planner.plan.model import Finding
from planner.plan.words import counted
from planner.session.writing.desk import Outcome, counts_of
from planner.telling.finding import in_words, rows_of, sentence
from planner.telling.looks import LEVEL_GLYPHS, Line, Piece, line

MOST = 4  # findings told by name
AROUND = 1  # unchanged lines shown beside a changed one


def outcome_lines(outcome: Outcome) -> list[Line]:
    """Why it cannot be kept, or what becomes of the findings."""
    if outcome.refused:
        return [line((f"✗ {outcome.refused}", "trap"))]
    if outcome.problems:
        lines = []
        for problem in outcome.problems[:MOST]:
            near = f"; did you mean {problem.near}?" if problem.near and "did you mean" not in problem.message else ""
            where = ""
            if len(outcome.problems) > 1 or problem.path not in outcome.edit.changes:
                where = f"  {PurePath(problem.path).name}:{problem.line}"
            lines.append(line((f"✗ {problem.message}{near}", "trap"), (where, "dim")))
        if len(outcome.problems) > MOST:
            lines.append(line((f"and {len(outcome.problems) - MOST} more of the kind", "dim")))
        return lines
    return [counts_line(outcome.before, outcome.findings), *changed_lines(outcome)]


def counts_line(before: Sequence[Finding], after: Sequence[Finding]) -> Line:
    """The findings in numbers, before and after."""
    old, new = counts_of(before), counts_of(after)
    parts: list[Piece | tuple[str, str] | str] = []
    for level, glyph in LEVEL_GLYPHS.items():
        if old[level] == new[level]:
            if old[level]:
                parts += [(f"{glyph} {counted(new[level], level)}", level), "   "]
        else:
            parts += [(f"{glyph} {old[level]} → {counted(new[level], level)}", level), "   "]
    return line(("findings ", "head"), *parts) if parts else line(("findings ", "head"), ("✓ none", "done"))


def changed_lines(outcome: Outcome) -> list[Line]:
    """The findings that come, then those that go; those that are one row of a list are one here as well."""
    plan = outcome.plan
    if plan is None:
        return []
    lines = []
    new, gone = rows_of(outcome.new), rows_of(outcome.gone)
    for row in new[:MOST]:
        level = row.first.level
        todo = f" {in_words(plan, row.first.todo)}" if row.first.todo else ""
        lines.append(line((f"{LEVEL_GLYPHS[level]} new {level}  ", level), f"{sentence(plan, row)}.{todo}"))
    if len(new) > MOST:
        lines.append(line((f"and {len(new) - MOST} more new", "dim")))
    for row in gone[:MOST]:
        lines.append(line((f"✓ cured {row.first.level}  ", "done"), sentence(plan, row)))
    if len(gone) > MOST:
        lines.append(line((f"and {len(gone) - MOST} more cured", "dim")))
    return lines


def said(outcome: Outcome) -> str:
    """What was done, in one line, with what it changed of the findings and what the person ought to know."""
    notes = [*outcome.edit.notes]
    parts = [f"{outcome.task.says}: {notes.pop(0)}" if outcome.task.step and notes else outcome.task.says]
    old, new = counts_of(outcome.before), counts_of(outcome.findings)
    moved = [f"{level}s {old[level]} → {new[level]}" for level in LEVEL_GLYPHS if old[level] != new[level]]
    if moved:
        parts.append(", ".join(moved))
    return "; ".join([*parts, *notes])


def tick_lines(ticks: Sequence[tuple[str, str]]) -> list[Line]:
    """What becomes of ticked operations."""
    lines = [line(("This changes what is ticked already", "trap")), ()]
    for op, says in ticks[:8]:
        lines.append(line((op, "strong"), f"  {says}"))
    if len(ticks) > 8:
        lines.append(line((f"and {len(ticks) - 8} more", "dim")))
    return lines


def file_lines(path: str, before: str | None, after: str | None) -> list[Line]:
    """How a file changes, line by line, with what stands beside each change."""
    if before is None or after is None:
        return [line((path, "head"), "  is " + ("made" if before is None else "taken out"))]
    old, new = before.splitlines(), after.splitlines()
    start = 0
    while start < min(len(old), len(new)) and old[start] == new[start]:
        start += 1
    end = 0
    while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    first = max(0, start - AROUND)
    left, right = old[first : len(old) - max(0, end - AROUND)], new[first : len(new) - max(0, end - AROUND)]
    lines = [line((path, "head"), (f"  from line {first + 1}", "dim"))]
    for how, low, high, low2, high2 in SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        if how == "equal":
            kept = left[low:high]
            shown = kept if len(kept) <= 2 * AROUND + 1 else [*kept[:AROUND], "…", *kept[-AROUND:]]
            lines += [line((f"    {text}", "dim")) for text in shown]
        else:
            lines += [line((f"  - {text}", "trap")) for text in left[low:high]]
            lines += [line((f"  + {text}", "done")) for text in right[low2:high2]]
    return lines
