"""Results as people and programs read them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from planner.numbers.calculator import Calculator, Item, Output, Result, Show, Value, Working
from planner.numbers.lengths import DENOMINATORS, UP, UP_FROM, decimals, places_of, seen
from planner.numbers.quantity import Quantity

_IMPERIAL = r"\d\s*(?:in\b|inch|ft\b|feet|thou|[\"'″′”’])"
_LONG = 120.0  # seconds from which a time is told in minutes
_METRIC = r"\d\s*(?:mm|cm|m)\b"

AID = (
    "These numbers are planning aids: check every one by measurement before metal is cut. Structural and vehicle work"
    " follows local rules, licensed practice and inspection before the road."
)


def parse_show(text: str) -> Show | None:
    """How lengths are shown, from ``mm`` or ``inch 1/32``; None when it is neither.

    >>> parse_show("inch 1/16").denominator, parse_show("mm").denominator, parse_show("inch 1/7")
    (16, 0, None)
    """
    if text == "mm":
        return Show(0)
    for below in DENOMINATORS:
        if text == f"inch 1/{below}":
            return Show(below)
    return None


def infer_show(texts: Iterable[str]) -> Show:
    """How lengths are shown where nobody says: in millimetres when they were typed so, else in inches.

    >>> infer_show(["1394 mm", "24/48"]).denominator, infer_show(["7 in", "35 mm"]).denominator
    (0, 32)
    """
    import re  # compiled only where nobody says

    joined = "\n".join(texts)
    return Show(0) if re.search(_METRIC, joined) and not re.search(_IMPERIAL, joined) else Show()


def figures(value: float, wide: float = 0.0) -> str:
    """A number with four figures, or with those that its ± lets stand, without an exponent.

    No reading of a shop and no formula of the trade is good for more, where nobody says how good it is.

    >>> figures(79.9876543), figures(2.0), figures(0.00012345678), figures(12345678.9)
    ('79.99', '2', '0.0001235', '12345679')
    >>> figures(82.8937, 0.91), figures(856855.0, 10735.0), figures(5.0, 0.12), figures(0.0001, 0.5)
    ('82.89', '857000', '5.00', '0.0001')
    """
    if value == 0:
        return "0"
    size = math.floor(math.log10(abs(value)))
    if _is_wide(wide, value):
        return seen(value, places_of(wide, 9))
    text = decimals(value, min(12, max(0, 3 - size)))
    return text.rstrip("0").rstrip(".") if "." in text else text


def _is_wide(wide: float, value: float) -> bool:
    """Whether a ± is more than what the machine rounds."""
    return wide > 1e-9 * max(1.0, abs(value))


PLANNED, MEASURED = "planned", "measured"


def shown_output(output: Output, value: Value, show: Show, *, measured: bool) -> str:
    """An output's value in words, without its ±; a length says whether it is planned or measured."""
    text = shown(value, output.unit, show, output.rounding)
    return f"{word_of(output, value, measured=measured)}{text}"


def word_of(output: Output, value: Value, *, measured: bool) -> str:
    """Whether a number is planned or measured, with a space behind; nothing where that is no matter."""
    if not isinstance(value, Quantity) or output.unit not in ("mm", "deg"):
        return ""
    if measured:
        return f"{MEASURED} "
    return f"{PLANNED} " if output.key == "shaft" else ""  # what is ordered by, and must not be taken for measured


def shown(value: Value, unit: str, show: Show, rounding: str = "nearest") -> str:
    """A value in words, without its ±."""
    if isinstance(value, str):
        return value
    if isinstance(value, Quantity):
        if unit == "mm":
            return show.quantity(value, rounding)
        plain = f"{figures(value.value, value.plus_minus)}{' ' + unit if unit else ''}"
        if unit == "C" and not _is_wide(value.plus_minus, value.value):
            plain = f"{_whole(value.value, rounding)} C"
        if unit == "s" and abs(value.value) >= _LONG:
            return f"{_long(value.value, rounding)} ({plain})"
        asked = show.unit(unit)
        if asked is None:
            return plain
        typed, wide = value.value / asked.factor + asked.zero, value.plus_minus / asked.factor
        said = figures(typed, wide) if unit != "C" or _is_wide(wide, typed) else _whole(typed, rounding)
        return f"{said} {asked.name} ({plain})"
    return "; ".join(" ".join(_item(item, show) for item in row) for row in value)


def _long(seconds: float, rounding: str) -> str:
    """A time as a shop has it, in whole minutes; a wait is rounded up.

    >>> _long(9600.0, UP), _long(3601.0, UP), _long(890.0, "nearest")
    ('2 h 40 min', '1 h 1 min', '15 min')
    """
    minutes = math.ceil(seconds / 60 - UP_FROM) if rounding == UP else round(seconds / 60)
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if hours and rest else f"{hours} h" if hours else f"{rest} min"


def _whole(degrees: float, rounding: str) -> str:
    """A temperature of which nobody says how good it is, in whole degrees.

    >>> _whole(141.37, UP), _whole(-15.99, "nearest"), _whole(-0.2, UP)
    ('142', '-16', '0')
    """
    return str(math.ceil(degrees - UP_FROM) if rounding == UP else round(degrees))


def _item(item: Item, show: Show) -> str:
    return show.quantity(item) if isinstance(item, Quantity) else str(item)


def plus_minus(value: Value, unit: str, show: Show) -> str:
    """The ± 2u of a value, rounded up; empty for what is exact."""
    if not isinstance(value, Quantity):
        return ""
    wide = value.plus_minus
    if not _is_wide(wide, value.value):
        return ""
    if unit == "s" and abs(value.value) >= _LONG:
        return f"± {_long(float(_up(wide)), UP)} ({_up(wide)} s)"
    if unit != "mm":
        plain = f"± {_up(wide)}{' ' + unit if unit else ''}"
        asked = show.unit(unit)
        return plain if asked is None else f"± {_up(wide / asked.factor)} {asked.name} ({plain.removeprefix('± ')})"
    inch, mm = f"{_up(wide / 25.4, 4)} in", f"{_up(wide, 3)} mm"
    return f"± {inch} ({mm})" if show.denominator else f"± {mm} ({inch})"


def _up(value: float, most: int = 12) -> str:
    """Two figures, rounded up, in at most so many decimals."""
    places = places_of(value, most)
    scale = 10.0**places
    return f"{math.ceil(value * scale - UP_FROM) / scale:.{max(0, places)}f}"


def shown_wide(output: Output, value: Value, show: Show, *, measured: bool) -> str:
    """An output's value in words with its ±, as it stands where metal is cut."""
    text = shown_output(output, value, show, measured=measured)
    doubt = plus_minus(value, output.unit, show)
    return f"{text} {doubt}" if doubt else text


def reading_name(name: str, own: str) -> str:
    """A reading by the key it has in its file, without the name of the calculator that is speaking."""
    return name.removeprefix(f"{own}.")


def cell(result: Result, output: Output, value: Value, show: Show, side: str | None = None) -> dict[str, Any]:
    """One result as programs read it."""
    own = result.calculator.name
    if isinstance(value, Quantity):
        dominant = value.dominant
        measured = (output.key, side) in result.measured
        return {
            "value": value.value,
            "unit": output.unit,
            "plus_minus": value.plus_minus,
            "shown": shown_output(output, value, show, measured=measured),
            "measured": measured,
            "dominant": None if dominant is None else reading_name(dominant, own),
        }
    plain: Any = value
    if not isinstance(value, str):
        plain = [[item.value if isinstance(item, Quantity) else item for item in row] for row in value]
    return {"value": plain, "unit": None, "plus_minus": None, "shown": shown(value, "", show), "dominant": None}


def answering(show: Show, result: Result) -> Show:
    """How the results of one calculator are shown: in the units in which its inputs were typed."""
    return show._replace(asked=result.asked)


def as_json(result: Result, show: Show) -> dict[str, Any]:
    """All results as programs read them, per side where they are."""
    show = answering(show, result)
    out: dict[str, Any] = {}
    for output in result.calculator.outputs:
        value = result.results.get(output.key)
        if isinstance(value, Mapping):
            out[output.key] = {side: cell(result, output, each, show, side) for side, each in value.items()}
        elif value is not None:
            out[output.key] = cell(result, output, value, show)
    return {"results": out, "warnings": list(result.warnings)}


def rows(result: Result) -> Iterator[tuple[Output, str | None, Value]]:
    """Every output with its side and value, in the order of the declaration."""
    for output in result.calculator.outputs:
        value = result.results.get(output.key)
        if isinstance(value, Mapping):
            for side, each in value.items():
                yield output, side, each
        elif value is not None:
            yield output, None, value


def formula_of(asked: Calculator) -> list[str]:
    """The formula and the source of a calculator, in the lines of its docstring.

    >>> from planner.numbers.registry import calculator
    >>> formula_of(calculator("wheel"))[0]
    'Formula'
    """
    import inspect

    text = inspect.cleandoc(asked.compute.__doc__ or "")
    return text[text.find("Formula") :].partition(">>>")[0].rstrip().splitlines()


def as_text(result: Result, show: Show) -> list[str]:
    """The results in lines: name, side, value, ± and the reading that dominates it; then the warnings."""
    show = answering(show, result)
    own = result.calculator.name
    lines = []
    for output, side, value in rows(result):
        name = output.key if side is None else f"{output.key}@{side}"
        if isinstance(value, tuple):
            lines.append(f"  {name}")
            lines += [f"    {' '.join(_item(item, show) for item in row)}" for row in value]
            continue
        line = f"  {name:<30} {shown_output(output, value, show, measured=(output.key, side) in result.measured)}"
        doubt = plus_minus(value, output.unit, show)
        if doubt and isinstance(value, Quantity):
            line += f" {doubt}, mostly from {reading_name(value.dominant or '', own)}"
        lines.append(line)
    return lines + [f"  ! {warning}" for warning in result.warnings]


def explain(result: Result, show: Show) -> list[str]:
    """The working, line by line, each with its formula and its source."""
    show = answering(show, result)
    return [_working(line, show) for line in result.working]


def explain_json(result: Result, show: Show) -> list[dict[str, Any]]:
    """The working as programs read it."""
    show = answering(show, result)
    return [
        {
            "name": line.name,
            "side": line.side,
            "formula": line.formula,
            "source": line.source,
            "value": line.value.value if isinstance(line.value, Quantity) else None,
            "unit": line.unit,
            "shown": shown(line.value, line.unit, show),
        }
        for line in result.working
    ]


def _working(line: Working, show: Show) -> str:
    name = line.name if line.side is None else f"{line.name}@{line.side}"
    doubt = plus_minus(line.value, line.unit, show)
    value = shown(line.value, line.unit, show)
    shown_formula = "" if line.formula == f"“{value}”" else f"{line.formula} = "
    return f"  {name} = {shown_formula}{value}{' ' + doubt if doubt else ''}  [{line.source}]"
