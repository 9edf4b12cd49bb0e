"""What kinds and pieces mean, written from their meaning and from nothing else, as plainly as possible.

A mark is one thing that is true or false: a plain word on a piece, or (of a word that is kept part by part) one part
that is closed. Conditions are made of marks, and everything is looked up anew each time: slow, and easy to believe.
Where the meaning leaves more than one answer open, all of them are allowed.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import networkx

from tests.oracle.planned import planned_order
from tests.oracle.shapes import Step, covered, operation_name
from tests.oracle.trade import Trade, sides_of

Mark = tuple[str, str, str | None]  # word, piece, side


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation, with what it stands for."""

    name: str
    step: Step
    side: str | None
    episode: int
    here: frozenset[str]  # all operations of its step on its side (of its pass)
    everywhere: frozenset[str]


@dataclass(slots=True)
class Failed:
    """A need that fails: open parts, and every rule with the causes that explain it."""

    parts: list[str]
    allowed: set[tuple[str, str | None]] = field(default_factory=set)


@dataclass(slots=True)
class Walked:
    """All that is wrong with one order."""

    needs: dict[tuple[str, str], Failed]
    debts: set[tuple[str, str, str | None]]  # end, condition, opener


def _names(step: Step, sides: list[str | None], passes: int, turn: int) -> frozenset[str]:
    """The operations of a step on these sides, in one pass of its stage."""
    numbers: list[int | None] = list(range(1, step.rounds + 1)) if step.rounds > 1 else [None]
    if passes > 1:
        numbers = [turn]
    return frozenset(operation_name(step.name, side, number) for side in sides for number in numbers)


class Oracle:
    """One build."""

    def __init__(self, trade: Trade) -> None:
        self.trade = trade
        self.operations = self._operations()
        planned = planned_order(trade.shape)
        done = set(trade.ticks)
        self.order = [*trade.ticks, *[name for name in planned if name not in done]]

    def _operations(self) -> dict[str, Operation]:
        found: dict[str, Operation] = {}
        sides = self.trade.shape.sides
        for episode in self.trade.shape.episodes:
            for stage in episode.stages:
                for step in stage.steps:
                    for turn in range(1, stage.rounds + 1):
                        for side in covered(step, sides):
                            here = _names(step, [side], stage.rounds, turn)
                            everywhere = _names(step, covered(step, sides), stage.rounds, turn)
                            for name in here:
                                found[name] = Operation(name, step, side, episode.number, here, everywhere)
        return found

    # Pieces

    def above(self, piece: str) -> list[str]:
        """The piece and what it is in, from small to large."""
        chain = [piece]
        while (outer := self.trade.pieces[chain[-1]].inside) is not None:
            chain.append(outer)
        return chain

    def inside(self, piece: str) -> list[str]:
        """The piece and all that is in it."""
        return [each for each in self.trade.pieces if piece in self.above(each)]

    def parts(self, piece: str) -> list[str]:
        """The parts of the outermost piece."""
        return [each for each in self.inside(self.above(piece)[-1]) if not self.trade.pieces[each].made_of]

    def sides(self, piece: str) -> tuple[str, ...]:
        """Where a piece is."""
        return sides_of(self.trade.pieces, piece, self.trade.shape.sides)

    def holds_at_start(self, mark: Mark) -> bool:
        """Whether a mark is true when the build begins."""
        word, piece, _ = mark
        known = self.trade.words[word]
        not_yet = {each for each in self.above(piece) if word in self.trade.pieces[each].not_yet}
        if known.whole:
            return piece not in not_yet if known.start else piece != self.above(piece)[-1]
        return known.start and not (not_yet & {piece} if known.alone else not_yet)

    def asked(self, word: str, piece: str) -> bool:
        """Whether a word means anything of a piece: some only where work gives them, or a piece is without."""
        known = self.trade.words[word]
        if not known.where_given:
            return True
        giving = [
            on
            for kind, on in self.trade.work.values()
            if word in [written.partition("@")[0] for written in self.trade.kinds[kind].gives]
        ]
        without = [each for each, made in self.trade.pieces.items() if word in made.not_yet]
        return any(piece == each if known.alone else piece in self.inside(each) for each in giving + without)

    # References

    def places(self, word: str, sides_in: tuple[str, ...], op: Operation, where: str) -> list[str | None]:
        """The sides that a word in a kind means, for something that exists on these sides."""
        if self.trade.words[word].job:
            return [None]
        if where == "all" or op.side is None:
            return list(sides_in)
        return [op.side] if op.side in sides_in else []

    def conditions(self, written: str, op: Operation) -> list[tuple[str, list[Mark]]]:
        """The conditions that a word in a kind stands for in needs, each with the marks it is made of."""
        word, _, where = written.partition("@")
        piece = self.trade.work[op.step.name][1]
        found: list[tuple[str, list[Mark]]] = []
        if not self.asked(word, piece):
            return found
        if self.trade.words[word].whole:
            outer = self.above(piece)[-1]
            everywhere = [s for s in self.trade.shape.sides if any(s in self.sides(p) for p in self.inside(outer))]
            for side in self.places(word, tuple(everywhere), op, where):
                marks = [(word, part, side) for part in self.parts(piece) if side is None or side in self.sides(part)]
                found.append((f"{outer}.{word}" + (f"@{side}" if side else ""), marks))
        else:
            for side in self.places(word, self.sides(piece), op, where):
                found.append((f"{piece}.{word}" + (f"@{side}" if side else ""), [(word, piece, side)]))
        return found

    def reached(self, written: str, op: Operation, *, spoil: bool) -> set[Mark]:
        """The marks that a give or a spoil reaches."""
        word, _, where = written.partition("@")
        known = self.trade.words[word]
        piece = self.trade.work[op.step.name][1]
        found: set[Mark] = set()
        for each in [piece] if known.alone else self.inside(piece):
            if known.whole and self.trade.pieces[each].made_of:
                continue
            one_body = any(self.trade.pieces[outer].one_body for outer in self.above(each))
            wide = "all" if spoil and known.over_sides and one_body else where
            found |= {(word, each, side) for side in self.places(word, self.sides(each), op, wide)}
        return found

    # Walking

    def effects(self, op: Operation, state: dict[Mark, bool], done: set[str]) -> tuple[set[Mark], set[Mark]]:
        """What an operation spoils and gives; `done` has it already, `state` is what it found."""
        kind = self.trade.kinds[self.trade.work[op.step.name][0]]
        spoils = {mark for written in kind.spoils for mark in self.reached(written, op, spoil=True)}
        gives: set[Mark] = set()
        counts = all(
            self.true(state, mark)
            for written in kind.counts_when
            for _, marks in self.conditions(written, op)
            for mark in marks
        )
        if op.here <= done:
            spoils |= {mark for written in kind.used_up for mark in self.reached(written, op, spoil=True)}
        for written in kind.gives if counts else ():
            job = self.trade.words[written.partition("@")[0]].job
            if (op.everywhere if job else op.here) <= done:
                gives |= self.reached(written, op, spoil=False)
        return spoils, gives

    def circular(self) -> set[tuple[str, Mark]]:
        """The needs that stand in a circle of operations that wait for each other: for a mark that is not true at the
        start and that only one step gives, on one side or once for all. By PyPI `networkx`."""
        givers: dict[Mark, list[tuple[Operation, frozenset[str]]]] = {}
        for op in self.operations.values():
            kind = self.trade.kinds[self.trade.work[op.step.name][0]]
            for written in kind.gives:
                whole = self.trade.words[written.partition("@")[0]].job
                for mark in self.reached(written, op, spoil=False):
                    givers.setdefault(mark, []).append((op, op.everywhere if whole else op.here))
        graph = networkx.DiGraph()
        waiting: dict[tuple[str, Mark], frozenset[str]] = {}
        place = {name: number for number, name in enumerate(self.operations)}
        for op in self.operations.values():
            kind = self.trade.kinds[self.trade.work[op.step.name][0]]
            for written in kind.needs:
                for mark in (mark for _, marks in self.conditions(written, op) for mark in marks):
                    known = givers.get(mark, [])
                    sides = {giver.side for giver, names in known if names != giver.everywhere} or {None}
                    steps = {giver.step.name for giver, _ in known}
                    if not self.holds_at_start(mark) and len(steps) == 1 and len(sides) == 1:
                        firsts = min((names for _, names in known), key=lambda names: min(place[n] for n in names))
                        waiting[op.name, mark] = firsts
                        graph.add_edges_from((op.name, first) for first in firsts)
        knot_of = {name: frozenset(knot) for knot in networkx.strongly_connected_components(graph) for name in knot}
        return {
            (name, mark)
            for (name, mark), firsts in waiting.items()
            if firsts & knot_of[name] and (len(knot_of[name]) > 1 or name in firsts)
        }

    def true(self, state: dict[Mark, bool], mark: Mark) -> bool:
        """Whether a mark is true; what nobody has touched is as it was at the start."""
        return state[mark] if mark in state else self.holds_at_start(mark)

    def walk(self) -> Walked:
        """Step through the order: everything that fails, and why."""
        failed: dict[tuple[str, str], Failed] = {}
        debts: set[tuple[str, str, str | None]] = set()
        state: dict[Mark, bool] = {}
        openers: dict[Mark, str] = {}
        held: set[str] = set()
        named: dict[str, list[Mark]] = {}
        for op in self.operations.values():
            kind = self.trade.kinds[self.trade.work[op.step.name][0]]
            for written in kind.needs:
                named |= dict(self.conditions(written, op))
        acts: list[tuple[Operation, set[Mark]]] = []
        knotted = self.circular()
        done: set[str] = set()
        before: dict[Mark, bool] = {}
        for name in self.order:  # a first walk, for who gives what
            op = self.operations[name]
            done.add(name)
            spoils, gives = self.effects(op, before, done)
            before |= dict.fromkeys(spoils, False) | dict.fromkeys(gives, True)
            acts.append((op, gives))
        done = set()
        last_of = {self.operations[name].episode: place for place, name in enumerate(self.order)}
        for place, name in enumerate(self.order):
            op = self.operations[name]
            held |= {each for each, marks in named.items() if all(self.true(state, mark) for mark in marks)}
            kind = self.trade.kinds[self.trade.work[op.step.name][0]]
            for written in kind.needs:
                for condition, marks in self.conditions(written, op):
                    open_ = [mark for mark in marks if not self.true(state, mark) and (name, mark) not in knotted]
                    if open_:
                        failed[name, condition] = self._why(condition, open_, acts, place, openers, condition in held)
            done.add(name)
            spoils, gives = self.effects(op, state, done)
            for mark in spoils - gives:
                if self.true(state, mark):
                    openers[mark] = name
            for mark in gives:
                openers.pop(mark, None)
            state |= dict.fromkeys(spoils, False) | dict.fromkeys(gives, True)
            if self.trade.waits.get(op.step.name, 0) >= 6:
                debts |= self._debts(state, openers, name, ("shift",), None)
            if last_of[op.episode] == place:
                debts |= self._debts(state, openers, f"(end {op.episode})", ("episode", "shift"), op.episode)
        debts |= self._debts(state, openers, "(end)", ("build",), None)
        # What never held is owed only at (end), whatever it is owed by.
        debts |= {
            ("(end)", self._condition(mark), None)
            for mark in self._owed_marks()
            if self.trade.words[mark[0]].owed != "build" and not self.true(state, mark) and mark not in openers
        }
        return Walked(failed, debts)

    def _why(
        self,
        condition: str,
        open_: list[Mark],
        acts: list[tuple[Operation, set[Mark]]],
        place: int,
        openers: dict[Mark, str],
        held: bool,
    ) -> Failed:
        whole = self.trade.words[open_[0][0]].whole
        found = Failed(sorted(mark[1] for mark in open_) if whole else [])
        order = self.order
        if held:
            found.allowed.add(("spoiled", max((openers[m] for m in open_ if m in openers), key=order.index)))
            return found

        def elsewhere(mark: Mark) -> set[Mark]:
            return {(mark[0], mark[1], side) for side in self.trade.shape.sides}

        given = set().union(*(gives for _, gives in acts))
        later = [op.name for op, gives in acts[place:] if not gives.isdisjoint(open_)]
        nowhere = [m for m in open_ if given.isdisjoint(elsewhere(m) | {m})]
        not_here = [m for m in open_ if m not in given and not given.isdisjoint(elsewhere(m))]
        if nowhere:
            found.allowed.add(("never-given", None))
        elif not_here:
            found.allowed |= {
                ("other-side", next(op.name for op, gives in acts if not gives.isdisjoint(elsewhere(m))))
                for m in not_here
            }
        elif later:
            found.allowed |= {("given-later", name) for name in later[: 1 + len(open_)]}
        else:  # closed before and opened again, and never true as a whole: nothing says which rule it falls under
            found.allowed |= {("spoiled", openers[m]) for m in open_ if m in openers}
            found.allowed.add(("never-given", None))
        return found

    # Debts

    def _owed_marks(self) -> list[Mark]:
        """Every mark of an owed word that a step's kind or a `not-yet` names, on every side it has."""
        named: set[tuple[str, str]] = set()
        for kind, piece in self.trade.work.values():
            known = self.trade.kinds[kind]
            for written in (*known.needs, *known.gives, *known.spoils, *known.counts_when, *known.used_up):
                named.add((written.partition("@")[0], piece))
        for piece, each in self.trade.pieces.items():
            named |= {(word, piece) for word in each.not_yet}
        found: dict[Mark, None] = {}
        for word, piece in sorted(named):
            known_word = self.trade.words[word]
            if known_word.owed:
                for part in self.parts(piece) if known_word.whole else [piece]:
                    for side in (None,) if known_word.job else self.sides(part):
                        found[word, part, side] = None
        return list(found)

    def _condition(self, mark: Mark) -> str:
        word, piece, side = mark
        shown = self.above(piece)[-1] if self.trade.words[word].whole else piece
        return f"{shown}.{word}" + (f"@{side}" if side else "")

    def _debts(
        self, state: dict[Mark, bool], openers: dict[Mark, str], at: str, owed: tuple[str, ...], episode: int | None
    ) -> set[tuple[str, str, str | None]]:
        """The owed conditions that are false now, each with its opener; of pieces opened at once the outermost."""
        due = {}
        for mark in self._owed_marks():
            by = self.trade.words[mark[0]].owed
            if by not in owed or self.true(state, mark):
                continue
            opener = openers.get(mark)
            if at == "(end)" or (
                opener is not None and (episode is None or self.operations[opener].episode == episode)
            ):
                due[mark] = opener
        return {
            (at, self._condition((word, piece, side)), opener)
            for (word, piece, side), opener in due.items()
            if opener is None
            or not any(
                other != piece and other in self.above(piece) and due.get((word, other, side)) == opener
                for other in self.trade.pieces
            )
        }

    # Balance

    def lopsided(self) -> set[str]:
        """Steps whose work that pulls is not shared out: the step, or the operation that runs ahead."""
        found = set()
        planned = planned_order(self.trade.shape)
        for stage in self.trade.shape.stages():
            for step in stage.steps:
                kind, piece = self.trade.work[step.name]
                least, beside = self.trade.kinds[kind].least_rounds, self.trade.kinds[kind].beside
                if least is None or step.sides == "once" or len(step.sides) < 2:
                    continue
                if not any(self.trade.pieces[each].one_body for each in self.above(piece)):
                    continue
                if beside in self.trade.kinds and not any(
                    k == beside and p in self.inside(piece) for k, p in self.trade.work.values()
                ):
                    continue
                if step.rounds * stage.rounds < least:
                    found.add(step.name)
                    continue
                counts = dict.fromkeys(step.sides, 0)
                for name in planned:
                    if self.operations[name].step.name == step.name:
                        counts[str(self.operations[name].side)] += 1
                        if max(counts.values()) - min(counts.values()) > 1:
                            found.add(name)
                            break
        return found
