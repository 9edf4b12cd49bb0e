"""How a hot tube cools, with what may be touched, measured or is wanted, the readings, and now. Pure."""

from __future__ import annotations

from planner.app.numbers.drawings.canvas import Canvas, Dots, packed
from planner.numbers.calculator import Result
from planner.numbers.calculators.cooling import NEAR_AIR, TOUCH, Tube, parse_seen, seconds
from planner.numbers.quantity import Quantity
from planner.plan.words import show_duration
from planner.telling.looks import Line, line

_LEFT = 7  # cells for the temperatures


def cooling_lines(result: Result, width: int, height: int) -> list[Line]:
    """The curve from the end of the heat to within 2 K of the air, each goal where the curve meets it."""
    given = result.given
    hot, air = given.need("hot").value, given.need("air").value
    tube = Tube(
        given.need("diameter").value / 1000,
        given.need("wall").value / 1000,
        given.default("emissivity", 0.85).value,
        given.default("wind", 0.0).value,
    )
    seen = parse_seen(given.text("readings"))
    start, begin = (seen[-1].celsius + seen[-1].doubt, seen[-1].at) if seen else (hot, 0.0)
    goals = [("touch", "to-touch", max(TOUCH, air + 0.5)), ("measure", "to-measure", air + NEAR_AIR)]
    target = given.get("target")
    if target is not None:
        goals.append(("target", "to-target", target.value))
    met = [(name, found, goal) for name, key, goal in goals if isinstance(found := result.results.get(key), Quantity)]
    words = [line((f"{name} ", "head"), f"{goal:.0f} C after {_time(found)}") for name, found, goal in met]
    now = given.get("now")
    if now is not None:
        words.append(line(("┊ now ", "waits"), show_duration(now.value)))
    rows = packed(words, width)
    high = max(5, min(18, height - len(rows)))
    sheet, dots = Canvas(width, high), Dots(width - _LEFT, high - 1)
    across, down = 2 * (width - _LEFT) - 1, 4 * (high - 1) - 1
    stretch = max(1.0, result.value("slower")) if "slower" in result.results else 1.0
    whole = max([begin + 1.0, *[found.value for _, found, _ in met]])
    top = max([hot, *[each.celsius for each in seen]])

    def spot(at: float, celsius: float) -> tuple[float, float]:
        return across * at / whole, down * (1.0 - (celsius - air) / (top - air))

    last = spot(0.0, hot)
    for each in seen:
        here = spot(each.at, each.celsius)
        dots.stroke(*last, *here)
        last = here
    last = spot(begin, start)
    for step in range(1, 61):
        celsius = max(air + NEAR_AIR * 0.5, air + (start - air) * (1 - step / 60) ** 2)
        at = begin + seconds(tube, start, celsius, air) * stretch
        if at > whole:
            break
        here = spot(at, celsius)
        dots.stroke(*last, *here)
        last = here
    for y, row in enumerate(dots.rows()):
        for x, char in enumerate(row):
            if char != " ":
                sheet.put(_LEFT + x, y, char, "number")
    for celsius in (top, air):
        y = 0 if celsius == top else high - 2
        sheet.put(0, y, f"{celsius:4.0f} C", "dim")
    for name, found, goal in met:
        right, low = spot(found.value, goal)
        column, row_ = _LEFT + int(right) // 2, min(high - 2, int(low) // 4)
        sheet.down(column, max(0, row_ - 1), row_, "│", "head")
        sheet.put(min(column, width - len(name)), max(0, row_ - 2), name, "head")
    for each in seen:
        right, low = spot(each.at, each.celsius)
        sheet.put(_LEFT + int(right) // 2, int(low) // 4, "×", "strong")
    if now is not None and now.value <= whole:
        sheet.down(_LEFT + int(spot(now.value, air)[0]) // 2, 0, high - 2, "┊", "waits")
    sheet.across(_LEFT, width - 1, high - 1, "─", "dim")
    sheet.put(_LEFT, high - 1, "0 ", "dim")
    end = f" {show_duration(60 * round(whole / 60))}"
    sheet.put(width - len(end), high - 1, end, "dim")
    return [*sheet.lines(), *rows][: max(0, height)]


def _time(found: Quantity) -> str:
    return f"{show_duration(60 * round(found.value / 60))} ± {show_duration(60 * round(found.plus_minus / 60))}"
