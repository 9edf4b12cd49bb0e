"""What `check` says of a plan and of a changed one, and the lines of the bench."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from tests.demos.kindplans import told
from tests.mistakes.changing import Plan, bare, changed, read_plan, write_plan

HERE = Path(__file__).parent
FILES = ("first", "second", "unseen", "builds", "later", "fresh", "last", "newer", "newest", "blind")

Row = tuple[str, str, str]  # rule, at, condition


class Case(NamedTuple):
    """One mistake; what must be found is one of ``finds``, each ``rule at condition`` with ``*`` allowed."""

    file: str
    plan: str
    change: str
    says: str
    finds: tuple[str, ...]
    kinds: tuple[str, ...]  # by the kinds alone; empty: it is known not to be noticed


def lines_of(file: str) -> Iterator[list[str]]:
    """The fields of each line."""
    for line in (HERE / f"{file}.txt").read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            yield [field.strip() for field in line.split("|")]


def cases() -> list[Case]:
    """Every mistake of the bench."""
    out = []
    for file in FILES:
        for plan, change, says, finds, *alone in lines_of(file):
            wanted = tuple(each.strip() for each in finds.split(" or ") if each != "-")
            kinds = wanted if not alone else tuple(each.strip() for each in alone[0].split(" or ") if each != "-")
            out.append(Case(file, plan, change, says, wanted, kinds))
    return out


def findings(plan: Plan, repairs: bool = False) -> list[dict[str, Any]]:
    """The traps and gaps of a plan; an ``end:`` that nothing can give is said as a problem, and counts."""
    with tempfile.TemporaryDirectory() as folder:
        answer = told("check", write_plan(plan, Path(folder) / "plan"), *(() if repairs else ("--no-repairs",)))
    if "problems" in answer:
        ends = [each["message"].removeprefix("end: ").split()[0] for each in answer["problems"]]
        assert all(each["message"].startswith("end: ") for each in answer["problems"]), answer["problems"]
        return [{"rule": "problem", "at": "end", "condition": end, "also": [], "level": "gap"} for end in ends]
    found: list[dict[str, Any]] = answer["findings"]
    return [each for each in found if each["level"] != "notice"]


def as_rows(found: list[dict[str, Any]]) -> set[Row]:
    """Findings as rows, those in ``also`` with them."""
    return {(each["rule"], at, each["condition"] or "-") for each in found for at in (each["at"], *each["also"])}


@cache
def sound(plan: str, alone: bool) -> frozenset[Row]:
    """What is found in the plan as it stands."""
    read = read_plan(plan)
    return frozenset(as_rows(findings(bare(read) if alone else read)))


def news(case: Case, alone: bool) -> set[Row]:
    """What the mistake brings that the plan as it stands has not."""
    plan = changed(read_plan(case.plan), case.change)
    return as_rows(findings(bare(plan) if alone else plan)) - sound(case.plan, alone)


def noticed(found: set[Row], wanted: tuple[str, ...]) -> list[Row]:
    """The rows that say what must be found; a single word stands for a kind's word, or a rule."""
    return [row for row in sorted(found) if any(_says(row, want) for want in wanted)]


def _says(row: Row, want: str) -> bool:
    parts = want.split()
    if len(parts) == 3:
        return all(fnmatchcase(had, part) for had, part in zip(row, parts, strict=True))
    name = row[2].partition("@")[0]
    return want in ("*", row[0], name, name.rpartition(".")[2])
