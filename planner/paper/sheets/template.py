"""Wrap templates at true size: the two cuts of a side that ``narrow`` reckons, and the end that ``wrap`` describes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.numbers.calculator import Result, Show
from planner.numbers.quantity import Quantity
from planner.numbers.shapes.unrolled import END, FIRST, PLATE, SECOND, NoTemplateError, Unrolled, of_narrow, of_wrap
from planner.numbers.showing import plus_minus
from planner.paper.drawn.unrolled import Told, drawn
from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.sizes import Size
from planner.paper.ground.tiling import Layout, key_plan, laid_out, pages
from planner.paper.ground.tree import (
    SMALL,
    Block,
    Caution,
    Column,
    Document,
    Figure,
    Heading,
    NewPage,
    Table,
    Text,
    cell,
    row,
    say,
)
from planner.session.worked import worked_out

_BAND = "print at 100 %, not fitted to the page; measure the bar"
_WRONG = "On your left, the paper is inside out or the wrong way round."


class _Said(NamedTuple):
    """Words about one template."""

    heading: str
    who: str  # which side, and from where it is seen
    told: Told
    numbers: tuple[tuple[str, str], ...]
    how: tuple[str, ...]
    cautions: tuple[str, ...]


_KEY = 45.0  # mm, how tall a key plan may be


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError with what numbers.yaml lacks."""
    numbers = worked_out(facts.one)
    if numbers is None:
        raise NothingToPrintError("there is no numbers.yaml: templates are drawn from its sections narrow and wrap")
    results = {name: each.result for name, each in numbers.outcomes.items() if each.result is not None}
    tacks, beads = results.get("tacks"), results.get("beads")
    blocks: list[Block] = []
    lacking: list[str] = []
    narrow, wrap = results.get("narrow"), results.get("wrap")
    if narrow is not None:
        for side in facts.sides:
            try:
                tube = of_narrow(narrow, side, tacks, beads)
            except NoTemplateError as error:
                lacking.append(str(error))
                continue
            said = _of_narrow(narrow, tube, numbers.show)
            blocks += _blocks(facts, tube, said, numbers.show, first=not blocks)
    elif "narrow" in numbers.outcomes:
        lacking.append("narrow has readings missing or is refused: see planner numbers")
    if wrap is not None and (facts.asked.side is None or narrow is None):
        straight = wrap.given_text("cut") == "straight"
        try:
            if not (straight and blocks):  # two square cuts are drawn already
                tube = of_wrap(wrap, tacks, beads)
                blocks += _blocks(
                    facts, tube, _of_wrap(facts, wrap, tube, numbers.show), numbers.show, first=not blocks
                )
        except NoTemplateError as error:
            lacking.append(str(error))
    if not blocks:
        why = "; ".join(lacking) or "add a section narrow, or wrap with diameter and cut"
        raise NothingToPrintError(f"numbers.yaml has nothing to draw wrap templates from: {why}")
    left_out: list[Block] = [say(f"Not drawn: {each}.") for each in lacking]
    return facts.document("template", "Wrap templates, true size", (*left_out, *blocks))


def _blocks(facts: Facts, tube: Unrolled, said: _Said, show: Show, *, first: bool) -> list[Block]:
    drawing = drawn(tube, said.told)
    layout = laid_out(drawing, facts.asked.size.frame)
    count = len(layout.tiles)
    made = pages(layout, facts.asked.size.frame, (said.who, _BAND))
    numbers = Table((Column("", 1), Column("", 2)), tuple(row(name, value) for name, value in said.numbers))
    found: list[Block] = [] if first else [NewPage()]
    found += [Heading(said.heading), say(said.who, "strong"), *map(Caution, said.cautions), numbers]
    found += _key(layout, facts.asked.size, said.who)
    found += [Heading("How it is laid on", 2), *(say(f"{i}. {each}") for i, each in enumerate(said.how, 1))]
    found += [*map(say, _notes(tube)), *_round_table(tube, show)]
    words = _in_words(tube, said, show)
    for index, each in enumerate(made, 1):
        parts = f"{said.heading}, part {index} of {count}, at true size."
        found.append(Figure(each, (parts, *(words if index == 1 else ("The words stand with part 1.",))), alone=True))
    return found


def _key(layout: Layout, size: Size, who: str) -> list[Block]:
    count = len(layout.tiles)
    if count == 1:
        return []
    says = f"It is printed in {count} parts, {layout.columns} across and {layout.rows} down"
    how = "Lay the crosses with the same letter on each other, then tape the parts: the bar proves each page."
    figure = Figure(
        key_plan(layout, (size.frame[0], _KEY)), (f"{says}, numbered row by row.",), "Key plan, not to scale"
    )
    return [say(f"{says}, laid together as here. {how}"), figure]


def _round_table(tube: Unrolled, show: Show) -> list[Block]:
    """For marking with a tape where there is no printer."""
    curved = tube.name == "wrap" and len({y for _, y in tube.lines[0].points}) > 1
    blocks: list[Block] = [Heading("The same for a tape", 2)]
    rounds = [_short(show, math.pi * tube.diameter * hour / 12) for hour in range(12)]
    if curved:
        backs = [_short(show, _along(tube.lines[0].points, tube.around * hour / 12)) for hour in range(12)]
        cells = [(f"{hour or 12}:00", rounds[hour], backs[hour]) for hour in range(12)]
        titles = (("clock", 1.0), ("round the tube", 2.0), ("back from the longest", 2.0))
        columns = tuple(Column(*each) for each in titles * 2)
        pairs = zip(cells[:6], cells[6:], strict=True)
        rows = tuple(row(*(cell(Text(each, SMALL)) for each in (*left, *right))) for left, right in pairs)
        blocks.append(Table(columns, rows))
    else:
        listed = "; ".join(f"{hour} at {rounds[hour]}" for hour in range(1, 12))
        blocks.append(say(f"Round the tube from twelve: {listed}."))
    for name, places in (("Tacks", tube.tacks), ("Beads of the root", tube.beads)):
        if places:
            listed = "; ".join(f"{each.number} at {each.clock}" for each in places)
            blocks.append(say(f"{name}, in this order: {listed}."))
    return blocks


def _short(show: Show, mm: float) -> str:
    """A length on its fraction, with the tenth of a millimetre beside it."""
    return f"{show.brief(mm)} ({mm:.1f} mm)" if show.denominator else show.brief(mm)


def _along(points: Sequence[tuple[float, float]], at: float) -> float:
    return min(points, key=lambda point: abs(point[0] - at))[1]


def _value(result: Result, key: str, side: str, show: Show) -> str:
    """A result, else an input, with its ±; empty where there is neither."""
    found = result.results.get(key)
    if not isinstance(found, (Quantity, str, tuple)) and found is not None:
        found = found.get(side)
    if not isinstance(found, Quantity):
        arrived = result.given.arrived(key, side)
        if not isinstance(arrived, Quantity):
            return ""
        found = arrived
    return " ".join(filter(None, (show.quantity(found), plus_minus(found, "mm", show))))


def _brief(result: Result, key: str, side: str, show: Show) -> str:
    found = result.results.get(key)
    value = found.get(side) if isinstance(found, Mapping) else None
    return show.on_tape(value) if isinstance(value, Quantity) else ""


def _of_narrow(result: Result, tube: Unrolled, show: Show) -> _Said:
    side, name = tube.side, tube.side.upper()
    one, two = _brief(result, "first-line", side, show), _brief(result, "second-line", side, show)
    has_first = any(each.name == FIRST for each in tube.lines)
    kerf = "saw in the hatching"
    lines = {
        FIRST: f"LINE 1  {name}  {one} from the plate face, {kerf}",
        SECOND: f"LINE 2  {name}  {two} from the plate face, {kerf}",
    }
    keep_outs = tuple(
        "beyond the plate face: cut the paper off"
        if each.what == PLATE and each.high == 0
        else f"{each.what}, {show.brief(each.low)} to {show.brief(each.high)}: cut the paper away"
        for each in tube.keep_outs
    )
    told = Told(
        lines,
        f"this edge to the {name} END",
        f"{name}: this edge to the MIDDLE",
        f"{name}  WASTE",
        keep_outs,
        "tab: goes under, so that the two lines marked 12 meet",
        "clock, facing that end →",
        "TWELVE O'CLOCK",
    )
    rows = [("tube, outside diameter", show.length(tube.diameter)), _paper_row(tube, show)]
    for key, says in (
        ("first-line", "line 1 from the plate face"), ("second-line", "line 2 from the plate face"),
        ("between", "from line 1 to line 2"), ("waste", "piece that falls out"),
        ("dressing", "left proud, to dress off"), ("kerf", "kerf, in the hatching"),
    ):  # fmt: skip
        value = _value(result, key, side, show)
        if value and (has_first or key not in ("first-line", "between", "waste")):
            rows.append((says, value))
    thick = (
        "Thick: the line to file to. Dashed beside it: the edge of the saw cut. Dotted: how far the kerf reaches, into"
    )
    thick += " the hatching and never into what stays."
    place = f"line {'1' if has_first else '2'}"
    where = one if has_first else two
    how = (
        *_proving(tube, show),
        (
            f"Wrap it tight on the {name} side, printed face outward, the edge marked {name} END toward that end."
            f" Check: facing the {name} end, 3 is on your right. {_WRONG}"
        ),
        (
            f"Slide it until {place} is {where} from the plate face at 12, 3, 6 and 9, by the tape and never by an"
            " edge of the paper; turn it until 12 is up."
        ),
        f"Mark every line, then read the lines back from the plate face with another tape. {thick}",
        "Cleaning the edges bright takes marks near them off: carry 12, and the numbers, further back with the punch.",
    )
    cautions = [f"{name} only. The sides differ: never wrap this on another side."] if len(result.sides) > 1 else []
    return _Said(
        f"{name}: cut lines",
        f"{name} side, seen facing the {name} end",
        told,
        tuple(rows),
        how,
        tuple(cautions),
    )


def _of_wrap(facts: Facts, result: Result, tube: Unrolled, show: Show) -> _Said:
    cut = result.given_text("cut")
    sideways = result.given_number("sideways") or 0.0
    told = Told(
        {END: f"CUT ({cut}): the hatched part comes off, saw in it"},
        "this edge to the CUT END",
        "ONE HAND: this edge to the REST of the tube" if sideways else "this edge to the REST of the tube",
        "WASTE",
        (),
        "tab: goes under, so that the two lines marked 12 meet",
        "clock, facing that end →",
        "TWELVE O'CLOCK",
    )
    rows = [("cut", cut), ("tube, outside diameter", show.length(tube.diameter)), _paper_row(tube, show)]
    for key, says in (
        ("onto", "sits on a tube of"), ("sideways", "axes apart, toward three o'clock"), ("wall", "wall"),
        ("deepest", "most that the cut stands back"),
    ):  # fmt: skip
        value = _value(result, key, "", show)
        if value:
            rows.append((says, value))
    angle = result.given_number("angle")
    if angle is not None:
        rows.append(("angle from square" if cut == "mitre" else "angle between the axes", f"{angle:g} deg"))
    sides = " and ".join(facts.one.plan.build.sides)
    how = (
        *_proving(tube, show),
        (
            "Wrap it tight, printed face outward, the edge marked END toward the end that is cut. Check: facing that"
            f" end, 3 is on your right. {_WRONG}"
        ),
        "Twelve is the longest point of a mitre; of a saddle it is on the side of the wide corner.",
        (
            "Mark the thick line. The whole saw cut lies in the hatching, however wide the blade; never on the side"
            " that stays."
        ),
    )
    cautions: list[str] = []
    if sideways:
        cautions.append(
            "ONE HAND ONLY: the tube sits off the middle, toward three o'clock facing its cut end. For the mirror side"
            " turn the sign of sideways and print again."
        )
        who = "ONE HAND ONLY, seen facing the end that is cut"
    else:
        who = f"the same on {sides}, seen facing the end that is cut"
    if result.given_number("wall"):
        cautions.append("The cut stands square to the wall; the deeper of bore and outside is drawn.")
    return _Said(f"End of the tube: {cut}", who, told, tuple(rows), how, tuple(cautions))


def _paper_row(tube: Unrolled, show: Show) -> tuple[str, str]:
    says = f"{show.length(tube.around)} with {tube.paper:g} mm of paper"
    return "once round, on the paper", says


def _proving(tube: Unrolled, show: Show) -> tuple[str, ...]:
    return (
        "Print at 100 %, not fitted to the page, and measure the bar on every page: 100 mm from end to end.",
        (
            "Cut it out along its outline. The two lines marked 12 must meet on the tube; where they miss by more than"
            f" {show.brief(25.4 / 32)} the tube is not {show.length(tube.diameter)}: measure it, and do not stretch"
            " the paper."
        ),
    )


def _notes(tube: Unrolled) -> list[str]:
    return [f"{name} are reckoned for a tube of another diameter, and are not drawn." for name, _ in tube.notes]


def _in_words(tube: Unrolled, said: _Said, show: Show) -> tuple[str, ...]:
    """What the drawing shows, for those who have the words alone."""
    told = said.told
    words = [
        (
            f"The outside of the tube laid flat, {show.length(tube.around)} round and"
            f" {show.length(tube.far - tube.near)} along. {said.who}."
        ),
        f"Edges: {told.end}; {told.inner}. Lines along the tube at every hour, twelve at both ends.",
        *(f"{told.lines[each.name]}." for each in tube.lines),
        "Hatched: what comes off.",
        *(f"Dashed: {each}." for each in told.keep_outs),
    ]
    if tube.tacks:
        words.append(f"Tacks, numbered in their order: {', '.join(f'{p.number} at {p.clock}' for p in tube.tacks)}.")
    if tube.beads:
        words.append(f"Beads of the root: {', '.join(f'b{p.number} at {p.clock}' for p in tube.beads)}.")
    return tuple(words)
