"""numbers.yaml: one section a calculator, inputs as typed, per side where they differ.

Whether the file can be read is judged here: its keys, its sides, its shape. Whether an input can be used is for its
calculator: what is refused there yields no number, and the plan can be worked with all the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, check_format, kind_of
from planner.files.yaml.tree import MapNode, Node, Problem, Problems, SeqNode, scalar
from planner.numbers.keys import input_keys
from planner.numbers.registry import CALCULATORS
from planner.plan.model import Place

if TYPE_CHECKING:  # reading a file pays for no calculator
    from planner.numbers.calculator import Arriving, Show
    from planner.numbers.readings import Measured
    from planner.numbers.together import Outcome, StepNumbers

FORMAT = "format"


class NumbersFile(NamedTuple):
    """What numbers.yaml says: section -> input -> what is typed, and where each of them stands."""

    path: str
    sections: Mapping[str, Mapping[str, Arriving]]
    places: Mapping[tuple[str, str], Place]  # (section, ""), (section, key), (section, key.side)

    def texts(self) -> list[str]:
        """Everything that is typed, for guessing what the person measures in."""
        found: list[str] = []
        for section in self.sections.values():
            for value in section.values():
                found += [str(each) for each in (value.values() if isinstance(value, Mapping) else (value,))]
        return found

    def place(self, section: str, key: str) -> Place:
        """Where an input stands, else its section."""
        for found in ((section, key), (section, key.partition(".")[0]), (section, "")):
            if found in self.places:
                return self.places[found]
        return Place(self.path, 1, 1)

    def problem(self, section: str, key: str, says: str) -> Problem:
        """A refused input as a located problem."""
        return Problem(*self.place(section, key), f"{section}: {key}: {says}")

    def problems(self, outcomes: Mapping[str, Outcome]) -> list[Problem]:
        """Everything that calculators refused, in the order of the file."""
        found = [self.problem(name, *row) for name, outcome in outcomes.items() for row in outcome.problems]
        return sorted(found, key=lambda problem: (problem.line, problem.column))


class BuildNumbers(NamedTuple):
    """The numbers of one build: the file as it is typed, what came of every calculator, how lengths are shown."""

    file: NumbersFile
    sides: tuple[str, ...]
    outcomes: Mapping[str, Outcome]
    show: Show

    def problems(self) -> list[Problem]:
        """What calculators refused, each with its place in the file."""
        return self.file.problems(self.outcomes)


def work_out(
    file: NumbersFile, sides: tuple[str, ...], lengths: str | None, measured: Measured | None = None
) -> BuildNumbers:
    """Run the calculators of a file; ``lengths`` is how the build wants lengths shown, ``measured`` what ticks read."""
    from planner.numbers.together import all_numbers

    show = _shown(file, lengths)
    return BuildNumbers(file, sides, all_numbers(file.sections, sides, show, measured or {}), show)


def numbers_for_steps(file: NumbersFile, sides: tuple[str, ...], lengths: str | None) -> StepNumbers:
    """The numbers of a file as steps take them; a calculator is run when the first of its numbers is looked up."""
    from planner.numbers.together import StepNumbers, Worked

    show = _shown(file, lengths)
    return StepNumbers(tuple(file.sections), Worked(file.sections, sides, show), show)


def _shown(file: NumbersFile, lengths: str | None) -> Show:
    from planner.numbers.showing import infer_show, parse_show

    return (parse_show(lengths) if lengths else None) or infer_show(file.texts())


def read_numbers(path: Path, root: Node, sides: Sequence[str], problems: Problems) -> NumbersFile:
    """The numbers of a build out of the tree of their file; what cannot be read is told and left out."""
    source = Source(str(path), problems)
    places: dict[tuple[str, str], Place] = {}
    sections: dict[str, dict[str, Arriving]] = {}
    if not isinstance(root, MapNode):
        source.refuse(root, "numbers.yaml must be keys and values, and first of all format: 1")
        return NumbersFile(str(path), sections, places)
    if FORMAT not in root.items:
        source.refuse(root, "numbers.yaml lacks the key format:")
    else:
        check_format(source, root.items[FORMAT][1], FORMAT)
    for name, (event, node) in root.items.items():
        if name == FORMAT:
            continue
        if name not in CALCULATORS:
            source.unknown(event, f"there is no calculator {name}", name, CALCULATORS)
            continue
        places[name, ""] = source.place(event)
        sections[name] = {}
        if isinstance(node, MapNode):
            _section(source, name, node, sides, sections[name], places)
        elif not (isinstance(node, ScalarEvent) and scalar(node) is None):
            source.refuse(node, f"{name}: must have its inputs as keys and values, not {kind_of(node)}")
    return NumbersFile(str(path), sections, places)


def _section(
    source: Source,
    name: str,
    node: MapNode,
    sides: Sequence[str],
    into: dict[str, Arriving],
    places: dict[tuple[str, str], Place],
) -> None:
    inputs = input_keys(name)
    for key, (event, value) in node.items.items():
        if key not in inputs:
            source.unknown(event, f"{name} has no input {key}", key, inputs)
            continue
        places[name, key] = source.place(value)
        if not isinstance(value, MapNode):
            typed = _typed(source, (name, key), None, value)
            if typed:
                into[key] = typed
            continue
        if not inputs[key]:
            source.refuse(value, f"{name}: {key} is one value for the whole job; it is not given per side")
            continue
        per_side: dict[str, str] = {}
        for side, (side_event, side_value) in value.items.items():
            if side not in sides:
                source.unknown(side_event, f"{name}: {key}: there is no side {side}", side, sides)
                continue
            places[name, f"{key}.{side}"] = source.place(side_value)
            typed = _typed(source, (name, key), side, side_value)
            if typed:
                per_side[side] = typed
        into[key] = per_side


def _typed(source: Source, where: tuple[str, str], side: str | None, node: Node) -> str:
    """The text of an input as it is written; empty where there is none yet, or where it is no text."""
    if isinstance(node, ScalarEvent) and not isinstance(scalar(node), bool):
        text: str = node.value
        return "" if scalar(node) is None else text.strip()
    from planner.numbers.registry import calculator

    name, key = where
    each = next(one for one in calculator(name).inputs if one.key == key)
    what = ": ".join(filter(None, (name, key, side)))
    hint = "; for values per side write {side: value, …}" if isinstance(node, SeqNode) and each.sided else ""
    source.refuse(node, f"{what}: must be {each.kind}, not {kind_of(node)}{hint}")
    return ""
