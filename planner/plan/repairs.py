"""Repairs: changes to an order, each walked before it is offered, best first.

A repair cures a whole finding, or (``partial``) what fails at its first operation, and makes nothing else fail.
Findings that differ only in their side get one repair where one serves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from planner.plan.added import added_sides, balanced, in_turn
from planner.plan.changes import Change, Why, mover
from planner.plan.expand import Operation, Plan
from planner.plan.ideas import Case, Idea, Search, TimeIsUpError
from planner.plan.model import GAP, NOTICE, Finding
from planner.plan.sense import foolish, why
from planner.plan.trial import Fails, Pair
from planner.plan.twos import two_at_once

MOST = 3  # repairs offered for one finding
_FURTHER = 60  # ideas looked at for one more, or for one that serves all sides
_FIRST = 200  # ideas looked at for a finding before the others have had their turn


class Repair(NamedTuple):
    """A change that was proved to cure a finding: ``kind`` is turns, pace, move, rework, sides or two."""

    kind: str
    change: Change
    order: tuple[str, ...]
    why: Why = Why("holds")
    partial: bool = False  # it cures what fails at the finding's own operation, and not all of its also


class Repairs(NamedTuple):
    """Repairs by finding id; ``stopped`` when time ran out before all were looked for."""

    by_finding: Mapping[str, Repair]  # the best
    stopped: bool
    further: Mapping[str, tuple[Repair, ...]] = {}

    def searched(self, finding: Finding) -> bool:
        """Whether every single change was tried; not said of a gap, which wants something added."""
        return not self.stopped and _ordered(finding) and finding.level != GAP


_WITHOUT_PAIRS = ("side-missed", "lopsided", "turn-broken")


def _ordered(finding: Finding) -> bool:
    """Whether something fails that another order could hold."""
    fails = finding.condition is not None or finding.rule == "after-broken"
    return fails and not finding.history and finding.level != NOTICE


def find_repairs(
    plan: Plan,
    done: Sequence[Operation],
    rest: Sequence[Operation],
    findings: Sequence[Finding],
    expired: Callable[[], bool],
) -> Repairs:
    """Repairs for every finding that a change can cure, in the order of the findings: the worst first."""
    wanted = [f for f in findings if _ordered(f) or (f.rule in _WITHOUT_PAIRS and not f.history)]
    found = _Found(plan, done, rest, expired)
    if not wanted:
        return Repairs({}, False)
    groups: dict[str, list[Finding]] = {}
    for finding in wanted:
        groups.setdefault(finding.group or finding.id, []).append(finding)
    try:
        for most in (_FIRST, None):  # one that no idea cures must not take the time of all others
            for finding in wanted:
                if finding.id not in found.best and finding.id not in found.given_up:
                    found.look(finding, groups[finding.group or finding.id], most)
    except TimeIsUpError:
        return Repairs({**found.partly, **found.best}, True)
    try:
        for finding in wanted:
            found.look_further(finding)
    except TimeIsUpError:
        pass  # each has its best one
    return Repairs(found.best, False, {id_: tuple(more) for id_, more in found.further.items()})


class _Found:
    """What was found so far, and the searches that may be gone on with."""

    def __init__(
        self, plan: Plan, done: Sequence[Operation], rest: Sequence[Operation], expired: Callable[[], bool]
    ) -> None:
        self.plan = plan
        self.done = done
        self.search = Search(plan, done, rest, expired)
        self.best: dict[str, Repair] = {}
        self.partly: dict[str, Repair] = {}  # a cure of a part, while one of the whole may still be found
        self.given_up: set[str] = set()  # findings for which every idea was tried
        self.further: dict[str, list[Repair]] = {}
        self._open: dict[str, tuple[Case, Iterator[Idea]]] = {}

    def look(self, finding: Finding, group: Sequence[Finding], most: int | None) -> None:
        """Find the best repair of a finding, and give it to those of its group that it cures as well.

        ``most``: so many ideas are tried, and the finding is left for later where none of them cures it.
        """
        if finding.rule in _WITHOUT_PAIRS:
            self._look_beside(finding)
            return
        search = self.search
        mates = [search.case(each) for each in group if each.id not in self.best and each.rule == finding.rule]
        case = next(each for each in mates if each.finding.id == finding.id)
        watched = _united(mates)
        at = {finding.at: case.pairs[finding.at]}
        ideas = search.ideas(case)
        part: Idea | None = None
        own: Idea | None = None
        tries = 0
        for number, idea in enumerate(ideas):
            search.tick()
            if number == most and own is None:
                if part is not None:
                    self.partly[finding.id] = self._repair(case, part, partial=True)
                return
            left = self._left(idea, watched, at, case)
            tries += 1
            if left is not None:
                if _cured(case, left):
                    if len(mates) == 1 or idea.kind == "rework" or all(_cured(each, left) for each in mates):
                        own = idea
                        break
                    own, tries = (idea, 0) if own is None else (own, tries)
                elif part is None:
                    part = idea
            if own is not None and tries > _FURTHER:
                break
        self._open[finding.id] = (case, ideas)
        self.given_up.add(finding.id)
        if own is None and part is None:
            own = two_at_once(search, case, lambda idea: self._cures(idea, case))
        if own is None and finding.rule == "other-side":
            self._look_beside(finding)
        if own is not None:
            left = self._left(own, watched, at, case) or set()
            for each in mates:
                if _cured(each, left):
                    self._take(each, own)
        elif part is not None and finding.id not in self.best:
            self._take(case, part, partial=True)

    def look_further(self, finding: Finding) -> None:
        """Look on for other changes that cure the whole finding too."""
        best = self.best.get(finding.id)
        if best is None or best.partial or finding.id not in self._open:
            return
        case, ideas = self._open[finding.id]
        met = {mover(best.change)}
        further = self.further.setdefault(finding.id, [])
        for _, idea in zip(range(_FURTHER), ideas, strict=False):
            self.search.tick()
            if mover(idea.change) not in met and self._cures(idea, case):
                met.add(mover(idea.change))
                further.append(self._repair(case, idea))
                if len(further) == MOST - 1:
                    return

    def _look_beside(self, finding: Finding) -> None:
        """What no failing need shows: a side is missing, work that pulls is not shared out, turns are left."""
        search = self.search
        self.given_up.add(finding.id)
        if finding.rule == "turn-broken":
            made = in_turn(search, finding)
        else:
            made = balanced(search, finding) if finding.rule == "lopsided" else added_sides(search, self.done, finding)
        for kind, change, order, reason in made:
            self.best[finding.id] = Repair(kind, change, order, reason)
            return

    def _left(self, idea: Idea, watched: Fails, at: Fails, case: Case) -> set[Pair] | None:
        moved = self.search.moved(idea.change)
        left = self.search.trial.left(idea.tail, watched, at, idea.start, idea.changed, moved)
        return None if left is None or foolish(self.plan, self.search.rest, idea, case) else left

    def _cures(self, idea: Idea, case: Case) -> bool:
        return self._left(idea, case.pairs, case.pairs, case) is not None

    def _take(self, case: Case, idea: Idea, *, partial: bool = False) -> None:
        self.best[case.finding.id] = self._repair(case, idea, partial=partial)

    def _repair(self, case: Case, idea: Idea, *, partial: bool = False) -> Repair:
        order = (*(op.name for op in self.done), *self.search.rest[: idea.start], *idea.tail)
        return Repair(
            idea.kind, idea.change, order, why(self.plan, case, order, self.search.moved(idea.change)), partial
        )


def _united(cases: Sequence[Case]) -> Fails:
    if len(cases) == 1:
        return cases[0].pairs
    found: dict[str, frozenset[str]] = {}
    for case in cases:
        for name, pairs in case.pairs.items():
            found[name] = found.get(name, frozenset()) | pairs
    return found


def _cured(case: Case, left: set[Pair]) -> bool:
    return not any((name, pair) in left for name, pairs in case.pairs.items() for pair in pairs)
