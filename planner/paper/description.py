"""The text that stands under an episode: what was done, in the words of the build, as Markdown or plain.

Whoever paid comes first and what corrects a danger next: both must be seen without asking for more. A text of the
build is a text in both forms: nothing in it becomes a link, a heading or markup (CommonMark 0.31, 2.4: any ASCII
punctuation may be escaped by a backslash).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from planner.paper.cutfiles import chapters, list_text
from planner.paper.rushes import rushes_of
from planner.plan.fill import JOB, Reference, references
from planner.plan.model import Correction, Referral
from planner.telling.looks import literal
from planner.telling.naming import words_of

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.plan.model import Episode
    from planner.session.onebuild import OneBuild

_AID = (
    "Numbers and cautions here are a planning aid and a reminder, not training: check by measurement, and let local"
    " rules, licensed practice and inspection before the road come first."
)
_ANYWHERE = re.compile(r"([\\`*_\[\]<>~|&#$^])")
_LINKS = re.compile(r"(?<=[Ww][Ww][Ww])\.|@|(?<=[A-Za-z]):(?=\S)")
_STARTS = re.compile(r"^(\d{0,9})([-+=.)])")


class Section(NamedTuple):
    """A heading and its lines."""

    title: str
    lines: tuple[str, ...]


class Description(NamedTuple):
    """All of it, in order; and what has to be known by whoever publishes it."""

    title: str
    sections: tuple[Section, ...]
    notes: tuple[str, ...]


def describe(one: OneBuild, number: int) -> Description:
    """The description of an episode as the build stands now. Raises KeyError where there is no such episode."""
    plan = one.plan
    episode = next((each for each in plan.build.episodes if each.number == number), None)
    if episode is None:
        raise KeyError(number)
    ops = [op for op in plan.operations if plan.stages[op.stage][0] is episode]
    done = [op for op in ops if op.name in one.live.times]
    told = done or ops
    rushes = rushes_of(plan, one.ticks, one.log.events, number)
    corrections = _corrections(one, number)
    safe = [says for safety, says in corrections if safety]
    found = [
        Section("Sponsors", tuple(_sponsors(episode))),
        Section("Safety corrections", tuple(safe)),
        Section("What was done" if done else "What is to be done", tuple(_work(one, told))),
        Section("Numbers", tuple(_numbers(one, told))),
        Section("Corrections", tuple(says for safety, says in corrections if not safety)),
        Section("References", tuple(_referral(one, each) for each in episode.series.refers_to)),
        Section("Chapters", tuple(list_text("", rushes).splitlines()) if chapters(rushes) else ()),
        Section("Cautions", (*dict.fromkeys(text for op in told for text in op.step.cautions), _AID)),
    ]
    unsaid = [each.who for each in episode.series.sponsors if not each.says]
    notes = [
        f"{len(ops) - len(done)} of {len(ops)} operations of episode {number} are not done yet"
        if len(done) < len(ops)
        else "",
        f"no words for the sponsor {', '.join(unsaid)}: whoever paid must be named" if unsaid else "",
        "" if chapters(rushes) else "no chapters: no tick of it lies in a clip",
    ]
    title = f"{plan.build.name}, episode {number}: {episode.title}"
    return Description(title, tuple(each for each in found if each.lines), tuple(note for note in notes if note))


def _sponsors(episode: Episode) -> list[str]:
    return [
        f"{each.who}{f' ({each.gave})' if each.gave else ''}: {each.says}"
        for each in episode.series.sponsors
        if each.says
    ]


def _work(one: OneBuild, ops: Iterable[Operation]) -> list[str]:
    """A line for every doing of a step that reads alike, with the sides it was done on."""
    sides: dict[tuple[str, str], dict[str, bool]] = {}
    for op in ops:
        mine = sides.setdefault((op.step.id, one.said(op)), {})
        if op.side is not None:
            mine[op.side] = mine.get(op.side, False) or op.on_camera
    return [f"{says}{_on(mine)}" for (_, says), mine in sides.items()]


def _on(sides: dict[str, bool]) -> str:
    names = [side if seen else f"{side} off camera" for side, seen in sides.items()]
    return f" ({', '.join(names)})" if names else ""


def _numbers(one: OneBuild, ops: Iterable[Operation]) -> list[str]:
    """Every number that the steps name, on the sides they name it for, with its ± and whether it was measured."""
    build = one.plan.build
    found: dict[str, None] = {}
    for op in ops:
        for each in [each for text in (op.step.do, *op.step.say) for each in references(text)]:
            for side in _sides(one, op, each):
                value, shown, *more = build.numbers[each.name][side]
                where = f", {side}" if side else ""
                state = "" if value is None else ", measured" if more and more[1] else ", planned"
                name = words_of(each.name)
                found[f"{name[:1].upper()}{name[1:]}{where}: {shown}{state}"] = None
    return list(found)


def _sides(one: OneBuild, op: Operation, each: Reference) -> list[str]:
    number = one.plan.build.numbers.get(each.name) or {}
    asked = each.side or op.side
    wanted = (JOB,) if JOB in number else (asked,) if asked is not None else one.plan.build.sides
    return [side for side in wanted if side in number]


def _corrections(one: OneBuild, number: int) -> list[tuple[bool, str]]:
    """What the episode corrects, and what later ones correct of it, with whether it is about safety."""

    def says(where: int, each: Correction) -> str:
        if where == number:
            return f"Episode {each.episode} is corrected here: {each.says}"
        return f"Corrected in episode {where}: {each.says}"

    return [
        (each.safety, says(episode.number, each))
        for episode in one.plan.build.episodes
        for each in episode.series.corrects
        if number in (episode.number, each.episode)
    ]


def _referral(one: OneBuild, each: Referral) -> str:
    titles = {episode.number: episode.title for episode in one.plan.build.episodes}
    parts = [each.build or ""]
    if each.episode is not None:
        own = titles.get(each.episode, "") if each.build is None else ""
        parts.append(f"episode {each.episode}{f', {own}' if own else ''}")
    what = " ".join(part for part in parts if part)
    return f"{what}: {each.says}" if what and each.says else what or each.says or ""


def escaped(text: str) -> str:
    """A text as Markdown that comes out as that text.

    >>> escaped("1. *Weld* <b> at http://x.example")
    '1\\\\. \\\\*Weld\\\\* \\\\<b\\\\> at http\\\\://x.example'
    """
    text = " ".join(literal(text).split())
    text = _LINKS.sub(lambda match: "\\" + match.group(), _ANYWHERE.sub(r"\\\1", text))
    return _STARTS.sub(r"\1\\\2", text)


def markdown(told: Description) -> str:
    """The description as Markdown."""
    lines = [f"# {escaped(told.title)}"]
    for section in told.sections:
        lines += ["", f"## {escaped(section.title)}", "", *(f"- {escaped(each)}" for each in section.lines)]
    return "\n".join(lines) + "\n"


def plain(told: Description) -> str:
    """The description without markup; chapters stand alone in their lines, as a description takes them."""
    lines = [_one_line(told.title)]
    for section in told.sections:
        mark = "" if section.title == "Chapters" else "- "
        lines += ["", section.title, *(f"{mark}{_one_line(each)}" for each in section.lines)]
    return "\n".join(lines) + "\n"


def _one_line(text: str) -> str:
    return " ".join(literal(text).split())
