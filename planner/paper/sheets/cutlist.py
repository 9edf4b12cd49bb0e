"""The cut list: lines and cuts of each side, what is sawn from bars, and how each bar is cut. Pure.

All of it comes from the numbers of the build; lengths stand in the trade's fractions with the exact value beside.
"""

from __future__ import annotations

from collections.abc import Mapping

from planner.numbers.calculator import Result, Show, Value
from planner.numbers.quantity import Quantity
from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.drawing import Drawing, Mark, Words, box, hatch
from planner.paper.ground.tree import (
    NUMBER,
    SMALL,
    STRONG,
    Block,
    Caution,
    Cell,
    Column,
    Document,
    Figure,
    Heading,
    Row,
    Table,
    Text,
    Tick,
    cell,
    row,
    say,
    stack,
)

#: What of narrow is marked or cut, in the order of the work, and what the sheet calls it.
LINES = {
    "first-line": "Line 1, from the plate face",
    "saw-first": "Middle of the saw cut at line 1, on the waste side",
    "saw-second": "Middle of the saw cut at line 2, on the waste side",
    "second-line": "Line 2, from the plate face",
    "waste": "Waste between the saw cuts",
    "stub": "Tube that stays on the end",
    "tube-left": "Tube that stays on the carrier",
}
_DIFFER = "THE SIDES DIFFER. Each column is of its own side: never carry a number across."
_BAR = 8.0  # mm, how tall a bar is drawn


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError where the numbers yield nothing to cut."""
    found = facts.numbers()
    if found is None:
        raise NothingToPrintError("the build has no numbers.yaml, so there is nothing worked out to cut")
    results = {name: each.result for name, each in found.outcomes.items() if each.result is not None}
    blocks: list[Block] = []
    if "narrow" in results:
        blocks += _lines(facts, results["narrow"], found.show)
    if "cradle" in results and "cut-list" in results["cradle"].results:
        blocks += _pieces(results["cradle"], found.show)
    if "bars" in results:
        blocks += _bars(facts, results["bars"], found.show)
    if not blocks:
        raise NothingToPrintError("numbers.yaml yields neither lines, a cut list nor a bar plan")
    blocks.append(
        Caution("Measure twice, with another tape. Guard on; eyes, face and hands out of the plane of the disc.")
    )
    return facts.document("cut-list", "Cut list and bar plan", tuple(blocks))


def _lines(facts: Facts, result: Result, show: Show) -> list[Block]:
    from planner.numbers.showing import plus_minus, shown

    says = {output.key: output for output in result.calculator.outputs}
    rows = []
    for key, name in LINES.items():
        values = result.results.get(key)
        if not isinstance(values, Mapping):
            continue
        cells: list[Cell] = [cell(name)]
        for side in facts.sides:
            value = values.get(side)
            if not isinstance(value, Quantity):
                cells.append(())
                continue
            text = shown(value, "mm", show, says[key].rounding)
            word = "measured" if (key, side) in result.measured else "planned"
            brief, _, rest = text.partition(" (")
            doubt = plus_minus(value, "mm", show)
            cells.append(
                stack(
                    (Text(brief, NUMBER),),
                    (Text(f"{rest.removesuffix(')')} {doubt}".strip(), SMALL),),
                    (Tick(False, word),),
                )
            )
        rows.append(Row(tuple(cells)))
    return [
        Heading("Lines and cuts in the tube", 1),
        say("A column a side: never carry a line across. Box: read back with another tape."),
        Table((Column("", 2), *(Column(side, 2) for side in facts.sides)), tuple(rows)),
        *((Caution(_DIFFER),) if result.differing else ()),
    ]


def _items(value: Value | Mapping[str, Value] | None) -> tuple[tuple[object, ...], ...]:
    return value if isinstance(value, tuple) else ()


def _pieces(result: Result, show: Show) -> list[Block]:
    rows = []
    for item in _items(result.results.get("cut-list")):
        count = item[0] if isinstance(item[0], int) else 1
        length = next((each for each in item if isinstance(each, Quantity)), None)
        if length is None:
            continue
        brief, _, rest = show.quantity(length).partition(" (")
        name = " ".join(str(each) for each in item[item.index(length) + 1 :])
        boxes = tuple(Tick() for _ in range(min(count, 40)))
        rows.append(
            Row(
                (
                    cell(f"{count} ×"),
                    stack((Text(brief, NUMBER),), (Text(rest.removesuffix(")"), SMALL),)),
                    cell(name),
                    stack(boxes),
                )
            )
        )
    columns = (Column("How many", 1), Column("Length", 2.4), Column("For", 2), Column("Cut", 2))
    return [Heading("Pieces of the cradle", 1), Table(columns, tuple(rows))] if rows else []


def _bars(facts: Facts, result: Result, show: Show) -> list[Block]:
    bars, stock = result.value("bars"), result.given_number("stock") or 0.0
    kerf, trim = result.given_number("kerf") or 0.0, result.given_number("trim") or 0.0
    least = result.value("fewest-possible")
    proof = "no plan can do with fewer" if least == bars else f"at least {least:.0f} are needed"
    about = f"{bars:.0f} bar{'s' if bars != 1 else ''} of {show.length(stock)}: {proof}."
    more = f"Saw cut {show.length(kerf)}; {show.length(trim)} is taken off each bar to true its end."
    blocks: list[Block] = [Heading("Bars", 1), say(about, STRONG), say(more)]
    for number, pattern in enumerate(_items(result.results.get("plan")), 1):
        blocks += _bar(facts, pattern, number, stock, (kerf, trim), show)
    blocks += [Caution(text) for text in result.warnings]
    return blocks


def _bar(
    facts: Facts, pattern: tuple[object, ...], number: int, stock: float, cuts: tuple[float, float], show: Show
) -> list[Block]:
    """One way of cutting a bar: a picture of it and its pieces, a box each."""
    alike = pattern[0] if isinstance(pattern[0], int) else 1
    pieces: list[tuple[int, Quantity]] = []
    left = 0.0
    for index, each in enumerate(pattern):
        if isinstance(each, Quantity):
            if pattern[index - 1] == "left":
                left = each.value
            else:
                count = pattern[index - 2]
                pieces.append((count if isinstance(count, int) else 1, each))
    rows = []
    for count, length in pieces:
        brief, _, rest = show.quantity(length).partition(" (")
        boxes = tuple(Tick() for _ in range(min(count * alike, 60)))
        rows.append(
            Row(
                (
                    cell(f"{count} ×"),
                    stack((Text(brief, NUMBER),), (Text(rest.removesuffix(")"), SMALL),)),
                    stack(boxes),
                )
            )
        )
    rows.append(
        row(cell(Text("left over", STRONG)), cell(show.length(left)), stack((Tick(False, "marked and put away"),)))
    )
    marks, words = _picture(facts.asked.size.frame[0], pieces, stock, cuts, show)
    title = f"Bar {number}" if alike == 1 else f"Bar {number}: {alike} bars cut alike"
    figure = Figure(
        Drawing(facts.asked.size.frame[0], _BAR + 8, marks), (words,), "not to scale of the bar; cut from the left"
    )
    columns = (Column("Of each bar", 1), Column("Length", 2.5), Column("Cut", 3))
    return [Heading(title, 2), figure, Table(columns, tuple(rows))]


def _picture(
    width: float, pieces: list[tuple[int, Quantity]], stock: float, cuts: tuple[float, float], show: Show
) -> tuple[tuple[Mark, ...], str]:
    kerf, trim = cuts
    scale = width / stock if stock else 0.0
    x = trim * scale
    marks: list[Mark] = [box(0, 0, width, _BAR, 0.4)]
    words = []
    lengths = [length for count, length in pieces for _ in range(count)]
    for length in lengths:
        wide = length.value * scale
        marks.append(box(x, 0, wide, _BAR))
        brief = show.quantity(length).partition(" (")[0]
        words.append(brief)
        if wide > 2.2 * len(brief):
            marks.append(Words(x + wide / 2, _BAR / 2 + 1, brief, 2.8, at="middle"))
        x += wide + kerf * scale
    if width - x > 0.5:
        marks += hatch([(x, 0), (width, 0), (width, _BAR), (x, _BAR)])
    marks.append(Words(width, _BAR + 4, "hatched: left over", 2.6, at="end"))
    return tuple(marks), f"from the left: {', '.join(words)}"
