"""The names of operations: ``step@side``, ``step``, with a round ``step#k@side``, ``step#k``. Nothing else reads or
makes them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal


def operation_name(step: str, side: str | None, number: int | None) -> str:
    """``step@side``, ``step``, or with a round ``step#k@side``, ``step#k``."""
    if number is not None:
        step = f"{step}#{number}"
    return step if side is None else f"{step}@{side}"


def at(name: str) -> tuple[str, str | None]:
    """What stands before ``@`` in the name of an operation or a condition, and the side behind it."""
    base, _, side = name.partition("@")
    return base, side or None


def step_of(name: str) -> str:
    """The step in an operation's name."""
    return name.partition("@")[0].partition("#")[0]


def failed_name(name: str) -> str:
    """The name of what an operation comes to whose reading did not lie within its limits."""
    return f"{name}!"


def read_at(name: str) -> str | None:
    """The hold point of a reading that did not pass, by the name of what came of it; None for any other operation."""
    return name[:-1] if name.endswith("!") else None


def gone_name(fact: str) -> str:
    """The name of what happens when a fact has lasted as long as it does."""
    return f"(gone {fact})"


def back_name(fact: str) -> str:
    """The name of what happens when work is recorded that was done while a fact still lasted."""
    return f"(back {fact})"


def is_passing(name: str) -> bool:
    """Whether it is the name of a fact that goes, or is back, with time: nobody does that.

    >>> is_passing("(gone face.bright@left)"), is_passing("(edit 3)"), is_passing("clean@left")
    (True, False, False)
    """
    return name.startswith(("(gone ", "(back "))


def renamed_op(name: str, names: Mapping[str, str]) -> str:
    """The name of an operation whose step may have another id now: ``old#2@left`` becomes ``new#2@left``."""
    step = step_of(name)
    return names[step] + name[len(step) :] if step in names else name


def laps(rounds: int) -> range | tuple[Literal[None]]:
    """The passes of a stage with so many rounds, as operations carry them: None where it is done once."""
    return (None,) if rounds == 1 else range(1, rounds + 1)
