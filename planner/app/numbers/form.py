"""The form of one calculator: a row for every value, what is wrong with it beneath, and a cursor that rests on values.

``form_rows`` is pure; ``Form`` draws it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from rich.cells import cell_len
from textual.events import Click, Resize
from textual.message import Message

from planner.app.draw.drawing import cut, fold, shortened
from planner.app.draw.linelist import LineList
from planner.app.draw.textpane import TextPane
from planner.numbers.calculator import Calculator, Input, Show
from planner.numbers.quantity import Quantity
from planner.numbers.together import Outcome
from planner.numbers.units import KINDS, allowed
from planner.session.numbers.draft import Draft, Typed, meant, saved_text
from planner.telling.looks import Line, Piece, line


class FormRow(NamedTuple):
    """A row of the form: the input and the side that it holds, or a line of text under one."""

    key: str
    side: str | None
    drawn: Line
    rests: bool  # the cursor may rest here


class Asked(NamedTuple):
    """Everything that a form is drawn from."""

    calculator: Calculator
    draft: Draft
    outcome: Outcome | None
    sides: Sequence[str]
    show: Show


_ROOM = 12  # lines that a form needs so that what is wrong with one value may take as many as it does
_LOW = 2  # else: the results beside it say all of it, and the list stays in sight
_VALUE = 18  # columns that a value wants at least; a label has 16 all the same


def form_rows(asked: Asked, width: int, height: int = 99) -> list[FormRow]:
    """Every input with its value, a row for each side where it is given per side; what is to be said of it beneath.

    Where the form is low that is cut: the results beside it say all of it, and the list stays in sight.
    """
    name, inputs = asked.calculator.name, asked.calculator.inputs
    sides_of = {each.key: row_sides(each, asked.draft.typed(name, each.key), asked.sides) for each in inputs}
    beside = max((cell_len(_where(asked, each, side)) for each in inputs for side in sides_of[each.key]), default=0)
    beside = min(beside + 1, 15) if beside else 0
    label = min(max(len(each.key) for each in inputs), max(16, width - beside - 3 - _VALUE))
    problems = _problems(asked.outcome)
    rows: list[FormRow] = []
    for each in inputs:
        sides = sides_of[each.key]
        for side in sides:
            wrong = problems.pop(_name(each.key, side), [])
            if side == sides[-1]:
                wrong += problems.pop(each.key, [])
                # Of a side that has no row of its own, because one value serves all.
                wrong += [f"{one}: {says}" for one in asked.sides for says in problems.pop(_name(each.key, one), [])]
            head = cut(each.key if side == sides[0] else "", label)
            where = cut(_where(asked, each, side), beside)
            drawn = line((f"  {head} ", "strong"), (where, "dim"), *_value_pieces(asked, each, side, bool(wrong)))
            notes = line(*_change_pieces(asked, each, side))
            fits = _wide(drawn) + _wide(notes) + 2 <= width
            below = [line((f"✗ {says}", "trap")) for says in wrong]
            if notes and fits:
                drawn = (*drawn, Piece("  "), *notes)
            elif notes:
                below.insert(0, notes)
            rows.append(FormRow(each.key, side, drawn, True))
            for part in _below(below, max(10, width - 5), 99 if height >= _ROOM else _LOW):
                rows.append(FormRow(each.key, side, (Piece("    "), *part), False))
    return rows


def _below(lines: list[Line], room: int, most: int) -> list[Line]:
    """What is said under a value, in so many lines; the last one tells that there is more."""
    folded = fold(lines, room)
    if len(folded) <= most:
        return folded
    last = folded[most - 1]
    while len(last) > 1 and (_wide(last) > room - 2 or last[-1].text.isspace()):
        last = last[:-1]  # whole words, so that what is said does not end in half of one
    return [*folded[: most - 1], (*shortened(last, room - 2), Piece(" …"))]


def _wide(pieces: Line) -> int:
    return sum(cell_len(piece.text) for piece in pieces)


def _where(asked: Asked, each: Input, side: str | None) -> str:
    """The side of a row, or that it is for all of them."""
    if side is not None:
        return side
    return _all_sides(asked.sides) if each.sided else ""


def row_sides(each: Input, value: Typed, sides: Sequence[str]) -> list[str | None]:
    """The sides that have a row of their own for an input; None for its one value."""
    return [*sides] if isinstance(value, Mapping) and each.sided else [None]


def _all_sides(sides: Sequence[str]) -> str:
    return {1: sides[0], 2: "both"}.get(len(sides), "all")


def _name(key: str, side: str | None) -> str:
    return key if side is None else f"{key}.{side}"


def _problems(outcome: Outcome | None) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for key, says in outcome.problems if outcome is not None and outcome.result is None else ():
        found.setdefault(key, []).append(says)
    return found


def of_side(value: Typed, side: str | None) -> str:
    """The text of a typed value in one row."""
    if isinstance(value, Mapping):
        return value.get(side or "", "")
    return value or ""


def _value_pieces(asked: Asked, each: Input, side: str | None, wrong: bool) -> list[Piece | tuple[str, str] | str]:
    name = asked.calculator.name
    text = of_side(asked.draft.typed(name, each.key), side)
    pieces: list[Piece | tuple[str, str] | str] = []
    if text.strip():
        pieces += [("✗ ", "trap")] if wrong else []
        pieces.append((text, "trap" if wrong else ""))
    elif wrong:
        pieces.append(("✗ missing", "trap"))
    elif each.taken:
        pieces.append((_taken(asked, each, side), "dim"))
    elif each.needed:
        pieces.append(("◇ needed", "waits"))
    else:
        pieces.append(("– not given", "dim"))
    return pieces


def _change_pieces(asked: Asked, each: Input, side: str | None) -> list[Piece | tuple[str, str] | str]:
    """What a value was before it was changed, and what the file says of it by now."""
    name = asked.calculator.name
    change = asked.draft.changes.get((name, each.key))
    if change is None:
        return []
    pieces: list[Piece | tuple[str, str] | str] = []
    text = of_side(asked.draft.typed(name, each.key), side)
    was, file = of_side(change.old, side), saved_text(asked.draft.saved, name, each.key)
    if was.strip() != text.strip() or isinstance(change.old, Mapping) != isinstance(change.new, Mapping):
        pieces.append((f"Δ was {_said(change.old, side)}", "waits"))
    if meant(file) not in (meant(change.old), meant(change.new)):
        pieces.append((f"{'  ' if pieces else ''}✗ the file says {_said(file, side)} now", "trap"))
    return pieces


def _said(value: Typed, side: str | None) -> str:
    """A value as it was, in few words."""
    if isinstance(value, Mapping) and side is None:
        return ", ".join(f"{each} {text}" for each, text in value.items())
    return of_side(value, side).strip() or "not given"


def _taken(asked: Asked, each: Input, side: str | None) -> str:
    """Where a value is taken from that is not given, and what it is."""
    found = []
    result = asked.outcome.result if asked.outcome is not None else None
    for working in result.working if result is not None else ():
        if working.name == each.key and working.source == "input" and side in (None, working.side):
            value = working.value
            text = value if isinstance(value, str) else ""
            if isinstance(value, Quantity):
                unit = KINDS[each.kind].base
                text = asked.show.brief(value.value) if unit == "mm" else f"{value.value:g} {unit}"
            found.append(text if working.side is None else f"{working.side} {text}")
    return f"← {', '.join(found)} from {each.taken}" if found else f"– else from {each.taken}"


def hint_lines(each: Input, show: Show, room: int = 999) -> list[Line]:
    """What an input is, what it may be, and how it is written: as many facts as there is room for, each whole."""
    facts = ["needed" if each.needed else f"needed unless {each.unless}" if each.unless else "may be left out"]
    if each.choices:
        facts.append(" or ".join(each.choices))
    elif each.kind != "text":
        facts.append(each.kind)
    if each.low is not None and each.high is not None:
        facts.append(_range(each, show))
    if each.taken:
        facts.append(f"else taken from {each.taken}")
    if each.ranged:
        facts.append("a range lo..hi may be given")
    if each.kind != "text":
        facts.append(allowed(each.kind))
    while len(facts) > 1 and cell_len("; ".join(facts)) > room:
        facts.pop()
    return [line(each.doc), line(("; ".join(facts), "dim"))]


def _range(each: Input, show: Show) -> str:
    assert each.low is not None and each.high is not None  # noqa: S101  # asked for where there are both
    if each.kind == "length":
        return f"{show.brief(each.low, 'up')} to {show.brief(each.high, 'down')}"
    return f"{each.low:g} to {each.high:g} {KINDS[each.kind].base}".strip()


class Fitted(Message):
    """A part of the screen has another size, so what it shows has to be made anew."""


class Pane(TextPane):
    """A text that is made for the width there is."""

    def on_resize(self, event: Resize) -> None:
        """Tell the screen."""
        self.post_message(Fitted())


class Form(LineList):
    """The form on the screen."""

    def on_resize(self, event: Resize) -> None:
        """Tell the screen."""
        self.post_message(Fitted())

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(self._drawn, id=id)
        self.rows: list[FormRow] = []
        self.stops: list[int] = []

    def show_rows(self, rows: list[FormRow]) -> None:
        """Take the rows; the cursor stays on its input."""
        at = self.row
        self.rows = rows
        self.stops = [index for index, row in enumerate(rows) if row.rests]
        names = [(row.key, row.side) if row.rests else index for index, row in enumerate(rows)]
        self.set_rows(names)
        if at is not None and (at.key, at.side) not in names:  # it was split or joined: to the same input
            self.cursor = next((i for i in self.stops if rows[i].key == at.key), self.cursor)
        if self.stops and self.cursor not in self.stops:
            self.cursor = self.stops[min(bisect_left(self.stops, self.cursor), len(self.stops) - 1)]
        self.show_cursor()

    @property
    def row(self) -> FormRow | None:
        """The row under the cursor."""
        return self.rows[self.cursor] if self.cursor < len(self.rows) and self.stops else None

    def to(self, key: str, side: str | None) -> None:
        """Put the cursor on an input, without a word to the screen, which wants it there."""
        for index in self.stops:
            if self.rows[index].key == key and side in (None, self.rows[index].side):
                self.cursor = index
                self.show_cursor()
                self.refresh()
                return

    def _drawn(self, index: int, width: int) -> list[Line]:
        row = self.rows[index]
        return [_marked(row.drawn) if index == self.cursor else row.drawn]

    def show_cursor(self) -> None:
        """Scroll so far that the cursor and what is wrong with its value can be seen."""
        end = self.cursor + 1
        while end < len(self.rows) and not self.rows[end].rests:
            end += 1
        height = self.scrollable_content_region.height
        self.show_lines(self.cursor, min(end, self.cursor + max(1, height)))

    def _step(self, by: int) -> None:
        if self.stops:
            at = bisect_left(self.stops, self.cursor) + by
            self.move_to(self.stops[max(0, min(at, len(self.stops) - 1))])

    def action_up(self) -> None:
        """To the value above."""
        self._step(-1)

    def action_down(self) -> None:
        """To the value below."""
        self._step(1)

    def action_page_up(self) -> None:
        """A page up."""
        self._step(1 - max(2, self.size.height))

    def action_page_down(self) -> None:
        """A page down."""
        self._step(max(2, self.size.height) - 1)

    def action_first(self) -> None:
        """To the first value."""
        self._step(-len(self.rows))

    def action_last(self) -> None:
        """To the last value."""
        self._step(len(self.rows))

    def on_click(self, event: Click) -> None:
        """A click on what is wrong with a value counts for the value."""
        event.prevent_default()
        index = event.y + self.scroll_offset.y
        if not 0 <= index < len(self.rows):
            return
        while index and not self.rows[index].rests:
            index -= 1
        asked = index == self.cursor or event.chain > 1
        self.focus()
        self.move_to(index)
        if asked:
            self.post_message(self.Chosen(self))


def _marked(drawn: Line) -> Line:
    """A row with the cursor's own mark in its margin."""
    first = drawn[0]
    return (Piece("▌ ", "key"), first._replace(text=first.text[2:]), *drawn[1:])
