"""Findings as lists show them: a sentence about the work by what its steps do; those of one side and its twin once.

Pure. Ids and rule names are for whoever writes them; they come last, where there is room.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from planner.plan.expand import Plan
from planner.plan.fill import said
from planner.plan.findings import ONCE_A_BUILD
from planner.plan.messages import split_grounded
from planner.plan.model import Finding, Step
from planner.plan.names import step_of
from planner.telling.looks import literal

LONGEST = 60  # characters of what a step does, in a sentence
_NAMED = 36  # the same, where it stands for the name of a step
_CLAUSE = re.compile(r"[,;:(–]")
_NAMES = re.compile(r"[a-z0-9-]+(?:#\d+)?@[a-z0-9-]+|[a-z0-9-]+#\d+")
_GROUNDED = re.compile(r" \([a-z0-9.-]+\.[a-z0-9.-]+(?:@[a-z0-9-]+)?\)")


#: What to do about a kind's word that no step of the plan brings (back).
_NEW_WORK = re.compile(r"(?:Add|Put) a step .* with piece: ")


class Row(NamedTuple):
    """Findings that are one row of a list: alike but for their side, one word with one cure, or told once a build."""

    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """The one that speaks for all."""
        return self.findings[0]


def rows_of(findings: Sequence[Finding]) -> list[Row]:
    """Findings as rows, in the order of the first of each."""
    groups: dict[tuple[str, str, bool], list[Finding]] = {}
    for each in findings:
        groups.setdefault((_about(each), each.level, each.history), []).append(each)
    rows: dict[tuple[str, bool] | int, list[Finding]] = {}
    for number, group in enumerate(groups.values()):
        first = group[0]
        gap = first.rule == "never-given" and _NEW_WORK.match(first.todo)  # all that one step lacks is one row
        rows.setdefault((step_of(first.at), first.history) if gap else number, []).extend(group)
    return [Row(tuple(group)) for group in rows.values()]


def by_word(row: Row) -> list[Row]:
    """A row that tells of several words, as one for each; each has a cure of its own."""
    words: dict[str, list[Finding]] = {}
    for each in row.findings:
        words.setdefault(_word(each) if row.first.rule == "never-given" else "", []).append(each)
    return [Row(tuple(group)) for group in words.values()]


def _about(finding: Finding) -> str:
    """What a finding shares with those that stand in its row."""
    rule = finding.rule
    if rule in ONCE_A_BUILD:
        return rule
    if rule in ("never-given", "spoiled", "left-open") and _NEW_WORK.match(
        finding.todo
    ):  # the same work, on each piece
        return f"new work {_word(finding)}"
    if rule == "left-open":  # one look at all of it closes them
        return f"{rule} {finding.at} {_word(finding)}"
    if rule == "lopsided" and "@" not in finding.at:  # too few rounds: more of them, in turns
        return rule
    return finding.group or finding.id


def _word(finding: Finding) -> str:
    """The word of a condition, without its piece and side; a condition without a piece is its own."""
    return split_grounded(finding.condition or "")[0].rpartition(".")[2]


def pieces_of(row: Row) -> list[str]:
    """The pieces that the findings of a row are about: the open parts, else what their conditions are of."""
    names = [
        piece
        for each in row.findings
        for piece in each.parts or [split_grounded(each.condition or "")[0].rpartition(".")[0]]
    ]
    return [name for name in dict.fromkeys(names) if name]


def shown_name(name: str) -> str:
    """An operation as it is shown: ``tacks 2, driver`` of ``tacks#2@driver``.

    >>> shown_name("tacks#2@driver"), shown_name("roll-over")
    ('tacks 2, driver', 'roll-over')
    """
    base, side = split_grounded(name)
    base = base.replace("#", " ")
    return f"{base}, {side}" if side else base


def short_do(text: str, most: int = LONGEST) -> str:
    """What a step does, as far as it fits into a sentence: its first clause, else its first words.

    >>> short_do("Park on the level floor, set the tyres, load the bed as usual")
    'Park on the level floor'
    """
    clause = _CLAUSE.split(text, 1)[0].strip()
    text = clause if len(clause) >= 12 else text
    if len(text) <= most:
        return text
    return text[: most - 1].rpartition(" ")[0].rstrip(" ,;:") + "…"


def _steps(plan: Plan) -> dict[str, Step]:
    return {step.id: step for _, stage in plan.stages for step in stage.steps}


def _does(plan: Plan, name: str, most: int = LONGEST) -> str:
    """What an operation or a step does; a name that is neither stays as it is."""
    op = plan.by_name.get(name)
    step = op.step if op is not None else _steps(plan).get(step_of(name))
    if step is None:
        return {"(end)": "The end of the build"}.get(name, name.strip("()").replace("end ", "The end of episode ", 1))
    side = op.side if op is not None else None
    return literal(short_do(said(plan.build, step, side), most))


def called(plan: Plan) -> Callable[[str], str]:
    """What steps and operations are called in a sentence: by what they do, with the round and the side."""

    def does(name: str) -> str:
        if not name or name.startswith("("):
            return _does(plan, name)
        base, side = split_grounded(name)
        round_ = base.partition("#")[2]
        parts = [f"round {round_}" if round_ else "", f"{side} side" if side else ""]
        which = ", ".join(part for part in parts if part)
        return f"“{_does(plan, name, _NAMED)}”{f' ({which})' if which else ''}"

    return does


def _flowing(name: str) -> str:
    """An operation within a sentence."""
    base, side = split_grounded(name)
    return f"{shown_name(base)} ({side})" if side else shown_name(base)


def in_words(plan: Plan, text: str) -> str:
    """A text that names operations as files do, with those named as people do; a comma would part the sentence."""

    def shown(found: re.Match[str]) -> str:
        return _flowing(found.group()) if found.group() in plan.by_name else found.group()

    return _NAMES.sub(shown, _GROUNDED.sub("", text))


def _on(sides: Sequence[str]) -> str:
    if not sides:
        return ""
    return f" on the {' and '.join(sides)} side{'s' if len(sides) > 1 else ''}"


def _sides(names: Sequence[str | None]) -> list[str]:
    """The sides in these names, each once."""
    found = [split_grounded(name)[1] for name in names if name is not None]
    return list(dict.fromkeys(each for each in found if each is not None))


def sentence(plan: Plan, row: Row, most: int = LONGEST) -> str:
    """A row in a sentence about the work; ``most``: characters of what the step does."""
    finding = row.first
    if finding.rule in ONCE_A_BUILD:
        names = {each.at for each in row.findings}
        what = _does(plan, finding.at, most) if len(names) == 1 else f"{len(names)} steps"
        return f"{what}: the sides differ in their numbers; do not carry one across"
    if finding.at.startswith("(episode "):
        return literal(finding.told().rstrip("."))
    known = plan.build.conditions.get(finding.at)
    if known is not None:
        return literal(f"“{known.means}” is declared, but no step needs it")
    others = len({step_of(each.at) for each in row.findings}) - 1
    more = f" and {others} more" if others else ""
    what = f"{_does(plan, finding.at, most)}{more}{_on(_sides([each.at for each in row.findings]))}"
    return literal(f"{what}: {_wrong(plan, row)}")


def _wrong(plan: Plan, row: Row) -> str:
    words = by_word(row)
    if len(words) > 1:
        return " and ".join(_wrong(plan, each) for each in words)
    finding = row.first
    cause = "" if finding.cause is None else f"“{_does(plan, finding.cause)}”"
    if finding.condition is not None:
        name = split_grounded(finding.condition)[0]
        known = plan.build.conditions.get(name)
        sides = _sides([each.condition for each in row.findings])
        own = sides == _sides([each.at for each in row.findings])
        fact = f"“{known.means if known else name}”{'' if own else _on(sides)}"
        says = _NEEDS.get(finding.rule if cause else "never-given", "")
        if finding.rule == "left-open":
            says = "{fact} is open again since {cause}" if cause else "nothing has made {fact} so"
            pieces = pieces_of(row)
            if len(pieces) > 1:
                first = f", first by {cause}" if cause else ""
                says = f"{{fact}} is open again at {' and '.join(pieces)}{first}"
        elif finding.rule == "given-later" and finding.cause == finding.at:
            says = "{fact} does not hold before this work itself gives it"
        if says:
            return says.format(fact=fact, cause=cause)
    if finding.rule == "after-broken":
        return f"{cause} is not complete by then"
    if finding.rule == "turn-broken":
        return f"out of its turn, {cause} should come first"
    if finding.rule == "ahead":
        return f"ahead of earlier work that is open, the first of it {cause}"
    told = finding.told()
    for name in sorted({each for each in (finding.cause, *finding.also) if each}, key=len, reverse=True):
        told = told.replace(name, _flowing(name))
    told = in_words(plan, told)
    return told.removeprefix(f"{finding.at} ").removeprefix("is ").rstrip(".")


_NEEDS = {
    "spoiled": "{fact} was undone by {cause}",
    "gone-off": "{fact} did not last since {cause}",
    "given-later": "{fact} comes only later, with {cause}",
    "other-side": "{fact} is provided on another side only, by {cause}",
    "never-given": "nothing provides {fact}",
}


def place_says(plan: Plan, finding: Finding) -> str:
    """Where in the plan a finding is: the episode and the stage."""
    op = plan.by_name.get(finding.at)
    step = step_of(finding.at)
    for index, (episode, stage) in enumerate(plan.stages):
        if index == op.stage if op is not None else any(each.id == step for each in stage.steps):
            return literal(f"episode {episode.number}, {stage.title}")
    episodes = (each.number for each in plan.build.episodes if finding.place and each.place.path == finding.place.path)
    return next((f"episode {number}" for number in episodes), "the build itself")


def words_of(plan: Plan, finding: Finding, *, cured: bool) -> str:
    """One finding as a sentence, and what to do where no repair says that better (``cured``: one does)."""
    says = sentence(plan, Row((finding,)))
    return f"{says}." if cured or not finding.todo else f"{says}. {in_words(plan, finding.todo)}"


def names_of(row: Row) -> str:
    """Where a row is, for whoever writes: the operations, the conditions and the rule."""
    ats = ", ".join(dict.fromkeys(shown_name(each.at) for each in row.findings))
    also = sum(len(each.also) for each in row.findings)
    more = f" and {also} more" if also else ""
    condition = split_grounded(row.first.condition)[0] if row.first.condition is not None else ""
    return "  ".join(part for part in (f"{ats}{more}", condition, row.first.rule) if part)
