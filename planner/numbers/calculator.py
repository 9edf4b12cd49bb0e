"""What a calculator is: its inputs and outputs as they are declared, what it is given and what it writes on.

A calculator is a module with a ``CALCULATOR`` and a pure function that takes what was ``Given`` and writes on a
``Sheet``. Everything that can be wrong with an input on its own (unit, range, missing, one side forgotten) is judged
here, from the declaration; the function judges only what inputs mean together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple, TypeVar, cast

from planner.numbers.lengths import DOWN, FINE, NEAREST, brief_length, exact_length, finest, marks, show_length
from planner.numbers.quantity import Quantity, marked
from planner.numbers.units import Asked

DEFAULT_SIDES = ("driver", "passenger")
#: A difference between readings below this, in millimetres, is rounding inside the machine, not metal.
NOTHING = 1e-6
#: Behind the name of a reading that nobody took: a default, or what is computed where it should be measured.
GUESS = ", a guess"


class Input(NamedTuple):
    """One input: ``kind`` is a key of ``units.KINDS``, or ``text``; low and high are in its base unit, allowed both."""

    key: str
    kind: str
    doc: str
    low: float | None = None
    high: float | None = None
    needed: bool = False
    sided: bool = False  # may be given per side; one value serves both
    taken: str | None = None  # "fit.pads": what it is taken from when it is left out
    ranged: bool = False  # lo..hi allowed
    choices: tuple[str, ...] = ()  # of a text
    one_by_one: bool = False  # a side may be given while another is not yet: a reading that comes with the work
    unless: str = ""  # needed but for this case, which only the calculator can tell


class Output(NamedTuple):
    """One output. ``rounding`` is how its length goes onto the fraction: a limit goes to the safe side.

    ``unit`` is ``mm``, another base unit, "" for a plain number; ``text`` for words and ``list`` for a list.
    ``until``: what a step says in its place while it waits for a reading; "" where nothing is said.
    """

    key: str
    unit: str
    doc: str
    sided: bool = False
    rounding: str = NEAREST
    until: str = ""


class Calculator(NamedTuple):
    """A calculator as it is declared."""

    name: str
    says: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    compute: Callable[[Given, Sheet], None]
    sides: int = 0  # how many sides it needs; 0: any


class RefusedError(Exception):
    """Inputs that cannot be used: (input key, what is wrong, what is allowed and what to do), all of them at once.

    ``missing``: the keys of those that are wrong for nothing but that they were not given yet.
    """

    def __init__(self, problems: Iterable[tuple[str, str]], missing: Iterable[str] = ()) -> None:
        self.problems = tuple(problems)
        self.missing = frozenset(missing)
        super().__init__("; ".join(f"{key}: {says}" for key, says in self.problems))


class Show(NamedTuple):
    """How lengths are shown: on 1/denominator of an inch, or on the tenth of a millimetre when it is 0.

    ``asked``: units in which inputs were typed, and results of the same kind answer.
    """

    denominator: int = 32
    asked: tuple[Asked, ...] = ()

    def unit(self, base: str) -> Asked | None:
        """The unit in which results of a base unit answer, None for the base unit itself."""
        return next((each for each in self.asked if each.base == base), None)

    @property
    def step(self) -> float:
        """The step between two marks, in millimetres."""
        return 25.4 / self.denominator if self.denominator else 0.1

    def length(self, mm: float, rounding: str = NEAREST) -> str:
        """A length with its exact value and the other system beside it."""
        return show_length(mm, self.denominator, rounding)

    def brief(self, mm: float, rounding: str = NEAREST) -> str:
        """A length on its fraction alone."""
        return brief_length(mm, self.denominator, rounding)

    def quantity(self, value: Quantity, rounding: str = NEAREST) -> str:
        """A length on its fraction, or on the mark that was chosen for it, beside its value in the digits of its ±.

        >>> from planner.numbers.quantity import Quantity
        >>> typed = 25.4 * 33 / 64
        >>> Show(32).quantity(Quantity(typed, mark=typed)), Show(32).quantity(Quantity(typed))
        ('33/64 in (0.5156 in, 13.097 mm)', '17/32 in (0.5156 in, 13.097 mm)')
        """
        wide = value.plus_minus if value.plus_minus > 1e-9 * max(1.0, abs(value.value)) else 0.0
        if rounding == FINE:
            return show_length(value.value, self.denominator, FINE, wide)
        return f"{self.on_tape(value, rounding)} ({exact_length(value.value, self.denominator, wide)})"

    def on_tape(self, value: Quantity, rounding: str = NEAREST) -> str:
        """A length as it is marked: on its fraction, or on the mark that was chosen for it."""
        if value.mark is None:
            return self.brief(value.value, rounding)
        return brief_length(value.mark, self.denominator and max(self.denominator, finest(value.mark)), NEAREST)

    def limit(self, mm: float) -> str:
        """What may not be passed, rounded down; less than one step of the fraction is told as it is.

        >>> Show(32).limit(1.2954), Show(32).limit(0.397), Show(0).limit(0.0512)
        ('1/32 in (0.0510 in, 1.295 mm)', '0.0156 in (0.397 mm)', '0.051 mm (0.0020 in)')
        """
        if marks(mm, self.step, DOWN) > 0 or mm <= 0:
            return self.length(mm, DOWN)
        return self.at_most(mm)

    def at_most(self, mm: float) -> str:
        """What may not be passed, in decimals rounded down."""
        inch, metric = f"{math.floor(mm / 25.4 * 1e4) / 1e4:.4f} in", f"{math.floor(mm * 1e3) / 1e3:.3f} mm"
        return f"{inch} ({metric})" if self.denominator else f"{metric} ({inch})"


Item = str | int | Quantity
#: A value with its ±, words, or rows of words, counts and values.
Value = Quantity | str | tuple[tuple[Item, ...], ...]
TypedValue = str | Quantity
#: An input as it arrives: one for all sides, or one a side.
Arriving = TypedValue | Mapping[str, TypedValue]


AnyValue = TypeVar("AnyValue", bound=Value)
_UNREAD: Mapping[tuple[str, str | None], Quantity] = {}


class Working(NamedTuple):
    """One line of the working: what was found, how, and where the formula comes from."""

    name: str
    side: str | None
    value: Value
    unit: str
    formula: str
    source: str


class Result(NamedTuple):
    """What a calculator found. ``results`` holds a value for each output, or a mapping side -> value."""

    calculator: Calculator
    sides: tuple[str, ...]
    results: Mapping[str, Value | Mapping[str, Value]]
    warnings: tuple[str, ...]
    working: tuple[Working, ...]
    given: Given
    measured: frozenset[tuple[str, str | None]] = frozenset()  # results that were read on the metal; the rest planned
    asked: tuple[Asked, ...] = ()  # the units in which its inputs were typed, and in which it answers
    differing: tuple[str, ...] = ()  # the warnings that the sides differ

    def value(self, key: str, side: str | None = None) -> float:
        """The bare number of a result, in its base unit."""
        found = self.results[key]
        if isinstance(found, Mapping):
            found = found[side if side is not None else self.sides[0]]
        assert isinstance(found, Quantity)  # noqa: S101  # asked for by people who know that it is one
        return found.value

    def number(self, key: str, side: str | None = None) -> float | None:
        """The bare number of a result, else of an input of that name; None where there is neither."""
        found = self.results.get(key)
        if isinstance(found, Mapping):
            found = found.get(side or "")
        return found.value if isinstance(found, Quantity) else self.given_number(key, side)

    def given_number(self, key: str, side: str | None = None) -> float | None:
        """The bare number of an input, None where it was left out or is none of this calculator's."""
        found = self.given.arrived(key, side)
        return found.value if isinstance(found, Quantity) else None

    def given_text(self, key: str, side: str | None = None) -> str:
        """An input in words; empty where it was left out."""
        found = self.given.arrived(key, side)
        return found if isinstance(found, str) else ""


class Given:
    """The inputs of one run, read and judged one by one; a key that is not declared is a KeyError."""

    __slots__ = ("_values", "show", "sides")

    def __init__(
        self,
        calculator: Calculator,
        values: Mapping[str, TypedValue | Mapping[str, TypedValue]],
        sides: tuple[str, ...],
        show: Show,
    ) -> None:
        self._values = {each.key: values.get(each.key) for each in calculator.inputs}
        self.sides = sides
        self.show = show

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Given) and (self._values, self.sides) == (other._values, other.sides)

    def __hash__(self) -> int:
        return hash(self.sides)

    def has(self, key: str) -> bool:
        """Whether the input was given."""
        return self._values[key] is not None

    def is_sided(self, key: str) -> bool:
        """Whether the input was given per side."""
        return isinstance(self._values[key], Mapping)

    def raw(self, key: str, side: str | None) -> TypedValue | None:
        """An input as it was given: for one side, or (None) for all of them."""
        found = self._values[key]
        if isinstance(found, Mapping):
            return found.get(side) if side is not None else None
        return found if side is None else None

    def arrived(self, key: str, side: str | None) -> TypedValue | None:
        """What holds on a side, given for it or for all; None where nothing was, or there is no such input."""
        found = self._values.get(key)
        return found.get(side or "") if isinstance(found, Mapping) else found

    def _value(self, key: str, side: str | None) -> TypedValue | None:
        found = self._values[key]
        if isinstance(found, Mapping):
            if side is None:  # taking either side's number would carry it across
                raise KeyError(f"{key} is given per side; say which")
            return found.get(side)
        return found

    def get(self, key: str, side: str | None = None) -> Quantity | None:
        """The value of an input (on a side), or None when it was left out."""
        found = self._value(key, side)
        assert found is None or isinstance(found, Quantity)  # noqa: S101  # text() is for texts
        return found

    def need(self, key: str, side: str | None = None) -> Quantity:
        """The value of an input that the declaration says is needed."""
        found = self.get(key, side)
        assert found is not None  # noqa: S101  # judged before
        return found

    def default(self, key: str, value: float, side: str | None = None) -> Quantity:
        """The value of an input, or an exact value in its place."""
        found = self.get(key, side)
        return Quantity(value) if found is None else found

    def text(self, key: str, side: str | None = None, default: str = "") -> str:
        """The text of an input, or the default."""
        found = self._value(key, side)
        assert found is None or isinstance(found, str)  # noqa: S101
        return default if found is None else found

    def each(self, key: str) -> tuple[Quantity, ...]:
        """The value of a needed input on every side, in the order of the sides."""
        return tuple(self.need(key, side) for side in self.sides)


class Sheet:
    """What a calculator writes on while it works: results, working, warnings, refusals."""

    __slots__ = ("_outputs", "_read", "differing", "measured", "problems", "results", "warnings", "working")

    def __init__(self, calculator: Calculator, read: Mapping[tuple[str, str | None], Quantity] = _UNREAD) -> None:
        self._outputs = {output.key: output for output in calculator.outputs}
        self._read = read  # results that were read on the metal: these stand, whatever is worked out
        self.measured: set[tuple[str, str | None]] = set()
        self.results: dict[str, Value | dict[str, Value]] = {}
        self.warnings: list[str] = []
        self.differing: list[str] = []  # those of them that say that the sides differ
        self.working: list[Working] = []
        self.problems: list[tuple[str, str]] = []

    def give(
        self, key: str, value: AnyValue, formula: str, source: str, side: str | None = None, *, measured: bool = False
    ) -> AnyValue:
        """An output, with the line of working that leads to it; returns what stands: a reading, where there is one.

        ``measured``: it comes from readings that were taken on the metal as it is now.
        """
        output = self._outputs[key]
        read = self._read.get((key, side))
        if read is not None and isinstance(value, Quantity):
            value = cast("AnyValue", read)  # a quantity for a quantity
            formula, source, measured = "as measured", "reading", True
        if measured:
            self.measured.add((key, side))
        self._finite(key, value)
        if side is None:
            self.results[key] = value
        else:
            self.results.setdefault(key, {})[side] = value  # type: ignore[index]
        self.working.append(Working(key, side, value, output.unit, formula, source))
        return value

    def quantity(self, spot: tuple[str, str | None]) -> Quantity | None:
        """An output as it was given, on a side; None where there is none."""
        found: object = self.results.get(spot[0])
        if isinstance(found, dict):
            found = found.get(spot[1])
        return found if isinstance(found, Quantity) else None

    def show_at(self, spot: tuple[str, str | None], mark: float) -> None:
        """Show an output on a mark of the tape that was chosen for it."""
        key, side = spot
        found = self.quantity(spot)
        if found is None:
            return
        if side is None:
            self.results[key] = marked(found, mark)
        else:
            self.results[key][side] = marked(found, mark)  # type: ignore[index]

    def work(self, name: str, value: Value, unit: str, formula: str, source: str, side: str | None = None) -> None:
        """A line of working that is no output."""
        self._finite(name, value)
        self.working.append(Working(name, side, value, unit, formula, source))

    def warn(self, says: str, *, sides: bool = False) -> None:
        """Something to be said loudly beside the results; the same thing once. ``sides``: that the sides differ, so
        that no number of one may be carried to the other."""
        if says not in self.warnings:
            self.warnings.append(says)
            if sides:
                self.differing.append(says)

    def refuse(self, key: str, says: str, side: str | None = None) -> None:
        """Refuse an input: what is wrong, what is allowed, what to do. No result is shown."""
        row = (key if side is None else f"{key}.{side}", says)
        if row not in self.problems:
            self.problems.append(row)

    def stop_if_refused(self) -> None:
        """Go no further when something was refused already, where going on makes no sense."""
        if self.problems:
            raise RefusedError(self.problems)

    def _finite(self, name: str, value: Value) -> None:
        if isinstance(value, Quantity) and not (math.isfinite(value.value) and math.isfinite(value.u)):
            raise RefusedError([(name, "comes out without bounds; check the sizes of the inputs")])
