"""What a generated build is: plain immutable records, independent of the product's own model.

References to conditions stay as they are written in the files (`tube.true@all`); only the oracles read them.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Step:
    """One step; `sides` is `each`, `once` or a tuple of side names."""

    name: str
    sides: str | tuple[str, ...] = "each"
    why: bool = False
    rounds: int = 1
    turns: str | tuple[str, ...] | None = None
    first: str | None = None
    needs: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    rework: bool = False
    film: str | None = None
    one_way: bool = False


@dataclass(frozen=True, slots=True)
class Stage:
    """A list of steps with its pace, or with its operations outright."""

    name: str
    steps: tuple[Step, ...]
    pace: str | None = None
    rounds: int = 1
    first: str | None = None
    film: str | None = None
    sequence: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Episode:
    """One film of the series."""

    number: int
    stages: tuple[Stage, ...]
    film: str | None = None


@dataclass(frozen=True, slots=True)
class Build:
    """The whole job. `conditions` maps a name to its scope, `side` or `job`."""

    sides: tuple[str, ...]
    conditions: dict[str, str]
    episodes: tuple[Episode, ...]
    start: tuple[str, ...] = ()
    film: str | None = None
    on_camera_needs: tuple[str, ...] = ()
    on_camera_spoils: tuple[str, ...] = ()
    seed: str = field(default="by hand", compare=False)

    def stages(self) -> list[Stage]:
        """Every stage in the order of the files."""
        return [stage for episode in self.episodes for stage in episode.stages]

    def steps(self) -> list[Step]:
        """Every step in the order of the files."""
        return [step for stage in self.stages() for step in stage.steps]


def covered(step: Step, sides: tuple[str, ...]) -> list[str | None]:
    """The sides a step has an operation on, in the build's order; a single None when it is done once."""
    if step.sides == "once":
        return [None]
    return [side for side in sides if step.sides == "each" or side in step.sides]


def operation_name(step: str, side: str | None, number: int | None) -> str:
    """`step#k@side`, without the parts that do not apply."""
    return step + ("" if number is None else f"#{number}") + ("" if side is None else f"@{side}")
