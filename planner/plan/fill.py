"""Numbers inside the steps: ``{narrow.first-line}`` in ``do`` becomes the number of the side that is worked on.

The numbers come as a plain mapping, name -> side -> (value, shown) or (value, shown, ±, measured); a number of the
whole job stands under the side "". A name that is known and has no number yet (a reading is still to be taken) maps to
nothing and stays as written.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from planner.plan.expand import Plan
    from planner.plan.model import Build, Place, Step

#: The value, None where it is words; how it is shown; its ± (0: none stated) and whether it was measured.
Number = tuple[float | None, str] | tuple[float | None, str, float, bool]
Numbers = Mapping[str, Mapping[str, Number]]

JOB = ""  # the side of a number that the whole job has once
_REFERENCE = re.compile(r"\{\s*([A-Za-z0-9._-]+)(?:@([A-Za-z0-9-]+))?\s*\}")
_NOTHING = 1e-6  # two values this near to each other are the same number


class Reference(NamedTuple):
    """A number as a step names it: the side is None where it is the operation's own."""

    written: str
    name: str
    side: str | None


class Kept(NamedTuple):
    """A number as a step showed it when it was ticked."""

    value: float | None  # None where it is words
    plus_minus: float
    shown: str
    measured: bool


class Moved(NamedTuple):
    """A number that is something else than what an operation was done to."""

    name: str  # with its side, where it has sides
    then: Kept
    now: Kept


class Mistake(NamedTuple):
    """A reference that cannot be: what to say, the word that is not known, and those that are."""

    says: str
    word: str
    known: tuple[str, ...]


def references(text: str) -> list[Reference]:
    """The numbers that a text names.

    >>> references("Cut at {narrow.first-line}, not at {narrow.first-line@passenger} {sic!}")[1].side
    'passenger'
    """
    if "{" not in text:
        return []
    return [Reference(match.group(), match.group(1), match.group(2)) for match in _REFERENCE.finditer(text)]


def mistakes(text: str, known: Mapping[str, bool], sides: Sequence[str], key: str = "do") -> Iterator[Mistake]:
    """What is wrong with the numbers that a text names; ``known`` says of every name whether it has sides."""
    for written, name, side in references(text):
        if name not in known:
            section = name.partition(".")[0]
            absent = not any(each.startswith(f"{section}.") for each in known)
            why = f", and numbers.yaml has no section {section}" if absent and "." in name else ""
            yield Mistake(f"{key}: there is no number {written}{why}", name, tuple(known))
        elif side is not None and side not in sides:
            yield Mistake(f"{key}: {written}: there is no side {side}", side, tuple(sides))
        elif side is not None and not known[name]:
            yield Mistake(f"{key}: {written}: the whole job has this number once; write {{{name}}}", "", ())


def _all_of_it(number: Number) -> str:
    return number[1]


def filled(
    text: str,
    numbers: Numbers,
    side: str | None,
    sides: Sequence[str],
    say: Callable[[Number], str] = _all_of_it,
) -> str:
    """A text with its numbers filled in, for an operation on a side, or done once (None): then with every side's,
    or the one that they all have. ``say`` puts a number into words.


    >>> from planner.numbers.together import StepNumber
    >>> both = {"narrow.first-line": {"left": StepNumber(88.9, "3 1/2 in"), "right": StepNumber(101.6, "4 in")}}
    >>> filled("Cut at {narrow.first-line}", both, "right", ("left", "right"))
    'Cut at 4 in'
    >>> filled("Cut at {narrow.first-line}", both, None, ("left", "right"))
    'Cut at left 3 1/2 in, right 4 in'
    """
    if not numbers or "{" not in text:
        return text

    def number(match: re.Match[str]) -> str:
        found = numbers.get(match.group(1))
        if not found:
            return match.group()
        if JOB in found:
            return say(found[JOB])
        asked = match.group(2) or side
        if asked is not None:
            return say(found[asked]) if asked in found else match.group()
        if not differs(found, sides) and len({say(found[each]) for each in sides}) == 1:
            return say(found[sides[0]])  # halves that add up on the tape may be one number on two marks
        return ", ".join([f"{each} {say(found[each])}" for each in sides if each in found])

    return _REFERENCE.sub(number, text)


def said(build: Build, step: Step, side: str | None) -> str:
    """What a step says is to be done on a side (None: done once), with its numbers filled in."""
    return filled(step.do, build.numbers, side, build.sides)


def spoken(build: Build, step: Step, side: str | None) -> tuple[str, ...]:
    """What a step says to viewers on a side (None: done once), with its numbers filled in."""
    return tuple(filled(text, build.numbers, side, build.sides) for text in step.say)


def shown_numbers(build: Build, step: Step, side: str | None) -> dict[str, Kept]:
    """The numbers that a step shows and speaks on a side (None: done once, so every side's), by name and side."""
    if not build.numbers:
        return {}
    found: dict[str, Kept] = {}
    for text in (step.do, *step.say):
        for each in references(text):
            number = build.numbers.get(each.name) or {}
            one = each.side or side
            sides = (JOB,) if JOB in number else (one,) if one is not None else build.sides
            for where in sides:
                if where in number:
                    found[f"{each.name}@{where}" if where else each.name] = _kept(number[where])
    return found


def _kept(number: Number) -> Kept:
    if len(number) == 2:
        return Kept(number[0], 0.0, number[1], False)
    return Kept(number[0], number[2], number[1], number[3])


def moved(build: Build, step: Step, kept: Mapping[str, Kept]) -> list[Moved]:
    """The numbers that a step was done to and that are something else now, by more than the larger ± of the two.

    Planned is compared with planned and measured with measured. What is only spoken is not what it was done to.
    """
    done_to = {each.name for each in references(step.do)}
    spoken = {each.name for text in step.say for each in references(text)} - done_to
    found = []
    for name, then in kept.items():
        base, _, side = name.partition("@")
        number = build.numbers.get(base) or {}
        if base in spoken or side not in number:
            continue
        now = _kept(number[side])
        if then.measured == now.measured and _is_other(then, now):
            found.append(Moved(name, then, now))
    return found


def said_otherwise(build: Build, step: Step, kept: Mapping[str, Kept]) -> list[Moved]:
    """The numbers that a step spoke when it was ticked and that have another value now, planned or measured."""
    names = {each.name for text in step.say for each in references(text)}
    found = []
    for name, then in kept.items():
        base, _, side = name.partition("@")
        number = build.numbers.get(base) or {}
        if base in names and side in number and _is_other(then, now := _kept(number[side])):
            found.append(Moved(name, then, now))
    return found


def spoken_then(build: Build, step: Step, side: str | None, kept: Mapping[str, Kept]) -> tuple[str, ...]:
    """What a step said when it was ticked: with the numbers that it spoke then."""
    numbers: dict[str, Mapping[str, Number]] = {}
    for each in (each for text in step.say for each in references(text)):
        sides = dict(build.numbers.get(each.name) or {})
        for where in (JOB, *build.sides):
            then = kept.get(f"{each.name}@{where}" if where else each.name)
            if then is not None:
                sides[where] = (then.value, then.shown)
        numbers[each.name] = sides
    return tuple(filled(text, numbers, side, build.sides) for text in step.say)


def _is_other(then: Kept, now: Kept) -> bool:
    if then.value is None or now.value is None:
        return then.shown != now.shown
    return abs(then.value - now.value) > (max(then.plus_minus, now.plus_minus) or _NOTHING)


def said_done(build: Build, step: Step, side: str | None, others: Sequence[Moved]) -> str:
    """What a step that is done said was to be done: with what it was done to, beside what that would be now."""
    if not others:
        return said(build, step, side)
    numbers = {each.name: dict(build.numbers.get(each.name) or {}) for each in references(step.do)}
    for each in others:
        base, _, where = each.name.partition("@")
        if base in numbers:
            numbers[base][where] = (each.then.value, f"{each.then.shown} (now {each.now.shown})")
    return filled(step.do, numbers, side, build.sides)


def differs(number: Mapping[str, Number], sides: Sequence[str]) -> bool:
    """Whether a number is not the same on every side, or is missing on some."""
    if JOB in number or not number:
        return False
    if any(side not in number for side in sides):
        return True
    values = [number[side][0] for side in sides]
    if any(value is None for value in values):
        return len({number[side][1] for side in sides}) > 1
    plain = [value for value in values if value is not None]
    return max(plain) - min(plain) > _NOTHING * max(1.0, abs(max(plain)) * 1e-3)


def differing(text: str, numbers: Numbers, sides: Sequence[str]) -> list[str]:
    """The names in a text whose numbers differ between the sides, each once; where it says which side, all is said."""
    if not numbers:
        return []
    names = dict.fromkeys(reference.name for reference in references(text) if reference.side is None)
    return [name for name in names if name in numbers and differs(numbers[name], sides)]


def unfilled(text: str, numbers: Numbers) -> list[str]:
    """The references in a text that are known and have no number yet, as written."""
    return list(
        dict.fromkeys(
            each.written
            for each in references(text)
            if each.name in numbers and (not numbers[each.name] or _lacks(numbers[each.name], each.side))
        )
    )


def without_number(plan: Plan) -> list[tuple[Place, str]]:
    """Steps that name a number which is not there yet, or whose inputs are refused: where, and what of it."""
    numbers = plan.build.numbers
    if not numbers:
        return []
    found = []
    for _, stage in plan.stages:
        for step in stage.steps:
            missing = [each for text in (step.do, *step.say) for each in unfilled(text, numbers)]
            if missing:
                has = "has" if len(missing) == 1 else "have"
                why = "readings are missing or refused; planner numbers says which"
                found.append((step.place, f"{step.id}: {', '.join(missing)} {has} no number, because {why}"))
    return found


def _lacks(number: Mapping[str, Number], side: str | None) -> bool:
    return side is not None and JOB not in number and side not in number
