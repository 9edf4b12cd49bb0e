"""What the numbers screen says: the list of calculators, results with what they were, warnings, the working. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from rich.cells import cell_len

from planner.app.draw.drawing import cut
from planner.numbers.calculator import Calculator, Output, Show, Value
from planner.numbers.quantity import Quantity
from planner.numbers.showing import AID, answering, plus_minus, reading_name, shown, word_of
from planner.numbers.together import Outcome
from planner.plan.words import counted
from planner.session.numbers.draft import SLOW, Moved, Outcomes, differ, gone, moved
from planner.telling.looks import Line, Piece, line

#: Said under every view of numbers; the results end with the same in full.
SHORT_AID = "Planning aids: check by measurement. Local rules, licensed practice and inspection before the road."
#: A warning that shouts, in the words of the calculator that gave it.
_LOUD = re.compile(r"\b[A-Z]{2,} [A-Z]{2,}\b")


class State(NamedTuple):
    """How a calculator stands, by glyph and word."""

    glyph: str
    word: str
    look: str


def state_of(outcome: Outcome | None, *, busy: bool = False) -> State:
    """How a calculator stands."""
    if busy:
        return State("…", "at work", "waits")
    if outcome is None:
        return State("–", "empty", "dim")
    if outcome.result is not None:
        return State("✓", "found", "done")
    return State("◷", "waits", "waits") if outcome.waiting else State("✗", "refused", "trap")


def calculator_line(name: str, state: State, moves: bool, width: int) -> Line:
    """A calculator in the list: how it stands, and whether it moved."""
    if moves and state.word == "found":
        state = State("Δ", "moved", "waits")
    return line((f" {state.glyph} ", state.look), (f"{name:<10}", "strong"), (cut(state.word, width - 13), state.look))


class Told(NamedTuple):
    """Everything that the results of one calculator are told from."""

    calculator: Calculator
    outcome: Outcome | None
    before: Outcome | None  # as the file has it
    sides: Sequence[str]
    show: Show
    busy: bool = False


def head_line(told: Told, state: State, width: int) -> Line:
    """The calculator, how it stands and what it is for."""
    head = line((told.calculator.name, "title"), "  ", (f"{state.glyph} {state.word}", state.look), "  ")
    used = _wide(head)
    says = told.calculator.says
    return (*head, *line((cut(says, min(len(says), width - used)) if width - used > 10 else "", "dim")))


def result_lines(told: Told, elsewhere: Elsewhere, width: int) -> list[Line]:
    """The results, or why there are none; nothing is shown of what was refused."""
    outcome = told.outcome
    if told.busy:
        return [line(("… at work: cutting plans are compared", "waits"))]
    if outcome is None:
        none = line((f"– {told.calculator.name} has no inputs yet", "dim"))
        return [none, line(told.calculator.says), (), line((AID, "dim"))]
    if outcome.result is None:
        return [*_refused(outcome), *_elsewhere(elsewhere), (), line((AID, "dim"))]
    told = told._replace(show=answering(told.show, outcome.result))
    warnings = outcome.result.warnings
    loud = [each for each in warnings if _LOUD.search(each)]
    lines = [line((cut(f"! {each}", min(width, cell_len(each) + 2)), "gap")) for each in loud]
    rest = len(warnings) - len(loud)
    if rest:
        says = counted(rest, "more warning" if loud else "warning")
        lines.append(line((f"! {says} below", "caution")))
    lines += _elsewhere(elsewhere)
    lines += _values(told, width)
    if warnings:
        lines += [(), *(line(("! ", "head"), (each, "gap" if each in loud else "caution")) for each in warnings)]
    return [*lines, (), line((AID, "dim"))]


def _refused(outcome: Outcome) -> list[Line]:
    word = "waits for readings" if outcome.waiting else "refused: no result is shown from what is refused"
    head = line((f"◷ {word}", "waits") if outcome.waiting else (f"✗ {word}", "trap"))
    return [head, *(line((f"{key}  ", "head"), says) for key, says in outcome.problems)]


def _elsewhere(found: Elsewhere) -> list[Line]:
    lines = []
    if found.moved:
        said = ", ".join(f"{name} ({counted(count, 'number')})" for name, count in found.moved.items())
        lines.append(line((f"Δ also moves {said}", "waits")))
    if found.lost:
        lines.append(line((f"Δ leaves without numbers: {', '.join(found.lost)}", "waits")))
    return lines


def _values(told: Told, width: int) -> list[Line]:
    outcome = told.outcome
    assert outcome is not None and outcome.result is not None  # noqa: S101  # asked where there are results
    moves = moved(told.before, outcome) if told.before is not None else {}
    outputs = [each for each in told.calculator.outputs if each.key in outcome.result.results]
    beside = 0
    if any(isinstance(value, Mapping) for value in outcome.result.results.values()):
        beside = min(max(cell_len(side) for side in told.sides), 12) + 1
    inputs = {each.key for each in told.calculator.inputs}
    called = {each.key: f"= {each.key}" if each.key in inputs else each.key for each in outputs}
    name = min(max(map(len, called.values()), default=0), max(10, width - beside - 15))
    lines: list[Line] = []
    measured = outcome.result.measured

    def said(output: Output, value: Value, side: str | None) -> str:
        return word_of(output, value, measured=(output.key, side) in measured)

    for output in outputs:
        value = outcome.result.results[output.key]
        if isinstance(value, Mapping):
            apart = differ(value, told.sides)
            for at, (side, each) in enumerate(value.items()):
                head = line((cut("" if at else called[output.key], name) + " ", "head"), (cut(side, beside), "dim"))
                tail = ("≠ sides differ", "notice") if apart and not at else ""
                lines += _value(
                    told, output, each, head, (moves.get((output.key, side)), tail, said(output, each, side)), width
                )
        else:
            head = line((cut(called[output.key], name) + " ", "head"))
            lines += _value(
                told, output, value, head, (moves.get((output.key, None)), "", said(output, value, None)), width
            )
    lost = gone(told.before, outcome)
    if lost:
        names = ", ".join(key if side is None else f"{key} {side}" for key, side in lost)
        lines.append(line((f"Δ no longer there: {names}", "waits")))
    return lines


def _value(
    told: Told,
    output: Output,
    value: Value,
    head: Line,
    marks: tuple[Moved | None, tuple[str, str] | str, str],
    width: int,
) -> list[Line]:
    """A value with its exact value, then what it was, then its ± and the reading that dominates it."""
    moves, tail, word = marks
    if isinstance(value, tuple):
        was = line(("  Δ moved", "waits")) if moves is not None else ()
        return [(*head, *was), *(line(f"  {shown((row,), '', told.show)}") for row in value)]
    brief, exact = _brief(output, value, told.show)
    parts = [line((exact, "dim")), line(tail)]
    if moves is not None:
        parts.append(line((f"Δ {_was(output, moves.was, value, told.show)}", "waits")))
    doubt = plus_minus(value, output.unit, told.show)
    if doubt and isinstance(value, Quantity):
        by = reading_name(value.dominant or "", told.calculator.name)
        parts.append(line((f"{doubt}, mostly {by}", "dim")))
    lines = [(*head, *line(word, (brief, "large")))]
    for part in parts:
        if not part:
            continue
        if _wide(lines[-1]) + 2 + _wide(part) <= width:
            lines[-1] = (*lines[-1], Piece("  "), *part)
        else:
            lines.append((Piece("    ", "head"), *part))
    return lines


def _wide(pieces: Line) -> int:
    return sum(cell_len(piece.text) for piece in pieces)


def _brief(output: Output, value: Value, show: Show) -> tuple[str, str]:
    """A value on its fraction, and the exact value in both systems."""
    text = shown(value, output.unit, show, output.rounding)
    if output.unit != "mm":
        return text, ""
    brief, _, exact = text.partition(" (")
    return brief, exact.removesuffix(")")


def _was(output: Output, was: Value | None, now: Value, show: Show) -> str:
    """What a value was, and by how much it moved."""
    if was is None:
        return "new"
    before = _brief(output, was, show)[0]
    if not (isinstance(was, Quantity) and isinstance(now, Quantity)):
        return f"was {before}"
    apart = now.value - was.value
    if before == _brief(output, now, show)[0]:
        said = f"{apart:+.3f} mm" if output.unit == "mm" else f"{apart:+.3g}"
        return f"was {before}, moved by {said}" if apart else f"was {plus_minus(was, output.unit, show) or 'exact'}"
    if output.unit == "mm":
        return f"was {before}, {'+' if apart > 0 else '-'}{show.brief(abs(apart))}"
    return f"was {before}"


def working_lines(told: Told) -> list[Line]:
    """The working, line by line, with every formula and its source."""
    outcome = told.outcome
    if told.busy or outcome is None or outcome.result is None:
        return [line(("there is no working of what has no result", "dim"))]
    from planner.numbers.showing import explain

    lines = []
    for text in explain(outcome.result, told.show):
        name, equals, rest = text.strip().partition(" = ")
        said, _, source = rest.rpartition("  [")
        lines.append(line((f"{name} ", "head"), f"{equals.strip()} {said}", (f"  [{source}", "dim")))
    return [*lines, (), line((AID, "dim"))]


class Elsewhere(NamedTuple):
    """What the changes do to the other calculators."""

    moved: Mapping[str, int]  # how many numbers moved or came
    lost: tuple[str, ...]  # those that had numbers and have none now


def moved_elsewhere(name: str, before: Outcomes, now: Outcomes, *, busy: bool = False) -> Elsewhere:
    """What moves beside the calculator that is shown; ``busy``: the slow one is not known yet."""
    moves: dict[str, int] = {}
    lost = []
    for other in dict.fromkeys((*before, *now)):
        old, new = before.get(other), now.get(other)
        if other == name or (busy and other == SLOW):
            continue
        count = len(moved(old, new)) + len(gone(old, new))
        if count and (new is None or new.result is None):
            lost.append(other)
        elif count:
            moves[other] = count
    return Elsewhere(moves, tuple(lost))


def has_moved(before: Outcome | None, now: Outcome | None) -> bool:
    """Whether any number of a calculator is not what the file yields."""
    return bool(moved(before, now) or gone(before, now))
