"""All numbers of a build: every calculator run once, what one leaves out taken from the one that yields it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from planner.numbers.calculator import Arriving, Calculator, Input, RefusedError, Result, Show, Value
from planner.numbers.keys import known_names
from planner.numbers.quantity import Quantity
from planner.numbers.readings import NONE, Measured, read_output
from planner.numbers.registry import CALCULATORS, calculator
from planner.numbers.running import run
from planner.numbers.showing import answering, shown_wide


class StepNumber(NamedTuple):
    """A number as steps take it: its value (None: it is words), in words, its 2u, and whether it was measured."""

    value: float | None
    shown: str
    plus_minus: float = 0.0
    measured: bool = False


class Outcome(NamedTuple):
    """What came of one calculator: a result, or everything that is wrong with its inputs."""

    name: str
    result: Result | None
    problems: tuple[tuple[str, str], ...]
    missing: frozenset[str] = frozenset()  # inputs among the problems that were only not given yet

    @property
    def waiting(self) -> bool:
        """Whether all that is wrong is that readings are still to be taken."""
        return self.result is None and all(key in self.missing for key, _ in self.problems)


class _Untaken(NamedTuple):
    """An input that could not be taken from another calculator, and whether because there is no result yet."""

    key: str
    says: str
    missing: bool


Sections = Mapping[str, Mapping[str, Arriving]]


def all_numbers(sections: Sections, sides: Sequence[str], show: Show, measured: Measured = NONE) -> dict[str, Outcome]:
    """Run every calculator that has a section; the order is that of the work, not of the file.

    ``measured``: readings that stand in for what is typed and for what is worked out.
    """
    done: dict[str, Outcome] = {}
    asked = _Asked(sections, tuple(sides), show, measured)
    for name in CALCULATORS:
        if name in sections:
            _run(name, asked, done)
    return {name: done[name] for name in sections if name in done}


class _Asked(NamedTuple):
    """All that calculators are run on."""

    sections: Sections
    sides: tuple[str, ...]
    show: Show
    measured: Measured

    def inputs(self, asked: Calculator) -> dict[str, Arriving]:
        """What is typed for a calculator, with readings over it; a reading that was spoiled is no reading any more."""
        found: dict[str, Arriving] = dict(self.sections[asked.name])
        results = {output.key for output in asked.outputs}
        for each in asked.inputs:
            taken = self.measured.get(f"{asked.name}.{each.key}")
            if not taken or each.key in results:
                continue
            if not each.sided:
                typed = taken.get("")
                if typed is not None:
                    found[each.key] = typed
                continue
            before = found.get(each.key, "")
            sides = dict(before) if isinstance(before, Mapping) else dict.fromkeys(self.sides, before)
            for side, text in taken.items():
                if text is not None:
                    sides[side] = text
                elif each.one_by_one:
                    sides[side] = ""
            found[each.key] = {side: value for side, value in sides.items() if value != ""}
        return found

    def read(self, asked: Calculator) -> dict[tuple[str, str | None], Quantity]:
        """The results of a calculator that were read on the metal, and still stand."""
        found: dict[tuple[str, str | None], Quantity] = {}
        for output in asked.outputs:
            for side, text in self.measured.get(f"{asked.name}.{output.key}", {}).items():
                value = None if text is None else read_output(asked, output, side, text)
                if value is not None:
                    found[output.key, side or None] = value
        return found


class Worked(Mapping[str, Outcome]):
    """What ``all_numbers`` finds, each calculator run when it is looked up, with those it takes from, and kept.

    Many a plan names few of its numbers, and each that is not worked out is start-up that nobody pays.
    """

    __slots__ = ("_asked", "_done")

    def __init__(self, sections: Sections, sides: Sequence[str], show: Show, measured: Measured = NONE) -> None:
        self._asked = _Asked(sections, tuple(sides), show, measured)
        self._done: dict[str, Outcome] = {}

    def with_measured(self, measured: Measured) -> Worked:
        """The same where so much was measured."""
        return Worked(self._asked.sections, self._asked.sides, self._asked.show, measured)

    def __getitem__(self, name: str) -> Outcome:
        if name not in self._asked.sections:
            raise KeyError(name)
        if name not in self._done:
            done = dict(self._done)  # of its own, so that no other thread sees what is half done
            _run(name, self._asked, done)
            self._done |= done
        return self._done[name]

    def __contains__(self, name: object) -> bool:
        return name in self._asked.sections

    def __iter__(self) -> Iterator[str]:
        return iter(self._asked.sections)

    def __len__(self) -> int:
        return len(self._asked.sections)


def _run(name: str, all_: _Asked, done: dict[str, Outcome]) -> Outcome:
    if name not in done:
        done[name] = Outcome(name, None, ((name, "is taken from itself, round in a circle"),))  # while it runs
        asked = calculator(name)
        inputs = all_.inputs(asked)
        problems: list[_Untaken] = []
        for each in asked.inputs:
            if each.taken is not None and inputs.get(each.key, "") == "":
                found = _taken(each, all_, done, problems)
                if found is not None:
                    inputs[each.key] = found
        done[name] = _outcome(asked, inputs, all_, problems)
    return done[name]


def _outcome(
    asked: Calculator,
    inputs: Mapping[str, Arriving],
    all_: _Asked,
    problems: list[_Untaken],
) -> Outcome:
    missing = frozenset(each.key for each in problems if each.missing)
    try:
        result = run(asked, inputs, all_.sides, all_.show, all_.read(asked))
        if problems:  # what it would have taken is not there, so a result without it would mislead
            return Outcome(asked.name, None, tuple(each[:2] for each in problems), missing)
    except RefusedError as error:
        explained = {each.key for each in problems}
        rest = [(key, says) for key, says in error.problems if key not in explained]
        told = (*(each[:2] for each in problems), *rest)
        return Outcome(asked.name, None, told, missing | (error.missing - explained))
    return Outcome(asked.name, result, ())


def _taken(
    each: Input,
    all_: _Asked,
    done: dict[str, Outcome],
    problems: list[_Untaken],
) -> Arriving | None:
    """What an input is when it is left out, or None with the reason told where it is needed."""
    name, _, key = (each.taken or "").partition(".")
    if name not in all_.sections:
        return None
    sides = all_.sides
    outcome = _run(name, all_, done)
    if outcome.result is None:
        if each.one_by_one:  # what comes with the work is not missed before
            return None
        state = "has readings missing" if outcome.waiting else "is refused"
        problems.append(_Untaken(each.key, f"is missing: it is taken from {each.taken}, and {name} {state}", True))
        return None
    found = outcome.result.results.get(key)
    if isinstance(found, Mapping):
        values = {side: value for side, value in found.items() if isinstance(value, (Quantity, str))}
        if each.sided:
            return values if len(values) == len(sides) or (each.one_by_one and values) else None
        return _the_same(each, values, sides, problems)
    return found if isinstance(found, (Quantity, str)) else None


def _the_same(
    each: Input, values: Mapping[str, Quantity | str], sides: Sequence[str], problems: list[_Untaken]
) -> Arriving | None:
    """One value out of one a side, which only works when the sides agree."""
    found = list(values.values())
    if len(found) == len(sides) and all(_alike(value, found[0]) for value in found):
        return found[0]
    problems.append(_Untaken(each.key, f"{each.taken} differs between the sides; write the one that is meant", False))
    return None


def _alike(left: Value, right: Value) -> bool:
    if isinstance(left, Quantity) and isinstance(right, Quantity):
        return abs(left.value - right.value) <= 1e-6
    return left == right


class StepNumbers(Mapping[str, Mapping[str, StepNumber]]):
    """Every number that calculators yield, as steps take them: name -> side -> number.

    A number of the whole job stands under the side "". What has no value (yet, or because its inputs are refused)
    maps to nothing: no number is ever shown that was not found. Each is put into words when it is looked up.
    """

    __slots__ = ("_known", "_made", "_names", "_outcomes", "_show")

    def __init__(self, names: Sequence[str], outcomes: Mapping[str, Outcome], show: Show) -> None:
        self._known, self._outcomes, self._show = known_names(names), outcomes, show
        self._names = names
        self._made: dict[str, Mapping[str, StepNumber]] = {}

    def with_measured(self, measured: Measured) -> StepNumbers:
        """The same numbers where so much was measured."""
        outcomes = self._outcomes
        if isinstance(outcomes, Worked):
            outcomes = outcomes.with_measured(measured)
        return StepNumbers(self._names, outcomes, self._show)

    def outcome(self, section: str) -> Outcome | None:
        """What a calculator came to; None where the build does not use it."""
        return self._outcomes.get(section)

    def __getitem__(self, name: str) -> Mapping[str, StepNumber]:
        found = self._made.get(name)
        if found is None:
            if name not in self._known:
                raise KeyError(name)
            found = self._made[name] = self._make(*name.split(".", 1))
        return found

    def _make(self, section: str, key: str) -> dict[str, StepNumber]:
        outcome = self._outcomes.get(section)
        if outcome is None or outcome.result is None:
            return {}
        output = next((each for each in outcome.result.calculator.outputs if each.key == key), None)
        if output is None or (key not in outcome.result.results and not output.until):
            return {}
        value = outcome.result.results.get(key, {})
        sides = dict(value) if isinstance(value, Mapping) else {"": value}
        if output.until:
            sides = {side: sides.get(side, output.until) for side in outcome.result.sides}
        measured = outcome.result.measured
        show = answering(self._show, outcome.result)
        return {
            side: StepNumber(
                each.value if isinstance(each, Quantity) else None,
                each
                if each is output.until
                else shown_wide(output, each, show, measured=(key, side or None) in measured),
                each.plus_minus if isinstance(each, Quantity) else 0.0,
                (key, side or None) in measured,
            )
            for side, each in sides.items()
        }

    def __contains__(self, name: object) -> bool:
        return name in self._known

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)


def for_steps(names: Sequence[str], outcomes: Mapping[str, Outcome], show: Show) -> StepNumbers:
    """Every number that these calculators yield, as steps take them."""
    return StepNumbers(names, outcomes, show)


__all__ = ["Outcome", "StepNumbers", "Worked", "all_numbers", "for_steps", "known_names"]
