"""The plan drawn as rows of steps with a column a side, under a cursor that knows its side."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual.binding import BindingType
from textual.events import Click, Resize
from textual.message import Message
from textual.strip import Strip

from planner.app.draw.drawing import cut, strip
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.plan.columns import Columns, cell_texts, fitting_text, share_out
from planner.telling.looks import Line, Piece, literal
from planner.telling.rows import EPISODE, STAGE, STEP, CellState, PlanRow


class StepGrid(LineList):
    """Rows of the plan; the cursor rests on steps only."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("grid")

    class Shared(Message):
        """The width was shared out anew."""

    def __init__(
        self,
        state: Callable[[PlanRow, int], CellState | None],
        row_mark: Callable[[PlanRow], Piece | None],
        *,
        id: str | None = None,  # noqa: A002
    ) -> None:
        super().__init__(lambda _row, _width: (), id=id)
        self.state = state
        self.row_mark = row_mark
        self.linked: Mapping[str, Piece] = {}  # by step: how it is tied to the operation under the cursor
        self.rows: Sequence[PlanRow] = ()
        self.sides: Sequence[str] = ()
        self.column = 0
        self.stops: list[int] = []
        self.row_of: dict[str, int] = {}
        self.columns = Columns(0, 0, 0, 0)

    def show_plan(self, rows: Sequence[PlanRow], sides: Sequence[str]) -> None:
        """Take the rows of a plan; the cursor stays on its step where there is one."""
        self.rows, self.sides = rows, sides
        self.stops = [index for index, row in enumerate(rows) if row.what == STEP]
        self.row_of = {row.step.id: index for index, row in enumerate(rows) if row.step is not None}
        self.column = min(self.column, max(0, len(sides) - 1))
        before = self.cursor
        self.set_rows([row.step.id if row.step is not None else index for index, row in enumerate(rows)])
        self.cursor = self._stop(self.cursor)
        if self.is_mounted and self.cursor != before:
            # Rows came or went above: the cursor keeps its place on the screen too.
            self.scroll_to(y=self.scroll_offset.y + self.cursor - before, animate=False)
        self.share()

    def share(self) -> None:
        """Share the width out again, once there is one."""
        width = self.scrollable_content_region.width
        if width > 0:
            self.columns = share_out(width, self.sides or ("",), self.column, self.columns.first)

    def on_resize(self, event: Resize) -> None:
        """The width to share out is the grid's own: the screen's is known before the outline takes its part."""
        self.share()
        self.post_message(self.Shared())

    def _stop(self, row: int) -> int:
        """The step at a row, or the nearest after it, or the last."""
        if not self.stops:
            return 0
        return self.stops[min(bisect_left(self.stops, row), len(self.stops) - 1)]

    @property
    def row(self) -> PlanRow | None:
        """The row under the cursor."""
        return self.rows[self.cursor] if self.stops else None

    def sides_line(self) -> Line:
        """The names of the sides over their columns, with a sign where more are hidden."""
        text, cell, first, shown = self.columns
        parts = [Piece(" " * text, "")]
        for index in range(first, first + shown):
            name = literal(self.sides[index]) if index < len(self.sides) else ""
            if index == first and first:
                name = f"‹ {name}"
            if index == first + shown - 1 and first + shown < len(self.sides):
                name = f"{cut(name, min(cell_len(name), cell - 3))} ›"
            parts.append(Piece(cut(name, cell - 1) + " ", "head"))
        return tuple(parts)

    def render_line(self, y: int) -> Strip:
        """One line, by its place on the screen."""
        width = self.scrollable_content_region.width
        palette, under = self.app.theme, self.under
        index = y + self.scroll_offset.y
        if index >= len(self.rows):
            return strip((), width, palette, under)
        row = self.rows[index]
        if row.what == EPISODE:
            return strip((Piece(cut(f" {row.text}", width), "title"),), width, palette, under)
        if row.what == STAGE:
            return strip((Piece(cut(f"   {row.text}", width), "head"),), width, palette, under)
        if row.step is None:
            return strip((), width, palette, under)
        here = index == self.cursor
        return strip(self._step_pieces(row, here), width, palette, under, "row" if here else "")

    def _step_pieces(self, row: PlanRow, here: bool) -> list[Piece]:
        text, cell, first, shown = self.columns
        cursor = "cursor" if here and self.has_focus else ""
        pieces = self._text_pieces(row, text, here)
        if len(row.cells) == 1:
            pieces += self._cell(row, 0, cell * shown, cursor, once=len(self.sides) > 1)
        else:
            for column in range(first, first + shown):
                pieces += self._cell(row, column, cell, cursor if column == self.column else "")
        return pieces

    def _text_pieces(self, row: PlanRow, width: int, here: bool) -> list[Piece]:
        """What to do; behind it how it is tied to the cursor's operation, else, where there is room, the step's id."""
        assert row.step is not None  # noqa: S101  # only steps come here
        lead = "   ▌ " if here else "     "
        mark = self.row_mark(row)
        pieces = [Piece(lead, "key"), *([mark, Piece(" ")] if mark else [])]
        tie = self.linked.get(row.step.id)
        tied = [] if tie is None else [Piece(" "), tie]
        room = max(0, width - sum(cell_len(piece.text) for piece in (*pieces, *tied)) - 1)
        name, words = literal(row.step.id), literal(row.text)
        used = cell_len(words)
        if tie is not None or used + 2 + cell_len(name) > room:
            return [*pieces, Piece(cut(words, room)), *tied, Piece(" ")]
        return [*pieces, Piece(words), Piece(cut(f"  {name}", room - used), "dim"), Piece(" ")]

    def tie(self, linked: Mapping[str, Piece]) -> None:
        """Draw these steps as tied to the operation under the cursor."""
        if linked != self.linked:
            self.linked = linked
            self.refresh()

    def _cell(self, row: PlanRow, column: int, width: int, cursor: str, *, once: bool = False) -> list[Piece]:
        state = self.state(row, column)
        if state is None:
            mark = None if row.step is None or row.step.why else self.row_mark(row)
            text = "–" if mark is None else f"– {mark.text}"
            return [Piece(cut(text, width - 1), cursor or (mark.look if mark else "dim")), Piece(" ")]
        inner = width - 1
        tail = Piece("  once", "dim") if once else None
        fits = fitting_text(cell_texts(state), inner - (len(tail.text) if tail else 0))
        used = sum(len(piece.text) for piece in fits)
        pieces = list(fits) if used <= inner else [Piece(cut("".join(p.text for p in fits), inner), fits[0].look)]
        used = min(used, inner)
        if tail and used + len(tail.text) <= inner:
            pieces.append(tail)
            used += len(tail.text)
        pieces.append(Piece(" " * (inner - used)))
        if cursor:
            pieces = [Piece(piece.text, cursor) for piece in pieces]
        return [*pieces, Piece(" ")]

    # Moving

    def step_to(self, stop: int) -> None:
        """Put the cursor on a step by its number among the steps."""
        if self.stops:
            self.move_to(self.stops[max(0, min(stop, len(self.stops) - 1))])

    def _number(self) -> int:
        return bisect_left(self.stops, self.cursor)

    def action_up(self) -> None:
        """To the step above; from the first one also its headings come into view."""
        self.step_to(self._number() - 1)
        if self._number() == 0:
            self.scroll_to(y=0, animate=False)

    def action_down(self) -> None:
        """To the step below."""
        self.step_to(self._number() + 1)

    def action_page_up(self) -> None:
        """A page of steps up."""
        self.step_to(bisect_left(self.stops, self.cursor - self.size.height + 1))

    def action_page_down(self) -> None:
        """A page of steps down."""
        self.step_to(max(self._number() + 1, bisect_right(self.stops, self.cursor + self.size.height - 1) - 1))

    def action_first(self) -> None:
        """To the first step."""
        self.step_to(0)
        self.scroll_to(y=0, animate=False)

    def action_last(self) -> None:
        """To the last step."""
        self.step_to(len(self.stops) - 1)

    def action_left(self) -> None:
        """To the side on the left."""
        self.to_column(self.column - 1)

    def action_right(self) -> None:
        """To the side on the right."""
        self.to_column(self.column + 1)

    def to_column(self, column: int) -> None:
        """Put the cursor on a side."""
        self.put(self.cursor, column)

    def put(self, row: int, column: int, *, by_hand: bool = True) -> None:
        """Put the cursor on a step and a side at once."""
        column = max(0, min(column, len(self.sides) - 1))
        if column != self.column:
            self.column = column
            before = self.columns
            self.share()
            if self.columns != before:
                self.refresh()
            if row == self.cursor:
                self.refresh_row(row)
                self.post_message(self.Moved(self, by_hand))
        self.move_to(row, by_hand=by_hand)

    def on_click(self, event: Click) -> None:
        """A click puts the cursor on a step and a side; on the cursor, or twice, it asks for it."""
        event.prevent_default()  # the list's own answer to a click knows no sides
        index = event.y + self.scroll_offset.y
        if not 0 <= index < len(self.rows) or self.rows[index].what != STEP:
            return
        text, cell, first, shown = self.columns
        was = (self.cursor, self.column)
        column = min(first + (event.x - text) // cell, first + shown - 1) if event.x >= text and cell else self.column
        self.put(index, column)
        on_cell = event.x >= text and was == (self.cursor, self.column)
        if on_cell or event.chain > 1:
            self.post_message(self.Chosen(self))
