"""Inputs that are being tried: what the file says, what was typed over it, and what that moves. Pure.

Nothing in here is on the disk; a draft is a value, and every change makes a new one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from planner.numbers.calculator import NOTHING, Arriving, Calculator, Input, Show, Value
from planner.numbers.inputs import parse_input
from planner.numbers.lengths import TextError
from planner.numbers.quantity import Quantity
from planner.numbers.readings import NONE, Measured
from planner.numbers.registry import CALCULATORS, calculator
from planner.numbers.together import Outcome, all_numbers

#: An input as it is typed: one text for all sides, or one a side; None where there is none.
Typed = str | Mapping[str, str] | None
Sections = Mapping[str, Mapping[str, Arriving]]
Where = tuple[str, str]  # calculator, input
Outcomes = Mapping[str, Outcome]
#: The calculator that may take long; it is worked out beside the screen.
SLOW = "bars"


class Change(NamedTuple):
    """One input that is not as the file has it: what the file said when it was typed, and what was typed."""

    old: Typed
    new: Typed


class Draft(NamedTuple):
    """The numbers of a file, and what was typed since; the latest change last."""

    saved: Sections
    changes: Mapping[Where, Change] = MappingProxyType({})

    def typed(self, name: str, key: str) -> Typed:
        """An input as it stands in the form."""
        change = self.changes.get((name, key))
        return change.new if change is not None else saved_text(self.saved, name, key)

    def unsaved(self) -> dict[Where, Change]:
        """What would be written: changes that change something."""
        return {where: each for where, each in self.changes.items() if meant(each.new) != meant(each.old)}

    def clashes(self) -> dict[Where, Change]:
        """Unsaved changes of inputs that are no longer in the file as they were when they were typed over."""
        return {
            where: each
            for where, each in self.unsaved().items()
            if meant(saved_text(self.saved, *where)) not in (meant(each.old), meant(each.new))
        }

    def sections(self) -> dict[str, dict[str, Arriving]]:
        """Every section with what was typed in it, as calculators take them; empty texts left out."""
        found = {name: dict(section) for name, section in self.saved.items()}
        for (name, key), change in self.changes.items():
            section = found.setdefault(name, {})
            section.pop(key, None)
            value = meant(change.new)
            if value is not None:
                section[key] = value
        return {name: section for name, section in found.items() if section or name in self.saved}


def saved_text(saved: Sections, name: str, key: str) -> Typed:
    """An input as the file has it."""
    found = saved.get(name, {}).get(key)
    if isinstance(found, Mapping):
        return {side: str(text) for side, text in found.items()}
    return None if found is None else str(found)


def meant(value: Typed) -> Typed:
    """What a typed value comes to: nothing where all of it is empty; sides with nothing are left out."""
    if isinstance(value, Mapping):
        return {side: text.strip() for side, text in value.items() if text.strip()} or None
    return (value or "").strip() or None


def put(draft: Draft, name: str, key: str, text: str, side: str | None, sides: Sequence[str]) -> Draft:
    """A draft with another text for an input: on one side of it, or (None) as its one value."""
    if side is None:
        return put_all(draft, name, key, text)
    before = draft.typed(name, key)
    kept = before if isinstance(before, Mapping) else {}
    return put_all(draft, name, key, {each: text if each == side else kept.get(each, "") for each in sides})


def put_all(draft: Draft, name: str, key: str, value: Typed) -> Draft:
    """A draft with another value for an input as a whole."""
    where = (name, key)
    before = draft.changes.get(where)
    old = before.old if before is not None else saved_text(draft.saved, name, key)
    changes = {each: change for each, change in draft.changes.items() if each != where}
    if _shape(value) != _shape(old):
        changes[where] = Change(old, value)
    return draft._replace(changes=changes)


def _shape(value: Typed) -> Typed:
    """A value to compare by: given per side stays so even while it is empty."""
    if isinstance(value, Mapping):
        return {side: text.strip() for side, text in value.items()}
    return meant(value)


def split(draft: Draft, name: str, key: str, sides: Sequence[str]) -> Draft:
    """An input that was given once for all sides, given for each of them."""
    before = draft.typed(name, key)
    text = before if isinstance(before, str) else ""
    return put_all(draft, name, key, dict.fromkeys(sides, text))


def joined(value: Typed) -> str | None:
    """The one text of an input given per side; None where its sides differ: no side's number is carried across."""
    if not isinstance(value, Mapping):
        return value
    texts = {text.strip() for text in value.values()}
    return texts.pop() if len(texts) == 1 else None


def drop(draft: Draft, where: Where) -> Draft:
    """A draft without one change."""
    return draft._replace(changes={each: change for each, change in draft.changes.items() if each != where})


def rebase(draft: Draft, saved: Sections) -> Draft:
    """The changes over what the file says now; those that it has taken in are no changes any more."""
    changes = {
        where: each for where, each in draft.changes.items() if meant(saved_text(saved, *where)) != meant(each.new)
    }
    return Draft(saved, changes)


def settle(draft: Draft) -> Draft:
    """After the person chose their own text over the file's: the changes count against what the file says now."""
    return draft._replace(
        changes={where: each._replace(old=saved_text(draft.saved, *where)) for where, each in draft.changes.items()}
    )


def unreadable(draft: Draft) -> dict[str, str]:
    """Unsaved texts that no file of numbers can hold, because they cannot be read: ``narrow.kerf`` -> why."""
    found = {}
    for (name, key), change in draft.unsaved().items():
        each = input_of(name, key)
        value = meant(change.new)
        texts = value.items() if isinstance(value, Mapping) else [("", value)] if value else []
        for side, text in texts:
            try:
                parse_input(each, text)
            except TextError as error:
                found[f"{name}.{key}{f'.{side}' if side else ''}"] = str(error)
    return found


def input_of(name: str, key: str) -> Input:
    """An input as it is declared."""
    return next(each for each in calculator(name).inputs if each.key == key)


def in_order(sections: Mapping[str, object]) -> list[str]:
    """Every calculator, those with a section first, each group in the order of the work."""
    return sorted(CALCULATORS, key=lambda name: name not in sections)


# Working out


def work(
    sections: Sections, sides: Sequence[str], show: Show, *, slow: bool, measured: Measured = NONE
) -> dict[str, Outcome]:
    """What every section comes to; without ``slow`` the slow calculator is left out, and nothing takes from it."""
    return all_numbers({name: each for name, each in sections.items() if slow or name != SLOW}, sides, show, measured)


def slow_question(sections: Sections, outcomes: Outcomes) -> object:
    """What the slow calculator is asked; equal questions have equal answers. None where it has no section."""
    if SLOW not in sections:
        return None
    asked: Calculator = calculator(SLOW)
    taken: list[object] = []
    for each in asked.inputs:
        name, _, key = (each.taken or "").partition(".")
        outcome = outcomes.get(name)
        if outcome is not None:
            taken.append(outcome.problems if outcome.result is None else outcome.result.results.get(key))
    return sorted(sections[SLOW].items(), key=str), taken


class Moved(NamedTuple):
    """A result that is not what it was: what it was, or None where it was not there."""

    was: Value | None


def moved(before: Outcome | None, now: Outcome | None) -> dict[tuple[str, str | None], Moved]:
    """Which results of a calculator moved: (output, side) -> what it was."""
    old, new = _values(before), _values(now)
    return {where: Moved(old.get(where)) for where, value in new.items() if not _alike(old.get(where), value)}


def gone(before: Outcome | None, now: Outcome | None) -> list[tuple[str, str | None]]:
    """Which results of a calculator are no longer there."""
    new = _values(now)
    return [where for where in _values(before) if where not in new]


def _values(outcome: Outcome | None) -> dict[tuple[str, str | None], Value]:
    found: dict[tuple[str, str | None], Value] = {}
    if outcome is None or outcome.result is None:
        return found
    for key, value in outcome.result.results.items():
        if isinstance(value, Mapping):
            found |= {(key, side): each for side, each in value.items()}
        else:
            found[key, None] = value
    return found


def _alike(old: Value | None, new: Value) -> bool:
    if isinstance(old, Quantity) and isinstance(new, Quantity):
        close = NOTHING * max(1.0, abs(new.value))
        return abs(old.value - new.value) <= close and abs(old.u - new.u) <= close
    return old == new


def differ(values: Mapping[str, Value], sides: Sequence[str]) -> bool:
    """Whether a result is not the same on every side, or is missing on some."""
    found = list(values.values())
    return len(found) != len(sides) or any(not _alike(found[0], each) for each in found[1:])
