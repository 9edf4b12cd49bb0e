"""What is asked at the tick of what is read: the limits, the units to choose from, what was read before."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from planner.numbers.units import KINDS
from planner.plan.expand import Operation
from planner.plan.names import step_of
from planner.plan.readings import reads_where
from planner.plan.ticks import READING
from planner.session.refusing import is_cooling

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild

#: The units of a kind that a shop reads in, the first one first.
UNITS: Mapping[str, tuple[str, ...]] = {
    "length": ("in", "mm"),
    "temperature": ("C", "F"),
    "angle": ("deg", "mrad"),
    "torque": ("N.m", "lb-ft"),
    "force": ("N", "lbf"),
    "stress": ("MPa", "ksi"),
    "time": ("min", "s"),
    "travel": ("mm/s", "in/min"),
    "wind": ("m/s", "mph"),
}
_SPREAD = re.compile(r"\s*(?:±|\+/-|\+-)\s*")
_LAST_WORD = re.compile(r"(?<=[\d.\s])[^\d\s.,;][^\d,;]*$")


class Earlier(NamedTuple):
    """A reading that was taken of the same metal before, and at which operation."""

    op: str
    typed: str


class Asked(NamedTuple):
    """What is asked for with an operation: ``number`` is what its reading becomes, ``says`` the limits of a hold."""

    units: tuple[str, ...]
    number: str | None
    says: str | None
    doubt: str | None
    earlier: tuple[Earlier, ...]

    @property
    def must(self) -> bool:
        """Whether it is not done without a reading."""
        return self.says is not None

    @property
    def warmth(self) -> bool:
        """Whether a thermometer is read while something cools."""
        return self.says is None and self.number is None

    @property
    def may_lack(self) -> bool:
        """Whether the operation is done without a reading as well."""
        return not (self.must or self.warmth)


def asked_of(one: OneBuild, op: Operation) -> Asked | None:
    """What is asked when an operation is ticked, or read while it cools; None where nothing is read."""
    hold, where = op.step.hold, reads_where(op)
    if hold is None and where is None:
        if not is_cooling(op) or op.name not in one.live.times:
            return None
        return Asked(_units("temperature", _habit(one.plan.build.show)), None, None, None, earlier(one, op))
    number = None if where is None else f"{where[0]}{f'@{where[1]}' if where[1] else ''}"
    if hold is not None:
        kind, written = hold.kind, hold.says
    else:
        from planner.numbers.readings import kind_of

        kind, written = kind_of(where[0] if where else ""), _habit(one.plan.build.show)
    doubt = None
    if hold is not None and hold.plus_minus is not None:
        from planner.session.holding import in_unit

        doubt = in_unit(kind, hold.plus_minus, hold.says)
    says = None if hold is None else hold.says
    return Asked(_units(kind, written), number, says, doubt, earlier(one, op))


def _habit(show: Mapping[str, str]) -> str:
    inches = "1 in" if show.get("lengths", "inch").startswith("inch") else "1 mm"
    return f"{inches}, 1 {show.get('temperature', 'C')}"


def _units(kind: str, written: str) -> tuple[str, ...]:
    """The units of a kind, that in which something is written first."""
    known = UNITS.get(kind, tuple(each for each in (KINDS[kind].base,) if each))
    words = re.findall(r"(?<=[\d\s])[A-Za-z°][^\s,;]*|\"", written)
    mine = [each for each in known for word in words if word.lower() == each.lower()]
    return tuple(dict.fromkeys([*mine, *known]))


def earlier(one: OneBuild, op: Operation) -> tuple[Earlier, ...]:
    """The first and the latest reading of the same metal: of the same number, else of the same piece, on this side."""
    where = reads_where(op)
    found: list[tuple[float, Earlier]] = []
    for name, remarks in one.ticks.remarks.items():
        other = one.live.by_name.get(name)
        if other is None or not _alike(op, other, where):
            continue
        for event in remarks:
            if event.did == READING and isinstance(event.raw.get("value"), str):
                found.append((event.n, Earlier(name, event.raw["value"])))
    rows = [each for _, each in sorted(found)]
    return tuple(dict.fromkeys([rows[0], rows[-1]])) if rows else ()


def _alike(op: Operation, other: Operation, where: tuple[str, str] | None) -> bool:
    if where is not None and reads_where(other) == where:
        return True
    if other.side not in (op.side, None) and op.side is not None:
        return False
    if step_of(other.name) == op.step.id:
        return True
    same = op.step.piece is not None and other.step.piece == op.step.piece
    return same and (op.step.hold is not None) and reads_where(other) is None


def with_unit(typed: str, unit: str) -> str:
    """What was typed, with a unit behind it where it has none of its own.

    >>> with_unit("0.011", "in"), with_unit("54 7/8 ± 1/32", "in"), with_unit("45 C", "F"), with_unit("up .006", "in")
    ('0.011 in', '54 7/8 in ± 1/32', '45 C', 'up .006 in')
    """
    typed = " ".join(typed.split())
    value, *rest = _SPREAD.split(typed, maxsplit=1)
    if not typed or not unit or not value or not value[-1].isdigit() or _LAST_WORD.search(typed):
        return typed
    return f"{value} {unit}" + "".join(f" ± {each}" for each in rest)


__all__ = ["Asked", "Earlier", "asked_of", "earlier", "with_unit"]
