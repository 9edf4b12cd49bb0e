"""Steps from plain text: one a line, as typed or pasted.

A line with further indented lines below it, or with a colon at its end, is a stage; every other line is a step
of the stage above it. Lines indented further than a step are its notes. What lists begin lines with (``-``,
``*``, ``1.``, ``[ ]``) is dropped.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import NamedTuple

from planner.files.editing.sequences import refit
from planner.files.editing.spots import Edit, Spot, Texts, edit_of, fresh_id, sides_of, text_at
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value

_MARK = re.compile(r"(?:[-*+•‣◦–—·]|\(?\d{1,3}[.)]|\(?[a-z][.)])(?:\s+|$)|[☐☑✓✔]\s*|\[[ xX]?\]\s*")
_REFUSED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_SMALL = frozenset((
    "a", "an", "the", "and", "or", "of", "to", "in", "on", "at", "by", "for", "from", "into", "onto", "with", "off",
    "up", "down", "out", "over", "is", "it", "its", "be", "so", "then", "all", "each", "both", "again", "until",
    "before", "as",
))  # fmt: skip
_MAX_LINES = 2000


class TypedStep(NamedTuple):
    """One step as it was typed."""

    do: str
    notes: tuple[str, ...]


class TypedStage(NamedTuple):
    """Steps under one heading; those typed before any heading have none."""

    title: str | None
    steps: tuple[TypedStep, ...]


def read_lines(typed: str) -> tuple[TypedStage, ...]:
    """Stages and steps out of plain text."""
    lines = [_line(each) for each in re.split(r"\r\n|\r|\n", _clean(typed)) if each.strip()]
    lines = [(indent, text) for indent, text in lines if text]
    if len(lines) > _MAX_LINES:
        raise EditError(f"{len(lines):,} lines are too many at once; paste up to {_MAX_LINES:,}")
    if not lines:
        return ()
    least = min(indent for indent, _ in lines)
    following = [*(indent for indent, _ in lines[1:]), 0]
    headed = [text.endswith(":") or below > indent for (indent, text), below in zip(lines, following, strict=True)]
    stages: list[tuple[str | None, list[TypedStep]]] = [(None, [])]
    step_indent: int | None = None
    for (indent, text), heads in zip(lines, headed, strict=True):
        if indent == least and heads:
            stages.append((text.rstrip(" :"), []))
            step_indent = None
        elif step_indent is not None and indent > step_indent and stages[-1][1]:
            last = stages[-1][1][-1]
            stages[-1][1][-1] = last._replace(notes=(*last.notes, text))
        else:
            stages[-1][1].append(TypedStep(text, ()))
            step_indent = indent
    return tuple(TypedStage(title, tuple(steps)) for title, steps in stages if title is not None or steps)


def _clean(typed: str) -> str:
    return _REFUSED.sub(" ", typed.replace("\r\n", "\n").replace("\r", "\n"))


def _line(line: str) -> tuple[int, str]:
    """The indentation of a line and its text without a list's mark."""
    line = line.expandtabs(4)
    text = line.strip()
    indent = len(line) - len(line.lstrip(" "))
    for _ in range(2):  # a dash, then a box
        found = _MARK.match(text)
        if found is not None:
            text = text[found.end() :].strip()
    return indent, text


def id_for(do: str, texts: Texts, taken: Iterable[str] = ()) -> str:
    """An id made from the words of a step, which no other step has."""
    plain = unicodedata.normalize("NFKD", do.casefold()).encode("ascii", "ignore").decode("ascii")
    words = re.findall(r"[a-z0-9]+", plain.replace("'", ""))
    telling = [word for word in words if word not in _SMALL] or words
    base = ""
    for word in telling[:4]:
        if base and (len(base) + 1 + len(word) > 28 or base.count("-") == 2):
            break
        base = f"{base}-{word}" if base else word[:28]
    return fresh_id(texts, base or "step-1", set(taken))


def type_steps(texts: Texts, spot: Spot, index: int, typed: str) -> Edit:
    """Put typed lines into a plan.

    ``spot`` is a stage: lines without a heading become its steps, before that at index, and headed ones new
    stages behind it. Or an episode: all lines must stand under headings, and index is a place among its stages.
    """
    stages = read_lines(typed)
    if not stages:
        raise EditError("there is no line to make a step of")
    text = text_at(texts, spot.path)
    taken: list[str] = []

    def made(steps: Iterable[TypedStep]) -> list[Value]:
        out: list[Value] = []
        for step in steps:
            taken.append(id_for(step.do, texts, taken))
            values: dict[str, Value] = {"step": taken[-1], "do": step.do}
            if step.notes:
                values["note"] = step.notes[0] if len(step.notes) == 1 else list(step.notes)
            out.append(values)
        return out

    place = index
    if stages[0].title is None:
        if spot.stage is None:
            raise EditError("the first lines stand under no stage; put a line above them and indent them")
        path = ("stages", spot.stage, "steps")
        text = editing_text.insert(text, path, index, *made(stages[0].steps))
        if "sequence" in text:
            text = refit(text, spot.stage, taken, sides_of(texts))
    if spot.stage is not None:
        place = spot.stage + 1
    headed: list[Value] = [
        {"stage": stage.title, "steps": made(stage.steps)} for stage in stages if stage.title is not None
    ]
    text = editing_text.insert(text, ("stages",), place, *headed)
    return edit_of(texts, {spot.path: text})
