"""A list in plain text, typed or pasted, one step a line: read as stages and steps, and put into a plan. Pure.

An outermost line is a stage where it ends with a colon, or where deeper lines stand below it; the lines that
follow are its steps, until the next such line. A line deeper than the step above it is that step's note. What
lists begin lines with (``-``, ``*``, ``1.``, ``[ ]``) is dropped; a duration in brackets at the end is the time.
The other way (``stages=False``), for a list of steps with notes below them, a colon alone makes a stage.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import NamedTuple

from planner.files.editing.episodes import slug_of
from planner.files.editing.sequences import refit
from planner.files.editing.spots import Edit, Spot, Texts, edit_of, fresh_id, items_of, sides_of, text_at
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value
from planner.plan.words import parse_duration

_MARK = re.compile(r"(?:[-*+•‣◦·–—▪☐☑✓✔✗]|\(?\d{1,3}[.):]|\[[ xX]?\]|[a-zA-Z][.)])(?:\s+|$)")
_TIME = re.compile(r"\s*[(\[]\s*(\d[\w ]*?)\s*[)\]]\s*$")
SMALL = frozenset((
    "a", "an", "the", "and", "or", "of", "to", "in", "on", "at", "by", "for", "from", "into", "onto", "with", "off",
    "up", "down", "out", "over", "is", "it", "its", "be", "so", "then", "all", "each", "both", "again", "until",
    "before", "as",
))  # fmt: skip
_TAB = 4
_LONGEST_ID = 32
_MAX_LINES = 2000


class Typed(NamedTuple):
    """A step as it was typed: what to do, how long it takes (as written), what stood below it; and what it is given."""

    do: str
    time: str = ""
    note: tuple[str, ...] = ()
    kind: str = ""
    piece: str = ""


class Part(NamedTuple):
    """Steps that go together: a new stage of that name, or (no name, first only) further steps of the stage at hand."""

    stage: str
    steps: tuple[Typed, ...]


class _Row(NamedTuple):
    indent: int
    text: str


def _rows_of(text: str) -> list[_Row]:
    """The lines that say something: how far they are indented, and without the mark of a list before them."""
    found = []
    for raw in re.split(r"\r\n|\r|\n|\v|\f|\x85|\u2028|\u2029", text):
        flat = "".join(_plain(char) for char in raw).expandtabs(_TAB)
        body = flat.strip()
        while (mark := _MARK.match(body)) is not None:  # a box to tick behind a number, say
            body = body[mark.end() :]
        if body:
            found.append(_Row(len(flat) - len(flat.lstrip()), " ".join(body.split())))
    return found


def _plain(char: str) -> str:
    """What can be written into a plan: other spaces as plain ones, and nothing that cannot be seen."""
    return char if char.isprintable() or char == "\t" else " " if char.isspace() else ""


def has_levels(text: str) -> bool:
    """Whether some lines stand deeper than others."""
    return len({row.indent for row in _rows_of(text)}) > 1


def parts_of(text: str, stages: bool = True) -> list[Part]:
    """The steps that a text lists, read as said above. Raises EditError for more than 2,000 lines."""
    rows = _rows_of(text)
    if len(rows) > _MAX_LINES:
        raise EditError(f"{len(rows):,} lines are too many at once; paste up to {_MAX_LINES:,}")
    outer = min((row.indent for row in rows), default=0)
    parts: list[tuple[str, list[Typed]]] = [("", [])]
    inner: int | None = None  # how far the latest step is indented
    for row, below in zip(rows, [*(row.indent for row in rows[1:]), 0], strict=False):
        steps = parts[-1][1]
        name = row.text.rstrip(" :")
        if row.indent == outer and name and (row.text.endswith(":") or (stages and below > row.indent)):
            parts.append((name, []))
            inner = None
        elif inner is not None and row.indent > inner:
            steps[-1] = steps[-1]._replace(note=(*steps[-1].note, row.text))
        else:
            steps.append(_typed(row.text))
            inner = row.indent
    return [Part(stage, tuple(steps)) for stage, steps in parts if stage or steps]


def _typed(text: str) -> Typed:
    """A line as a step; a duration in brackets at its end is its time."""
    found = _TIME.search(text)
    if found is not None and found.start() > 0 and parse_duration(found.group(1)) is not None:
        return Typed(text[: found.start()].rstrip(), found.group(1))
    return Typed(text)


def id_of(do: str) -> str:
    """An id for a step out of what is done in it: its first words that say something."""
    words = slug_of(do.replace("’", ""), "step-1").split("-")
    telling = [word for word in words if word not in SMALL] or words
    made = telling[0][:_LONGEST_ID]
    for word in telling[1:3]:
        if len(made) + 1 + len(word) > _LONGEST_ID:
            break
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
        step |= {key: value for key, value in (("kind", each.kind), ("piece", each.piece)) if value}
        if each.time:
            step["time"] = each.time
        if each.note:
            step["note"] = each.note[0] if len(each.note) == 1 else list(each.note)
        found.append(step)
    return found


def put_in(texts: Texts, spot: Spot, index: int, parts: Sequence[Part]) -> Edit:
    """The edit that puts parts into a plan.

    ``spot`` is a stage: steps without a heading go into it before the step at index, new stages behind it. Or an
    episode: all steps must stand under headings, and index is a place among its stages.
    """
    if not parts:
        raise EditError("there is no step in this text")
    used: set[str] = set()
    loose: list[dict[str, Value]] = []
    stages: list[Value] = []
    for part in parts:
        steps = steps_of(texts, part.steps, used)
        used.update(str(step["step"]) for step in steps)
        if part.stage:
            stages.append({"stage": part.stage, "steps": list(steps)})
        else:
            loose += steps
    text = text_at(texts, spot.path)
    if loose:
        if spot.stage is None:
            raise EditError("the first lines stand under no stage; put a line with a colon at its end above them")
        path = ("stages", spot.stage, "steps")
        index = max(0, min(index, len(items_of(editing_text.get(text, path)))))
        text = editing_text.insert(text, path, index, *loose)
        if "sequence" in text:
            text = refit(text, spot.stage, [str(step["step"]) for step in loose], sides_of(texts))
    if stages:
        text = editing_text.insert(text, ("stages",), index if spot.stage is None else spot.stage + 1, *stages)
    return edit_of(texts, {spot.path: text})
