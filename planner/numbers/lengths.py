"""Lengths as the trade writes and reads them: exact on the way in, on a fraction with its exact value on the way out.

Inside, a length is millimetres. What is typed is read as an exact ratio of whole numbers, so that 54 7/8 in and
1393.825 mm are the same length to the last digit.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from fractions import Fraction

#: Above and below the line, below more than 0; the library's Fraction would double what start-up costs.
Ratio = tuple[int, int]

ONE: Ratio = (1, 1)
_ZERO: Ratio = (0, 1)
_INCH: Ratio = (254, 10)
_FOOT: Ratio = (3048, 10)
#: What may stand below the line in a fraction of an inch.
DENOMINATORS = (2, 4, 8, 16, 32, 64, 128)

NEAREST, UP, DOWN = "nearest", "up", "down"
FINE = "fine"  # no mark of a tape: what a dial or a feeler reads, in decimals

LENGTH_HELP = 'write it as 54 7/8 in, 54-7/8", 4\' 6 7/8", 54.875 in or 1394 mm, with ± 1/32 where it is known'

# A length this close to a mark, in parts of the step between marks, is on the mark: binary numbers cannot hold most
# millimetres, and no tape shows a ten-thousandth of its own step.
_ON_MARK = 1e-4
# Less than this, in millimetres, is rounding inside the machine and no length.
_NOTHING = 1e-6
_LONGEST = 80

_UNITS: dict[str, Ratio] = {
    "mm": ONE, "cm": (10, 1), "m": (1000, 1),
    "in": _INCH, "inch": _INCH, "inches": _INCH, '"': _INCH, "ft": _FOOT, "feet": _FOOT, "foot": _FOOT,
    "'": _FOOT, "thou": (254, 10_000),
}  # fmt: skip
_IMPERIAL = frozenset({"in", "inch", "inches", '"', "ft", "feet", "foot", "'", "thou"})
_GLYPHS = str.maketrans(
    {
        "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
        "⁄": "/", "−": "-", "–": "-", "″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "\u00a0": " ",
    }
)  # fmt: skip
_DECIMAL = r"\d{1,9}(?:\.\d{1,12})?|\.\d{1,12}"
_SIMPLE = re.compile(rf"({_DECIMAL})\s*([a-z\"']*)\.?", re.ASCII)
_MIXED = re.compile(r"(?:(\d{1,9})(?:\s+|-))?(\d{1,9})\s*/\s*(\d{1,9})\s*([a-z\"']*)\.?", re.ASCII)
_FEET = re.compile(r"(\d{1,6})\s*(?:'|ft|feet|foot)[\s-]*(\S.*)", re.ASCII)


class TextError(ValueError):
    """A text that is not the length, angle or number it should be; the message says what is allowed."""


class Typed(NamedTuple):
    """What was typed: the value and how far it may be off, exact, in the base unit of its kind."""

    ratio: Ratio
    wide: Ratio = _ZERO  # half width, step, or width of the range
    form: str = "exact"  # exact, half (± x), step (a resolution) or range (lo..hi)
    inches: bool = False

    @property
    def number(self) -> float:
        """The value as the nearest binary number."""
        return self.ratio[0] / self.ratio[1]

    @property
    def width(self) -> float:
        """How far it may be off, as the nearest binary number."""
        return self.wide[0] / self.wide[1]

    @property
    def low(self) -> float:
        """The smaller end of a range."""
        above, below = plus(self.ratio, (-self.wide[0], 2 * self.wide[1]))
        return above / below

    @property
    def value(self) -> Fraction:
        """The value, to the last digit."""
        return _fraction(self.ratio)

    @property
    def spread(self) -> Fraction:
        """How far it may be off, to the last digit."""
        return _fraction(self.wide)

    @property
    def deviation(self) -> float:
        """The standard uncertainty: ± x is x/√3, a step or a range a is a/√12 (JCGM 100:2008, 4.3.7, F.2.2.1)."""
        if not self.wide[0]:
            return 0.0
        return self.width / math.sqrt(3.0 if self.form == "half" else 12.0)


def _fraction(ratio: Ratio) -> Fraction:
    from fractions import Fraction

    return Fraction(*ratio)


def plus(left: Ratio, right: Ratio) -> Ratio:
    """Two ratios added.

    >>> plus((1, 2), (-1, 4))
    (2, 8)
    """
    return left[0] * right[1] + right[0] * left[1], left[1] * right[1]


def times(left: Ratio, right: Ratio) -> Ratio:
    """Two ratios multiplied."""
    return left[0] * right[0], left[1] * right[1]


def decimal_ratio(text: str) -> Ratio:
    """A decimal number without a sign.

    >>> decimal_ratio("54.875"), decimal_ratio(".5"), decimal_ratio("12")
    ((54875, 1000), (5, 10), (12, 1))
    """
    whole, _, rest = text.partition(".")
    return int(whole + rest), 10 ** len(rest)


def parse_length(text: str, default: str | None = None) -> Typed:
    """A length in millimetres; raises TextError with what is allowed.

    ``default`` is the unit of a number without one; normally there is none, and that is an error.

    >>> from fractions import Fraction
    >>> parse_length("54 7/8 in").value == parse_length("4' 6 7/8\\"").value == Fraction("1393.825")
    True
    >>> parse_length("54-7/8\\" ± 1/32").width == 25.4 / 32
    True
    >>> parse_length("0.020..0.080 in").number
    1.27
    """
    return _parse_length(text, default)


@lru_cache(maxsize=2048)
def _parse_length(text: str, default: str | None) -> Typed:
    return parse_spread(text, lambda part, unit: _plain_length(part, unit or default), LENGTH_HELP)


Reader = Callable[[str, str | None], tuple[Ratio, str]]


def parse_spread(text: str, read: Reader, allowed: str) -> Typed:
    """A value with its ±, its step or its range, each part read by ``read(part, unit when it has none)``."""
    if len(text) > _LONGEST:
        raise TextError(f"is longer than {_LONGEST} characters; {allowed}")
    clean = " ".join(text.translate(_GLYPHS).replace("+/-", "±").replace("+-", "±").lower().split())
    clean = clean.replace("''", '"')
    if not clean:
        raise TextError(f"is empty; {allowed}")
    if ".." in clean:
        low_text, _, high_text = clean.partition("..")
        if "±" in clean or "step" in clean or ".." in high_text:
            raise TextError(f"“{text}” mixes a range with something else; write it as 0.020..0.080 in")
        high, unit = read(high_text.strip(), None)
        low, low_unit = read(low_text.strip(), unit)
        across = plus(high, (-low[0], low[1]))
        if across[0] < 0:
            raise TextError(f"“{text}” has its larger end first; write the smaller end first")
        return Typed(times(plus(low, high), (1, 2)), across, "range", _is_inch(unit) and _is_inch(low_unit))
    form = "exact"
    main, mark, rest = clean.partition("±")
    if mark:
        form = "half"
    else:
        main, mark, rest = clean.partition(" step ")
        if mark:
            form = "step"
    try:
        value, unit = read(main.strip(), None)
    except TextError:
        try:
            _, unit = read(rest.strip(), None)  # 54 7/8 ± 1/32 in: one unit for both
        except TextError:
            unit = ""
        if not unit:
            raise
        value, _ = read(main.strip(), unit)
    if not mark:
        return Typed(value, inches=_is_inch(unit))
    if not rest.strip() or "±" in rest or "step" in rest or rest.strip()[0] == "-":
        raise TextError(f"“{text}” has no plain figure after its ±; write it as ± 1/32 or ± 0.5 mm")
    spread, _ = read(rest.strip(), unit)
    return Typed(value, spread, form, _is_inch(unit))


def _is_inch(unit: str) -> bool:
    return unit in _IMPERIAL


def _plain_length(text: str, default: str | None) -> tuple[Ratio, str]:
    """One length without spread, and its unit as written."""
    sign, body = 1, text
    if text[:1] in ("-", "+"):
        sign, body = (-1 if text[0] == "-" else 1), text[1:].strip()
    feet = _FEET.fullmatch(body)
    if feet is not None:
        inches, unit = _inches(feet.group(2), text, "in")
        if unit not in ("in", "inch", "inches", '"'):
            raise TextError(f"“{text}” has feet and then no inches; {LENGTH_HELP}")
        if inches[0] * _FOOT[1] >= _FOOT[0] * inches[1]:
            raise TextError(f"“{text}” has twelve inches or more after its feet; carry them into the feet")
        above, below = plus(times((int(feet.group(1)), 1), _FOOT), inches)
        return (sign * above, below), '"'
    (above, below), unit = _inches(body, text, default)
    return (sign * above, below), unit


def _inches(body: str, text: str, default: str | None) -> tuple[Ratio, str]:
    """A decimal or a fraction with its unit."""
    match = _SIMPLE.fullmatch(body)
    if match is not None:
        unit = _unit(match.group(2), text, default)
        return times(decimal_ratio(match.group(1)), _UNITS[unit]), unit
    match = _MIXED.fullmatch(body)
    if match is None:
        raise TextError(_why_not(body, text))
    whole, above, below = int(match.group(1) or 0), int(match.group(2)), int(match.group(3))
    unit = _unit(match.group(4), text, default)
    if below == 0:
        raise TextError(f"“{text}” divides by nothing; {LENGTH_HELP}")
    if unit not in _IMPERIAL or unit == "thou":
        raise TextError(f"“{text}” is a fraction of a {unit}; write it with a decimal point")
    if below not in DENOMINATORS:
        raise TextError(f"“{text}”: {above}/{below} is on no tape; a fraction has 2, 4, 8, 16, 32, 64 or 128 below")
    if match.group(1) is not None and above >= below:
        raise TextError(f"“{text}”: {above}/{below} after a whole number is one or more; carry it into the number")
    return times((whole * below + above, below), _UNITS[unit]), unit


def _unit(written: str, text: str, default: str | None) -> str:
    if not written:
        if default is None:
            raise TextError(f"“{text}” has no unit; {LENGTH_HELP}")
        return default
    if written not in _UNITS:
        raise TextError(f"“{text}”: {written} is not a unit of length; use in, ft, thou, mm, cm or m")
    return written


COMMA = "has a comma; write the decimals behind a point and leave thousands unmarked"


def _why_not(body: str, text: str) -> str:
    if "nan" in body or "inf" in body:
        return f"“{text}” is not a length; {LENGTH_HELP}"
    if re.search(r"\d,\d", body):
        return f"“{text}” {COMMA}"
    return f"“{text}” is not a length; {LENGTH_HELP}"


def marks(value: float, step: float, rounding: str = NEAREST) -> int:
    """How many whole steps a value is, to the nearest, or up or down; a half step goes away from zero.

    A value on a mark but for the last binary digits is on the mark, whichever way it is rounded.

    >>> marks(0.3, 0.1, UP), marks(0.1 + 0.2, 0.1, UP), marks(0.31, 0.1, UP), marks(-0.31, 0.1, UP)
    (3, 3, 4, -3)
    """
    count = value / step
    near = math.floor(count + 0.5)
    if abs(count - near) <= _ON_MARK:
        return near
    if rounding == UP:
        return math.ceil(count)
    if rounding == DOWN:
        return math.floor(count)
    return math.floor(abs(count) + 0.5 + _ON_MARK) * (1 if count >= 0 else -1)


def fraction_text(count: int, denominator: int) -> str:
    """A count of fractions of an inch as it is read from a tape.

    >>> fraction_text(177, 32), fraction_text(-8, 32), fraction_text(64, 32)
    ('5 17/32', '-1/4', '2')
    """
    sign = "-" if count < 0 else ""
    whole, above = divmod(abs(count), denominator)
    if not above:
        return f"{sign}{whole}"
    shared = math.gcd(above, denominator)
    part = f"{above // shared}/{denominator // shared}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def decimals(value: float, places: int) -> str:
    """A plain decimal, halves away from zero, never minus nothing; places below 0 round before the point.

    >>> decimals(0.03125, 4), decimals(-0.00001, 3), decimals(393.38249999999, 3), decimals(856855.0, -3)
    ('0.0313', '0.000', '393.383', '857000')
    """
    if abs(value) > 1e12:
        return f"{value:.{max(0, places)}f}"
    scale = 10.0**places
    text = f"{math.floor(abs(value) * scale + 0.5 + 1e-6) / scale:.{max(0, places)}f}"
    return f"-{text}" if value < 0 and text.strip("0.") else text


UP_FROM = 1e-6  # of the last figure: what a ± rounded up may be over it for the machine's own rounding


def places_of(wide: float, most: int) -> int:
    """How many decimals a value has whose ± is so wide: those of two figures of its ± (JCGM 100:2008, 7.2.6).

    The ± is shown rounded up, so that one of 0.996 is 1.0 and has one decimal, as its value has.

    >>> places_of(0.58, 3), places_of(0.0009, 3), places_of(10735.0, 3), places_of(0.0, 4), places_of(0.996, 4)
    (2, 3, -3, 4, 1)
    """
    if wide <= 0.0:
        return most
    places = 1 - math.floor(math.log10(wide))
    return min(most, places - (wide * 10.0**places > 99.0 + UP_FROM))


def seen(value: float, places: int) -> str:
    """A decimal that never reads as nothing where there is something: a small value keeps one figure.

    >>> seen(0.00002, 3), seen(0.0, 3), seen(12.3456, 2)
    ('0.00002', '0.000', '12.35')
    """
    text = decimals(value, places)
    if abs(value) <= _NOTHING or text.strip("-0."):
        return text
    return decimals(value, -math.floor(math.log10(abs(value)) + 1e-9))


def show_length(mm: float, denominator: int = 32, rounding: str = NEAREST, wide: float = 0.0) -> str:
    """A length on the chosen fraction, with the exact value and the other system beside; 0 is tenths of a millimetre.

    ``wide``: its ±, which the digits of the exact value fit.

    >>> show_length(140.711)
    '5 17/32 in (5.5398 in, 140.711 mm)'
    >>> show_length(140.711, rounding=UP)
    '5 9/16 in (5.5398 in, 140.711 mm)'
    >>> show_length(140.711, 0)
    '140.7 mm (140.711 mm, 5.5398 in)'
    >>> show_length(140.711, wide=0.58), show_length(0.15, rounding=FINE)
    ('5 17/32 in (5.540 in, 140.71 mm)', '0.0059 in (0.150 mm)')
    """
    exact = exact_length(mm, denominator, wide)
    if rounding == FINE:
        return f"{exact.replace(', ', ' (', 1)})"
    return f"{brief_length(mm, denominator, rounding)} ({exact})"


def exact_length(mm: float, denominator: int = 32, wide: float = 0.0) -> str:
    """A length in both systems, the one it is shown in first, in as many digits as its ± lets stand."""
    both = f"{seen(mm / 25.4, places_of(wide / 25.4, 4))} in", f"{seen(mm, places_of(wide, 3))} mm"
    return ", ".join(both[:: 1 if denominator else -1])


def brief_length(mm: float, denominator: int = 32, rounding: str = NEAREST) -> str:
    """A length on the chosen fraction alone; what is less than a mark goes on a finer one, and is never nothing.

    >>> brief_length(0.3), brief_length(0.05), brief_length(0.04, 0), brief_length(0.0)
    ('1/64 in', '0.002 in', '0.04 mm', '0 in')
    """
    if rounding == FINE:
        return exact_length(mm, denominator).partition(", ")[0]
    if not denominator:
        return f"{seen(marks(mm, 0.1, rounding) / 10 or (mm if abs(mm) > _NOTHING else 0.0), 1)} mm"
    below = denominator
    count = marks(mm, 25.4 / below, rounding)
    while count == 0 and abs(mm) > _NOTHING and below < DENOMINATORS[-1]:
        below *= 2
        count = marks(mm, 25.4 / below, rounding)
    if count == 0 and abs(mm) > _NOTHING:
        return f"{seen(mm / 25.4, 3)} in"
    return f"{fraction_text(count, below)} in"


def finest(mm: float) -> int:
    """What stands below the line of a length in inches that is on a mark of some tape; 0 where it is on none.

    >>> finest(25.4 * 9 + 25.4 * 33 / 64), finest(25.4), finest(100.0)
    (64, 1, 0)
    """
    for below in (1, *DENOMINATORS):
        count = mm / 25.4 * below
        if abs(count - math.floor(count + 0.5)) <= _ON_MARK:
            return below
    return 0
