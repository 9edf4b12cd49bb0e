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
from planner.plan.model import CoolTo

if TYPE_CHECKING:  # most waits are stated
    from planner.files.build.numbers import NumbersFile
    from planner.numbers.calculator import Arriving
    from planner.numbers.quantity import Quantity

COOL_TO = "cool-to"
_COOL = "cool"
_TARGET = "to-target"
_GOALS = {"touch": "to-touch", "measure": "to-measure"}
_HELP = "write a time such as 20 min, {cool-to: 45 C}, or a number of numbers.yaml such as cool.to-touch"


def cooling_of(node: Node) -> CoolTo | None:
    """What a wait that was read without a problem cools to; None where it is no time of ``cool``."""
    if isinstance(node, MapNode):
        goal = _text(node.items[COOL_TO][1]) if COOL_TO in node.items else None
        return None if goal is None else CoolTo(_GOALS.get(goal, _TARGET), None if goal in _GOALS else goal)
    section, _, key = (_text(node) or "").partition(".")
    return CoolTo(key) if section == _COOL and key in (*_GOALS.values(), _TARGET) else None


def cooled_seconds(
    sections: Mapping[str, Mapping[str, Arriving]], sides: tuple[str, ...], cool_to: CoolTo, seen: str
) -> int | str:
    """Seconds from the tick until it is so cold, by what a thermometer read since; else why it cannot be told.

    ``seen`` is written as ``cool`` takes its readings. Whole minutes, to the long end, as the wait before it.
    """
    from planner.numbers.calculator import Show
    from planner.numbers.together import Worked

    target = {} if cool_to.target is None else {"target": cool_to.target}
    known = {**sections, _COOL: {**sections.get(_COOL, {}), **target, "readings": seen, "now": ""}}
    outcome = Worked(known, sides, Show())[_COOL]
    found = None if outcome.result is None else _longest(outcome.result.results.get(cool_to.key))
    if found is None:
        return "; ".join(f"{key} {says}" for key, says in outcome.problems) or f"cool yields no {cool_to.key}"
    return _whole_minutes(found)


def read_wait(source: Source, node: Node, numbers: NumbersFile | None, sides: tuple[str, ...]) -> int | None:
    """Seconds of a step's ``wait``; None with the problem told where there are none to be had."""
    if isinstance(node, MapNode):
        if list(node.items) != [COOL_TO]:
            source.refuse(node, f"wait: must have {COOL_TO} and nothing else; {_HELP}")
            return None
        goal = _text(node.items[COOL_TO][1])
        if goal is None:
            source.refuse(node.items[COOL_TO][1], f"wait: {COOL_TO}: must be a temperature, touch or measure; {_HELP}")
            return None
        name = f"{_COOL}.{_GOALS.get(goal, _TARGET)}"
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
    from planner.numbers.registry import calculator
    from planner.numbers.together import Worked

    section, _, key = name.partition(".")
    sections = {} if numbers is None else dict(numbers.sections)
    known = known_names(tuple(sections))
    if name not in known:
        where = "there is no numbers.yaml" if numbers is None else f"numbers.yaml has no {name}"
        source.unknown(node, f"wait: {name} is to be had nowhere: {where}; {_HELP}", name, known)
        return None
    unit = next(each.unit for each in calculator(section).outputs if each.key == key)
    if unit != "s":
        source.refuse(node, f"wait: {name} is not a time; {_HELP}")
        return None
    if target is not None:
        sections[section] = {**sections[section], "target": target}
    outcome = Worked(sections, sides, Show())[section]  # runs no calculator that is not asked for
    found = None if outcome.result is None else outcome.result.results.get(key)
    found = _longest(found)
    if found is None:
        why = "; ".join(f"{one} {says}" for one, says in outcome.problems) or "it is not yielded"
        source.refuse(node, f"wait: {name} has no value: {why}; until it has, write the wait as a time")
        return None
    return _whole_minutes(found)


def _longest(found: object) -> Quantity | None:
    """A time; of one a side the longest, which holds for all."""
    from planner.numbers.quantity import Quantity

    each = found.values() if isinstance(found, Mapping) else (found,)
    return max((one for one in each if isinstance(one, Quantity)), key=_end, default=None)


def _whole_minutes(found: Quantity) -> int:
    return 60 * math.ceil(max(0.0, _end(found)) / 60 - 1e-9)


def _end(found: Quantity) -> float:
    return found.value + found.plus_minus


__all__ = ["COOL_TO", "cooled_seconds", "cooling_of", "read_wait"]
