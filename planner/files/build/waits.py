"""Waits that a step takes from numbers.yaml instead of stating a time.

``wait: {cool-to: 45 C}`` is how long what ``cool:`` describes takes to get there, ``{cool-to: touch}`` until it may be
touched, ``{cool-to: measure}`` until it is within 2 K of the air; ``wait: cool.to-touch`` takes a number by its name.
The long end of the number's ± counts, up to a whole minute: what is waited for too short is what bends.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, duration
from planner.files.yaml.tree import MapNode, Node, scalar

if TYPE_CHECKING:
    from planner.files.build.numbers import NumbersFile
    from planner.numbers.quantity import Quantity

COOL_TO = "cool-to"
_COOL = "cool"
_GOALS = {"touch": "to-touch", "measure": "to-measure"}
_HELP = "write a time such as 20 min, {cool-to: 45 C}, or a number of numbers.yaml such as cool.to-touch"


def read_wait(source: Source, node: Node, numbers: NumbersFile | None, sides: tuple[str, ...]) -> int | None:
    """Seconds of a step's ``wait``; None with the problem told where there are none to be had."""
    if isinstance(node, MapNode):
        if list(node.items) != [COOL_TO]:
            source.refuse(node, f"wait: wants {COOL_TO} and nothing else; {_HELP}")
            return None
        goal = _text(node.items[COOL_TO][1])
        if goal is None:
            source.refuse(node.items[COOL_TO][1], f"wait: {COOL_TO}: wants a temperature, touch or measure; {_HELP}")
            return None
        name = f"{_COOL}.{_GOALS.get(goal, 'to-target')}"
        return _seconds(source, node, numbers, sides, name, None if goal in _GOALS else goal)
    written = _text(node)
    section, dot, key = (written or "").partition(".")
    if dot and section.replace("-", "").isalpha() and key:
        return _seconds(source, node, numbers, sides, written or "", None)
    return duration(source, node, "wait")


def _text(node: Node) -> str | None:
    value = scalar(node) if isinstance(node, ScalarEvent) else None
    return value.strip() if isinstance(value, str) and value.strip() else None


def _seconds(
    source: Source, node: Node, numbers: NumbersFile | None, sides: tuple[str, ...], name: str, target: str | None
) -> int | None:
    """The number of that name in whole minutes of seconds, its ± added."""
    from planner.numbers.calculator import Show
    from planner.numbers.keys import known_names
    from planner.numbers.quantity import Quantity
    from planner.numbers.registry import calculator
    from planner.numbers.together import all_numbers

    section, _, key = name.partition(".")
    sections = {} if numbers is None else dict(numbers.sections)
    known = known_names(tuple(sections))
    if name not in known:
        where = "there is no numbers.yaml" if numbers is None else f"numbers.yaml has no {name}"
        source.unknown(node, f"wait: {name} is to be had nowhere: {where}; {_HELP}", name, known)
        return None
    unit = next(each.unit for each in calculator(section).outputs if each.key == key)
    if unit != "s":
        source.refuse(node, f"wait: {name} is no time; {_HELP}")
        return None
    if target is not None:
        sections[section] = {**sections[section], "target": target}
    outcome = all_numbers(sections, sides, Show())[section]
    found = None if outcome.result is None else outcome.result.results.get(key)
    if isinstance(found, Mapping):  # a time a side: the longest holds for all
        found = max((each for each in found.values() if isinstance(each, Quantity)), key=_end, default=None)
    if not isinstance(found, Quantity):
        why = "; ".join(f"{one} {says}" for one, says in outcome.problems) or "it is not yielded"
        source.refuse(node, f"wait: {name} has no value: {why}; until it has, write the wait as a time")
        return None
    return 60 * math.ceil(max(0.0, _end(found)) / 60 - 1e-9)


def _end(found: Quantity) -> float:
    return found.value + found.plus_minus


__all__ = ["COOL_TO", "read_wait"]
