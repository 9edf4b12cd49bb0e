"""What copying a stage to another build comes to: worked out whole, told, and only then saved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from planner.files.build.reading import read_build
from planner.files.build.texts import TextReader
from planner.files.disk.folders import read_texts
from planner.files.disk.saving import changes_of, save
from planner.files.editing.copying import copy_stage
from planner.files.editing.spots import Edit, Spot, Texts, applied
from planner.files.yaml.places import EditError
from planner.files.yaml.tree import Problem
from planner.plan.expand import Plan
from planner.plan.findings import check, planned
from planner.plan.model import Build, Finding
from planner.session.onebuild import plan_of
from planner.telling.edit import counts_line
from planner.telling.finding import rows_of, sentence
from planner.telling.looks import Line, line


class Other(NamedTuple):
    """A build to copy to: its plan and its texts as they are on the disk."""

    folder: Path
    plan: Plan
    texts: Mapping[str, str]

    @property
    def build(self) -> Build:
        """What it says."""
        return self.plan.build


class Copied(NamedTuple):
    """The stage in the other build, not saved yet; ``refused`` or ``problems`` say why it cannot be."""

    edit: Edit = Edit({})
    refused: str = ""
    problems: tuple[Problem, ...] = ()
    before: tuple[Finding, ...] = ()
    after: tuple[Finding, ...] = ()
    plan: Plan | None = None  # as it is then

    @property
    def good(self) -> bool:
        """Whether it can be saved."""
        return not self.refused and not self.problems


def read_other(folder: Path) -> Other | str:
    """A build to copy to, or why it cannot be."""
    try:
        texts = read_texts(folder)
    except (OSError, UnicodeDecodeError) as error:
        return f"it cannot be read: {error}"
    reading = read_build(folder)
    if reading.build is None:
        return f"it cannot be read: {reading.problems[0].message}"
    return Other(folder, plan_of(reading), texts)


def copied(texts: Texts, spot: Spot, other: Other, to_path: str, index: int) -> Copied:
    """Work out what the copy comes to."""
    try:
        edit = copy_stage(texts, spot, other.texts, to_path, index)
    except EditError as error:
        return Copied(refused=str(error))
    reading = TextReader(other.folder).read(applied(other.texts, edit.changes))
    if reading.build is None:
        return Copied(edit, "", reading.problems)
    plan = plan_of(reading)
    before = check(other.plan, planned(other.plan))
    return Copied(edit, "", (), tuple(before), tuple(check(plan, planned(plan))), plan)


def save_copy(other: Other, edit: Edit) -> None:
    """Save it. Raises ChangedOutsideError and NotSavedError, with nothing changed."""
    save(changes_of(other.texts, edit.changes))


def copy_lines(made: Copied, title: str, other: Other, where: str) -> list[Line]:
    """All that a copy changes in the other build."""
    lines = [line((title, "strong"), "  →  ", (other.build.name, "strong"), f"  {where}"), ()]
    if made.refused:
        return [*lines, line((f"✗ {made.refused}", "trap"))]
    if made.problems:
        lines.append(line(("✗ the other build could not be read then", "trap")))
        return [*lines, *(line(f"  {problem.message}") for problem in made.problems[:6])]
    if made.edit.notes:
        lines.append(line(("what is told apart or added there", "head")))
        lines += [line(f"• {note}") for note in made.edit.notes]
    else:
        lines.append(line(("✓ nothing has to be renamed or declared there", "done")))
    lines += [(), counts_line(made.before, made.after)]
    known = {finding.id for finding in made.before}
    new = [finding for finding in made.after if finding.id not in known]
    rows = rows_of(new)
    for row in rows[:6]:
        says = sentence(made.plan, row) if made.plan is not None else row.first.says
        lines.append(line((f"new {row.first.level}  ", row.first.level), says))
    if len(rows) > 6:
        lines.append(line((f"and {len(rows) - 6} more", "dim")))
    files = ", ".join(sorted(Path(path).name for path in made.edit.changes))
    return [*lines, (), line(("files   ", "head"), files)]


def places_of(stages: Sequence[str]) -> list[str]:
    """The places between the stages of an episode, in words."""
    return ["at the beginning", *(f"behind {title}" for title in stages)]
