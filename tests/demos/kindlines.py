"""What the wrong and right plans for the kinds of work are made of: a case, its expected rows, and stretches of plan.

The orders are common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

from tests.demos.kindplans import Row

PIECES = f"{{{', '.join(f'{part}: {{in: housing}}' for part in ('joint', 'shaft', 'perch', 'tube', 'cap'))}}}"

PREP = """
    lay-out     mark        joint
    witness     clock-mark  joint
    pops        punch       joint
    grip        hold        joint
    saw-off     cut         joint
    prep        bevel       joint
    grit        blow-out    joint
    bright      clean       joint
    offer-up    fit-up      joint
    seat        hold        joint
    tacks       tack        joint
    trued       check       joint
"""


class Case(NamedTuple):
    """A wrong plan and a right one; ``@{s}`` in what is expected stands for every side in turn."""

    name: str
    wrong: str
    expected: tuple[Row, ...]
    right: str
    pace: str = "step-first"


def trap(rule: str, at: str, condition: str, cause: str) -> Row:
    """A trap that is expected."""
    return ("trap", rule, at, condition, cause)


def gap(at: str, condition: str) -> Row:
    """A gap that is expected."""
    return ("gap", "never-given", at, condition, None)


def less(step: str, plan: str = PREP) -> str:
    """The plan with one line left out."""
    kept = [line for line in plan.splitlines() if line.split()[:1] != [step]]
    assert len(kept) < len(plan.splitlines()), step
    return "\n".join(kept)


CUT = PREP[: PREP.index("    prep")]
WELD = "\n run weld joint"
COOL = "\n cold cool housing"
CHECK = "\n straight check housing"
LOOK = "\n look inspect housing"
SIGN = "\n end sign-off housing sides: once"
ORDER = "\n size measure housing\n buy order shaft sides: once"
BRACKET = """
    bright   clean    perch
    offer    fit-up   perch
    nip      hold     perch
    tacks    tack     perch
    trued-up check    perch
"""
DONE = PREP + WELD + COOL
