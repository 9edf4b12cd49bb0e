"""A value with its uncertainty, carried by the reading it came from.

Each quantity keeps, for every reading that it depends on, how far one standard uncertainty of that reading moves it
(the sensitivity times u). Readings are independent of one another; what they do to a result is added in quadrature
(JCGM 100:2008, 5.1.2). A reading that enters twice therefore cancels or doubles, as it does in the metal.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Union

Terms = Mapping[str, float]
Number = Union["Quantity", float, int]

_NONE: dict[str, float] = {}


class Quantity:
    """A value in the base unit of its kind, with its terms: reading -> sensitivity times standard uncertainty.

    >>> a, b = reading("a", 10.0, 0.3), reading("b", 4.0, 0.4)
    >>> a - b
    6 ± 1 (2u)
    >>> (a - b) + b - a
    0 ± 0 (2u)
    """

    __slots__ = ("mark", "terms", "value")

    value: float
    terms: Terms
    mark: float | None  # where it stands on the tape, when that is not its nearest mark; lost by arithmetic

    def __init__(self, value: float, terms: Terms = _NONE, mark: float | None = None) -> None:
        _set_value(self, value)  # past __setattr__ below; a third of the time of object.__setattr__
        _set_terms(self, terms)
        _set_mark(self, mark)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a quantity does not change: {name}")

    @property
    def u(self) -> float:
        """The standard uncertainty."""
        return math.sqrt(sum([part * part for part in self.terms.values()]))

    @property
    def plus_minus(self) -> float:
        """What is shown behind ±: two standard uncertainties."""
        return 2.0 * self.u

    @property
    def dominant(self) -> str | None:
        """The reading that contributes most, or None for an exact value."""
        best, name = 0.0, None
        for reading_, part in self.terms.items():
            if abs(part) > best * (1 + 1e-9):  # readings that contribute alike: the first named
                best, name = abs(part), reading_
        return name

    def __repr__(self) -> str:
        return f"{self.value:.6g} ± {self.plus_minus:.3g} (2u)"

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Quantity) and (self.value, dict(self.terms)) == (other.value, dict(other.terms))

    def __hash__(self) -> int:
        return hash(self.value)

    def __add__(self, other: Number) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value + other.value, _sum(self.terms, 1.0, other.terms, 1.0))
        return Quantity(self.value + other, self.terms)

    __radd__ = __add__

    def __sub__(self, other: Number) -> Quantity:
        if isinstance(other, Quantity):
            return Quantity(self.value - other.value, _sum(self.terms, 1.0, other.terms, -1.0))
        return Quantity(self.value - other, self.terms)

    def __rsub__(self, other: float) -> Quantity:
        return (-self) + other

    def __neg__(self) -> Quantity:
        return Quantity(-self.value, _times(self.terms, -1.0))

    def __mul__(self, other: Number) -> Quantity:
        if isinstance(other, Quantity):
            terms = _sum(self.terms, other.value, other.terms, self.value)
            return Quantity(self.value * other.value, terms)
        return Quantity(self.value * other, _times(self.terms, other))

    __rmul__ = __mul__

    def __truediv__(self, other: Number) -> Quantity:
        if isinstance(other, Quantity):
            quotient = self.value / other.value
            return Quantity(quotient, _sum(self.terms, 1.0 / other.value, other.terms, -quotient / other.value))
        return Quantity(self.value / other, _times(self.terms, 1.0 / other))

    def __rtruediv__(self, other: float) -> Quantity:
        return Quantity(float(other)) / self

    def __pow__(self, power: float) -> Quantity:
        return depending(self.value**power, [(self, power * self.value ** (power - 1))])


_set_value = Quantity.__dict__["value"].__set__
_set_terms = Quantity.__dict__["terms"].__set__
_set_mark = Quantity.__dict__["mark"].__set__


def _times(terms: Terms, factor: float) -> Terms:
    return {name: part * factor for name, part in terms.items()} if terms else _NONE


def _sum(left: Terms, by_left: float, right: Terms, by_right: float) -> Terms:
    if not right:
        return _times(left, by_left) if by_left != 1.0 else left
    out = {name: part * by_left for name, part in left.items()}
    for name, part in right.items():
        out[name] = out.get(name, 0.0) + part * by_right
    return out


def reading(name: str, value: float, u: float = 0.0) -> Quantity:
    """A value read off something, with its standard uncertainty; the name is what it cancels or doubles by."""
    return Quantity(value, {name: u} if u else _NONE)


def exact(value: float) -> Quantity:
    """A value that is not in doubt."""
    return Quantity(value)


def marked(quantity: Quantity, mark: float | None) -> Quantity:
    """The same quantity, to be shown on a mark of the tape that is chosen for it."""
    return Quantity(quantity.value, quantity.terms, mark)


def without_doubt(quantity: Quantity) -> Quantity:
    """The same value taken as exact: a decision, not a reading; it stays on the mark on which it was decided."""
    return Quantity(quantity.value, mark=quantity.mark)


def depending(value: float, on: Iterable[tuple[Quantity, float]]) -> Quantity:
    """A result with its partial derivative by each quantity that it depends on."""
    terms: Terms = _NONE
    for quantity, partial in on:
        terms = _sum(terms, 1.0, quantity.terms, partial)
    return Quantity(value, terms)


def sqrt(x: Quantity) -> Quantity:
    """The square root. At zero its slope has no limit, so an uncertain zero is refused as a ValueError."""
    root = math.sqrt(x.value)
    if root == 0.0:
        if x.u:
            raise ValueError("the square root of an uncertain zero has no uncertainty that can be stated")
        return Quantity(0.0)
    return depending(root, [(x, 0.5 / root)])


_DEGREE = math.pi / 180.0


def sin(degrees: Quantity) -> Quantity:
    """The sine of an angle in degrees."""
    angle = degrees.value * _DEGREE
    return depending(math.sin(angle), [(degrees, math.cos(angle) * _DEGREE)])


def cos(degrees: Quantity) -> Quantity:
    """The cosine of an angle in degrees."""
    angle = degrees.value * _DEGREE
    return depending(math.cos(angle), [(degrees, -math.sin(angle) * _DEGREE)])


def tan(degrees: Quantity) -> Quantity:
    """The tangent of an angle in degrees."""
    angle = degrees.value * _DEGREE
    slope = math.tan(angle)
    return depending(slope, [(degrees, (1.0 + slope * slope) * _DEGREE)])


def asin(x: Quantity) -> Quantity:
    """The angle in degrees whose sine is x, -1 < x < 1."""
    return depending(math.asin(x.value) / _DEGREE, [(x, 1.0 / (math.sqrt(1.0 - x.value**2) * _DEGREE))])


def acos(x: Quantity) -> Quantity:
    """The angle in degrees whose cosine is x, -1 < x < 1."""
    return depending(math.acos(x.value) / _DEGREE, [(x, -1.0 / (math.sqrt(1.0 - x.value**2) * _DEGREE))])


def atan(x: Quantity) -> Quantity:
    """The angle in degrees whose tangent is x."""
    return depending(math.atan(x.value) / _DEGREE, [(x, 1.0 / ((1.0 + x.value**2) * _DEGREE))])


def least(quantities: Iterable[Quantity]) -> Quantity:
    """The smallest by value."""
    return min(quantities, key=lambda each: each.value)


def most(quantities: Iterable[Quantity]) -> Quantity:
    """The largest by value."""
    return max(quantities, key=lambda each: each.value)


def through(function: Callable[[Sequence[float]], Sequence[float]], given: Sequence[Quantity]) -> list[Quantity]:
    """Results of a function of several numbers, with their uncertainty by central differences."""
    values = [each.value for each in given]
    slopes: list[list[tuple[Quantity, float]]] = [[] for _ in function(values)]
    for i, each in enumerate(given):
        if not each.terms:
            continue
        step = 1e-5 * max(1.0, abs(each.value))
        high = function([*values[:i], values[i] + step, *values[i + 1 :]])
        low = function([*values[:i], values[i] - step, *values[i + 1 :]])
        for slope, up, down in zip(slopes, high, low, strict=True):
            slope.append((each, (up - down) / (2 * step)))
    return [depending(value, slope) for value, slope in zip(function(values), slopes, strict=True)]
