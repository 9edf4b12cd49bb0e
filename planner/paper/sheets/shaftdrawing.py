"""The drawing that shafts are ordered by: one a side, on measured lengths only, and never one for both."""

from __future__ import annotations

from planner.numbers.calculator import Result, Show
from planner.numbers.calculators.shaft import to_measure
from planner.numbers.quantity import Quantity
from planner.numbers.showing import plus_minus
from planner.paper.drawn.shaft import ShaftWords, drawn
from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import (
    Blank,
    Block,
    Caution,
    Column,
    Document,
    Figure,
    Heading,
    NewPage,
    Row,
    Table,
    cell,
    row,
    say,
)
from planner.session.shaftlength import Length, Why, shaft_length, still_open
from planner.session.worked import worked_out

NONE = "NO LENGTH TO ORDER BY YET"
_MOST = 3


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError where the build has no housing to measure shafts for."""
    numbers = worked_out(facts.one)
    outcomes = {} if numbers is None else numbers.outcomes
    narrow = outcomes.get("narrow")
    if numbers is None or narrow is None:
        raise NothingToPrintError(
            "no length to order by: shafts are ordered by measured-half in the section narrow of numbers.yaml,"
            " and there is none"
        )
    if narrow.result is None:
        raise NothingToPrintError(
            "no length to order by: narrow has readings missing or is refused; see planner numbers"
        )
    shaft = outcomes["shaft"].result if "shaft" in outcomes else None
    blocks: list[Block] = []
    for side in facts.sides:
        if blocks:
            blocks.append(NewPage())
        blocks += _side(facts, narrow.result, shaft, side, numbers.show)
    return facts.document("shaft-drawing", "Shaft drawings, one a side", tuple(blocks))


def _side(facts: Facts, narrow: Result, shaft: Result | None, side: str, show: Show) -> list[Block]:
    name = side.upper()
    found = shaft_length(facts.one, narrow, side)
    blocks: list[Block] = [
        Heading(f"{name}: axle shaft"),
        Caution(f"{name} only: never order both shafts by one drawing. Never weld, sleeve or heat-straighten a shaft."),
    ]
    if found.value is None:
        blocks += [Caution(f"{name}: {NONE}."), say(_why(facts, found)), say("No length is printed until then.")]
    else:
        length = _with_doubt(found.value, show)
        words = _words(shaft, side, f"measured {length}", show)
        told = (
            f"{name} axle shaft from the side, wheel face on the left, inner end on the right, not to scale.",
            f"Length from the wheel face of the flange to the inner end: measured {length}.",
            *(each for each in (words.spline, words.body) if each),
        )
        blocks += [Figure(drawn(words), told), _table(shaft, side, show)]
        waiting = [each for each in still_open(facts.one) if each.partition("@")[2] in ("", side)]
        if waiting:
            blocks.append(Caution(f"Before it is ordered the plan still needs: {', '.join(waiting)}."))
    blocks += [Heading("To measure and write in", 2), _to_measure(shaft, side), *_notes()]
    return blocks


def _why(facts: Facts, found: Length) -> str:
    """Why a side has no length, and what to do about it, in one paragraph."""
    side, details = found.side, found.details
    match found.why:
        case Why.NO_SHAFT:
            return "narrow has no length of the present shaft to reckon from: add shaft: to narrow in numbers.yaml."
        case Why.SPOILED:
            read, by, work = details
            return (
                f"It was read as {read} at {by}, and {work} has cut, heated or forced it since: measure it again, cold."
            )
        case Why.NOT_MEASURED:
            fact, *givers = details
            to_do = f" To do: {', '.join(givers)}." if givers else " Measure it again, cold."
            return (
                f"A half is written down, but {fact} does not hold: it is not measured since the last cut, heat or"
                f" force.{to_do}"
            )
        case Why.TO_COME:
            more = f" and {len(details) - _MOST} more" if len(details) > _MOST else ""
            return (
                "A half is written down, but work that cuts, heats or forces the housing is still to come:"
                f" {', '.join(details[:_MOST])}{more}. Measure after it, cold."
            )
        case _:
            where = f" at {', '.join(details)}" if details else ""
            return (
                f"The half of the housing on the {side} side is not measured yet: read it cold, after the last"
                f" heat{where}, and write it as measured-half: in the section narrow of numbers.yaml."
            )


def _with_doubt(value: Quantity, show: Show) -> str:
    return " ".join(filter(None, (show.quantity(value), plus_minus(value, "mm", show))))


def _given(shaft: Result | None, key: str, side: str, show: Show) -> str:
    found = None if shaft is None else shaft.given.arrived(key, side)
    return _with_doubt(found, show) if isinstance(found, Quantity) else ""


def _words(shaft: Result | None, side: str, length: str, show: Show) -> ShaftWords:
    body, spline = _given(shaft, "diameter", side, show), _spline(shaft)
    return ShaftWords(
        side.upper(),
        length,
        f"splines: {spline}" if spline else "",
        f"stated, where thinnest: {body}" if body else "",
        f"wheel end ({side})",
        "inner end, in the side gear",
    )


def _spline(shaft: Result | None) -> str:
    """Teeth, pitch and pressure angle; empty where they are not given."""
    if shaft is None or shaft.given_number("teeth") is None:
        return ""
    teeth, angle = shaft.given_number("teeth") or 0.0, shaft.given_number("pressure-angle")
    pitch = shaft.given_text("pitch")
    return f"{teeth:.0f} teeth, pitch {pitch}, {'angle not stated' if angle is None else f'{angle:g} deg'}"


def _table(shaft: Result | None, side: str, show: Show) -> Table:
    """What is known; what is not has a line to write on."""
    retention = "" if shaft is None else shaft.given_text("retention")
    held = {"clip": "by a clip in a groove at the inner end", "plate": "by a plate over the bearing at the outer end"}
    studs = [_given(shaft, key, side, show) for key in ("stud", "stud-length")]
    rows = [
        ("splines, stated", _spline(shaft)),
        ("spline in its gear, stated", _given(shaft, "engagement", side, show)),
        ("diameter where thinnest, stated", _given(shaft, "diameter", side, show)),
        ("held", held.get(retention, "")),
        ("studs, stated", " x ".join(filter(None, studs))),
        ("limit of the length, ±", ""),
        ("material and hardness", ""),
    ]
    made = [row(name, value or cell(Blank("", 60))) for name, value in rows]
    return Table((Column("", 1), Column("", 2)), tuple(made))


def _to_measure(shaft: Result | None, side: str) -> Table:
    """The list that goes with an order, with a line for each reading and its ±."""
    order = None if shaft is None else shaft.results.get("order")
    listed = order if isinstance(order, tuple) else ()
    says: tuple[str, ...] = to_measure(shaft.given_text("retention")) if shaft is not None and listed else ()
    if not says:
        says = ("wheel face of the flange to the inner end", "splines: teeth, size over them, length of full teeth")
    rows: list[Row] = [Row((cell(each), (((Blank("", 18), Blank("±", 10))),))) for each in says]
    return Table((Column(f"{side.upper()}, cold, after the last heat", 5), Column("read", 2)), tuple(rows))


def _notes() -> list[Block]:
    return [
        say("Send the readings with their ±, and have the maker say them back in writing, side by side."),
    ]
