"""A list in plain text, one step a line, turned into steps and stages; and the edit that puts them in. Pure."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from planner.files.editing.episodes import slug_of
from planner.files.editing.spots import (
    STAGE_KEYS,
    Edit,
    Spot,
    Texts,
    edit_of,
    fresh_id,
    items_of,
    keys_of,
    text_at,
)
from planner.files.editing.steps import add_step
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value
from planner.plan.words import parse_duration

_MARK = re.compile(r"(?:[-*+•‣◦·–—▪☐☑✓✗]|\(?\d{1,3}[.):]|\[[ xX]?\]|[a-zA-Z][.)])(?:\s+|$)")
_TIME = re.compile(r"\s*[(\[]\s*(\d[\w ]*?)\s*[)\]]\s*$")
_PLAIN = frozenset(
    ["a", "an", "and", "at", "by", "for", "from", "in", "into", "it", "its", "of", "off", "on", "onto", "or", "out",
     "over", "the", "then", "to", "up", "with"]
)  # fmt: skip
TAB = 4
LONGEST_ID = 32


class Typed(NamedTuple):
    """A step as it was typed: what to do, how long it takes (as written), what stood below it."""

    do: str
    time: str = ""
    note: tuple[str, ...] = ()


class Part(NamedTuple):
    """Steps that go together: a new stage of that name, or (no name) further steps of the stage at hand."""

    stage: str
    steps: tuple[Typed, ...]


class _Row(NamedTuple):
    indent: int
    text: str


def rows_of(text: str) -> list[_Row]:
    """The lines that say something: how far they are indented, and without the mark of a list before them."""
    found = []
    for raw in re.split(r"\r\n|\r|\n|\v|\f|\x85|\u2028|\u2029", text):
        flat = "".join(_plain(char) for char in raw).expandtabs(TAB)
        body = flat.strip()
        while True:  # a box to tick behind a number, say
            mark = _MARK.match(body)
            if mark is None:
                break
            body = body[mark.end() :]
        if body:
            found.append(_Row(len(flat) - len(flat.lstrip()), " ".join(body.split())))
    return found


def _plain(char: str) -> str:
    """What can be written into a plan: other spaces as plain ones, and nothing that cannot be seen."""
    return char if char.isprintable() or char == "\t" else " " if char.isspace() else ""


def has_levels(text: str) -> bool:
    """Whether some lines stand deeper than others."""
    return len({row.indent for row in rows_of(text)}) > 1


def parts_of(text: str, stages: bool = True) -> list[Part]:
    """The steps that a text lists. Where lines stand deeper than others:

    ``stages``: a line with deeper ones below it is a stage, these are its steps, and what is deeper still is a
    step's note. Else each outermost line is a step, and what stands below it is its note.
    """
    rows = rows_of(text)
    if not rows:
        return []
    outer = min(row.indent for row in rows)
    parts: list[Part] = []
    loose: list[Typed] = []  # steps of the part at hand
    name = ""
    inner: int | None = None  # how far the steps of this stage are indented

    def close() -> None:
        if loose or name:
            parts.append(Part(name, tuple(loose)))
        loose.clear()

    for number, row in enumerate(rows):
        below = rows[number + 1].indent if number + 1 < len(rows) else outer
        top = row.indent <= outer
        if stages and top and below > row.indent:
            close()
            name, inner = row.text.rstrip(":").strip() or row.text, below
        elif stages and top and name:
            close()
            name, inner = "", None
            loose.append(_typed(row.text))
        elif top or not loose or (stages and (inner is None or row.indent <= inner)):
            loose.append(_typed(row.text))
        else:
            last = loose[-1]
            loose[-1] = last._replace(note=(*last.note, row.text))
    close()
    return parts


def _typed(text: str) -> Typed:
    """A line as a step; a duration in brackets at its end is its time."""
    found = _TIME.search(text)
    if found is not None and found.start() > 0 and parse_duration(found.group(1)) is not None:
        return Typed(text[: found.start()].rstrip(), found.group(1))
    return Typed(text)


def id_of(do: str) -> str:
    """An id for a step out of what is done in it: its first words that say something."""
    words = slug_of(do, "step").split("-")
    telling = [word for word in words if word not in _PLAIN] or words
    made = telling[0][:LONGEST_ID]
    for word in telling[1:3]:
        if len(made) + 1 + len(word) <= LONGEST_ID:
            made += f"-{word}"
    return made


def steps_of(texts: Texts, typed: Sequence[Typed], taken: Collection[str] = ()) -> list[dict[str, Value]]:
    """Steps with ids of their own, as they are written into a plan."""
    used = set(taken)
    found: list[dict[str, Value]] = []
    for each in typed:
        step_id = fresh_id(texts, id_of(each.do), used)
        used.add(step_id)
        step: dict[str, Value] = {"step": step_id, "do": each.do}
        if each.time:
            step["time"] = each.time
        if each.note:
            step["note"] = each.note[0] if len(each.note) == 1 else list(each.note)
        found.append(step)
    return found


def put_in(texts: Texts, spot: Spot, index: int, parts: Sequence[Part]) -> Edit:
    """The edit that puts parts in: steps without a stage into that of ``spot`` before the step at index; new
    stages behind it."""
    if not any(part.steps or part.stage for part in parts):
        raise EditError("there is no step in this text")
    if spot.stage is None:
        raise EditError("a stage must be named for this")
    used: set[str] = set()
    loose: list[dict[str, Value]] = []
    stages: list[Value] = []
    for part in parts:
        steps = steps_of(texts, part.steps, used)
        used.update(str(step["step"]) for step in steps)
        if not part.stage and not stages:
            loose += steps
        elif part.stage:
            stages.append(_ordered({"stage": part.stage, "steps": list(steps)}))
        else:  # a step behind a stage, at the outer level: it joins the stage above it
            last = keys_of(stages[-1])
            stages[-1] = {**last, "steps": [*items_of(last["steps"]), *steps]}
    text = text_at(texts, spot.path)
    if loose:
        text = _with_steps(texts, text, spot, index, loose)
    if stages:
        old = items_of(editing_text.get(text, ("stages",)))
        at = spot.stage + 1
        text = editing_text.set_value(text, ("stages",), [*old[:at], *stages, *old[at:]], ())
    return edit_of(texts, {spot.path: text})


def _ordered(stage: Mapping[str, Value]) -> dict[str, Value]:
    return {key: stage[key] for key in STAGE_KEYS if key in stage}


def _with_steps(texts: Texts, text: str, spot: Spot, index: int, steps: Sequence[dict[str, Value]]) -> str:
    stage = keys_of(editing_text.get(text, ("stages", spot.stage or 0)))
    if stage.get("sequence") is not None:  # its list of operations must follow, step by step
        work = dict(texts)
        for number, step in enumerate(steps):
            edit = add_step(work, spot, index + number, step)
            work.update({path: after for path, after in edit.changes.items() if after is not None})
        return work[spot.path]
    old = items_of(stage.get("steps"))
    at = max(0, min(index, len(old)))
    return editing_text.set_value(text, ("stages", spot.stage or 0, "steps"), [*old[:at], *steps, *old[at:]], ())
