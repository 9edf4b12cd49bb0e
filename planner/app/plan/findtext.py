"""Finding steps in all episodes by what is written of them. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter
from typing import NamedTuple

from planner.plan.expand import Plan
from planner.plan.model import Step
from planner.telling.looks import Line, Piece, line

#: Where a word was found, the best first; what is said of it in the list.
ID, DO, CONDITION, KIND, NOTE = range(5)
_WORDS = ("id", "do", "condition", "kind", "note")


class Entry(NamedTuple):
    """A step with everything that is looked through, in small letters."""

    step: Step
    episode: int
    stage: str
    texts: tuple[str, str, str, str, str]  # by ID, DO, CONDITION, KIND, NOTE
    notes: tuple[str, ...]  # as written
    whole: str  # all texts in one, to see first whether a word is there at all


class Hit(NamedTuple):
    """A step that was found: in what, and how well (small is good)."""

    entry: Entry
    where: int
    rank: tuple[int, int]


def entries_of(plan: Plan) -> list[Entry]:
    """Every step of the plan, in order, ready to be looked through."""
    return [_entry(step, episode.number, stage.title) for episode, stage in plan.stages for step in stage.steps]


def _entry(step: Step, episode: int, stage: str) -> Entry:
    notes = (*step.note, *step.cautions, *step.shots, *step.say, step.why or "")
    names = " ".join(str(ref) for ref in (*step.needs, *step.gives, *step.spoils))
    texts = (
        step.id, step.do.lower(), names, f"{step.kind or ''} {step.piece or ''} {step.setup or ''}".lower(),
        "\n".join(notes).lower(),
    )  # fmt: skip
    return Entry(step, episode, stage, texts, notes, "\n".join(texts))


def find(entries: Sequence[Entry], wanted: str) -> list[Hit]:
    """The steps in which every word is found, the likeliest first; nothing wanted finds all, in order."""
    words = wanted.lower().split()
    if not words:
        return [Hit(entry, ID, (0, 0)) for entry in entries]
    left = list(entries)
    for word in words:
        left = [entry for entry in left if word in entry.whole]
    # Steps of one rank stay in the order of the plan.
    return sorted([_hit(entry, words) for entry in left], key=_RANK)


_RANK = attrgetter("rank")


def _hit(entry: Entry, words: Sequence[str]) -> Hit:
    worst, shape = ID, 0
    texts = entry.texts
    for word in words:
        if word in texts[ID]:
            shape = max(shape, _shape(texts[ID], word))
        else:
            worst = max(worst, next(place for place, text in enumerate(texts) if word in text))
    return Hit(entry, worst, (worst, shape if worst == ID else 0))


def _shape(step_id: str, word: str) -> int:
    """How well a word fits an id: all of it, its beginning, a part of it."""
    if step_id == word:
        return 0
    return 1 if step_id.startswith(word) else 2


def find_id(entries: Sequence[Entry], wanted: str) -> list[Hit]:
    """The steps whose id begins with what is typed, or else holds it."""
    word = wanted.strip().lower().removesuffix("@")
    found = [Hit(e, ID, (0, _shape(e.step.id, word))) for e in entries if word in e.step.id]
    return sorted(found, key=lambda hit: hit.rank) if word else found


def hit_lines(hit: Hit, words: Sequence[str]) -> list[Line]:
    """A step in two lines: what it is, and where it stands and what was found."""
    entry = hit.entry
    head = line("   ", (entry.step.id, "strong"), "  ", entry.step.do)
    place = f"     episode {entry.episode}  {entry.stage}"
    if hit.where in (ID, DO):
        return [head, line((place, "dim"))]
    return [head, (*line((place, "dim")), *_found_in(hit, words))]


def _found_in(hit: Hit, words: Sequence[str]) -> tuple[Piece, ...]:
    entry, step = hit.entry, hit.entry.step
    for word in words:
        if hit.where == CONDITION:
            for key, refs in (("needs", step.needs), ("gives", step.gives), ("spoils", step.spoils)):
                for ref in refs:
                    if word in str(ref):
                        return line(f"   {key} ", (str(ref), "notice"))
        if hit.where == KIND and word in entry.texts[KIND]:
            return line("   kind ", (f"{step.kind or ''} {step.piece or ''}".strip(), "notice"))
        if hit.where == NOTE:
            for note in entry.notes:
                if word in note.lower():
                    return line("   note ", (_around(note, word), "notice"))
    return ()


def _around(text: str, word: str, room: int = 50) -> str:
    """A long text from a little before the word on."""
    at = text.lower().find(word)
    start = max(0, text.rfind(" ", 0, max(0, at - 15)) + 1) if at > 20 else 0
    return ("… " if start else "") + text[start : start + room * 2]
