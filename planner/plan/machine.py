"""The walk, as one machine: what carrying out an operation needs and does. Checking a plan, telling why, the live
state and the trying out of repairs all go through here.

A state is a list of whole numbers: a bit a fact, and a bit an operation done where somebody asks whether it is. A
plan is compiled once; carrying an operation out then costs a few operations on whole numbers. Facts are numbered as
the plan meets them and held in pages of ``PAGE`` bits, so that a step touches one or two pages however large the
build is, and a state is copied by copying a short list.

A fact is a string and nothing here looks into it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from planner.plan.expand import Key, Operation, Plan, side_key, step_key

_SHIFT = 8
PAGE = 1 << _SHIFT  # bits: few enough that an operation on them costs little more than on one
_IN_PAGE = PAGE - 1

State = list[int]
Marks = tuple[tuple[int, int], ...]  # page of the state, bits in it; each page once
Touch = tuple[int, int, int, int]  # page, bits needed, bits to set, bits to turn over then

_NOTHING: frozenset[str] = frozenset()


class Failure(NamedTuple):
    """A need that does not hold, or a step that is not complete, when an operation begins.

    With ``end`` it is no operation's: the fact is due before whatever stands at that position.
    """

    position: int  # in the order walked
    fact: str | None
    step: str | None  # the step that should be complete
    end: bool = False


class Rest(NamedTuple):
    """What an operation does besides needing, spoiling and giving at once."""

    op: Operation
    mark: Marks  # itself, done
    after: tuple[tuple[Marks, str], ...]  # what must be done, and the step to name when it is not
    counts: Marks  # facts without which its gives do not come
    side: Marks  # the operations that complete its side; none where its gives come with it
    step: Marks  # the operations that complete its step
    late_spoils: Marks
    at_once: Marks
    gives: Marks
    job_gives: Marks


class More(NamedTuple):
    """What few operations have: pages besides the first, and what comes with something else."""

    touches: tuple[Touch, ...]
    rest: Rest | None


Act = tuple[int, int, int, int, More | None]  # a Touch, and more: one value an operation, since plans are large


def _holds(state: State, marks: Marks) -> bool:
    return all(state[page] & bits == bits for page, bits in marks)


def _add(state: State, marks: Marks) -> None:
    for page, bits in marks:
        state[page] |= bits


def open_steps(state: State, rest: Rest) -> list[str]:
    """The steps that should be complete and are not."""
    return [step for marks, step in rest.after if not _holds(state, marks)]


class Machine:
    """A plan compiled. States go in and come out; the machine itself never changes."""

    def __init__(self, start: Iterable[str], operations: Iterable[Operation]) -> None:
        """``operations``: every one that may be carried out, each once."""
        operations = list(operations)
        self._numbers: dict[str, int] = {}
        self._marks: dict[frozenset[str], Marks] = {_NOTHING: ()}
        self._names: list[str] = []
        self._needing: dict[frozenset[str], Act] = {}
        acts: dict[str, Act] = {}
        asked: list[Operation] = []
        for op in operations:
            needs, spoils, gives, simple, name = op[:5]
            if simple:
                acts[name] = self._act(needs, spoils, gives, None)
            else:
                asked.append(op)
        self.done_mark = self._number_done(asked)
        complete: dict[Key, dict[int, int]] = {}
        for op in asked:
            for key in op.keys:
                pages = complete.setdefault(key, {})
                for page, bits in self.done_mark[op.name]:
                    pages[page] = pages.get(page, 0) | bits
        self._complete = {key: tuple(pages.items()) for key, pages in complete.items()}
        for op in asked:
            acts[op.name] = self._act(op.needs, op.spoils, _NOTHING, self._rest(op))
        self.acts = acts
        begin = self.marks(frozenset(start))
        self._begin = [0] * (len(self._numbers) // PAGE + 1)
        _add(self._begin, begin)

    # Compiling

    def _number_done(self, operations: Iterable[Operation]) -> dict[str, Marks]:
        """A bit for each operation; no fact begins with a line end, so that none is called alike."""
        found: dict[str, Marks] = {}
        for op in operations:
            page, bit = divmod(self._numbers.setdefault("\n" + op.name, len(self._numbers)), PAGE)
            found[op.name] = ((page, 1 << bit),)
        return found

    def marks(self, facts: frozenset[str]) -> Marks:
        """The bits of facts; each fact gets one when it is met first."""
        found = self._marks.get(facts)
        if found is None:
            pages: dict[int, int] = {}
            numbers = self._numbers
            for name in facts:
                number = numbers.get(name)
                if number is None:
                    number = numbers[name] = len(numbers)
                page, bit = divmod(number, PAGE)
                pages[page] = pages.get(page, 0) | 1 << bit
            found = self._marks[facts] = tuple(pages.items())
        return found

    def _act(self, needs: frozenset[str], spoils: frozenset[str], gives: frozenset[str], rest: Rest | None) -> Act:
        """Written for speed: of a large plan most operations lie in one page, and many need the same."""
        plain = rest is None and not gives and not spoils
        if plain and needs in self._needing:
            return self._needing[needs]
        numbers = self._numbers
        page, need, gone, came = -1, 0, 0, 0
        for name in needs:
            number = numbers.setdefault(name, len(numbers))
            if number >> _SHIFT != page:
                if page >= 0:
                    return self._wide_act(needs, spoils, gives, rest)
                page = number >> _SHIFT
            need |= 1 << (number & _IN_PAGE)
        for name in spoils:
            number = numbers.setdefault(name, len(numbers))
            if number >> _SHIFT != page:
                if page >= 0:
                    return self._wide_act(needs, spoils, gives, rest)
                page = number >> _SHIFT
            gone |= 1 << (number & _IN_PAGE)
        for name in gives:
            number = numbers.setdefault(name, len(numbers))
            if number >> _SHIFT != page:
                if page >= 0:
                    return self._wide_act(needs, spoils, gives, rest)
                page = number >> _SHIFT
            came |= 1 << (number & _IN_PAGE)
        more = None if rest is None else More((), rest)
        act = (page if page >= 0 else 0, need, gone | came, gone & ~came, more)
        if plain:
            self._needing[needs] = act
        return act

    def _wide_act(self, needs: frozenset[str], spoils: frozenset[str], gives: frozenset[str], rest: Rest | None) -> Act:
        pages: dict[int, list[int]] = {}
        for which, facts in enumerate((needs, spoils, gives)):
            for page, bits in self.marks(facts):
                pages.setdefault(page, [0, 0, 0])[which] = bits
        touches = [(page, need, gone | came, gone & ~came) for page, (need, gone, came) in pages.items()]
        act = (*touches[0], More(tuple(touches[1:]), rest))
        if rest is None and not gives and not spoils:
            self._needing[needs] = act
        return act

    def _rest(self, op: Operation) -> Rest:
        return Rest(
            op,
            self.done_mark[op.name],
            tuple([(self._complete.get(key, ()), step) for key, step in op.after]),
            self.marks(op.counts_when),
            () if op.alone else self._complete[side_key(op)],
            () if op.alone else self._complete[step_key(op)],
            self.marks(op.late_spoils),
            self.marks(op.at_once),
            self.marks(op.gives),
            self.marks(op.job_gives),
        )

    # Reading

    def begin(self) -> State:
        """The state before anything is done."""
        return self._begin.copy()

    def holds(self, state: State, fact: str) -> bool:
        """Whether a fact is true."""
        number = self._numbers.get(fact)
        return number is not None and bool(state[number // PAGE] >> number % PAGE & 1)

    def named(self, page: int, bits: int) -> Iterator[str]:
        """The facts of some bits of a page."""
        if len(self._names) < len(self._numbers):
            self._names = list(self._numbers)
        while bits:
            low = bits & -bits
            yield self._names[page * PAGE + low.bit_length() - 1]
            bits ^= low

    def facts(self, state: State) -> frozenset[str]:
        """Everything that is true."""
        return frozenset(
            name for page, bits in enumerate(state) for name in self.named(page, bits) if not name.startswith("\n")
        )

    def missing(self, state: State, op: Operation) -> list[str]:
        """The needs of op that do not hold, sorted."""
        found: list[str] = []
        for page, needs, _, _ in touches_of(self.acts[op.name]):
            lacking = needs & ~state[page]
            if lacking:
                found += self.named(page, lacking)
        return sorted(found)

    def open_after(self, state: State, op: Operation) -> list[str]:
        """The steps that op comes after and that are not complete."""
        more = self.acts[op.name][4]
        return [] if more is None or more.rest is None else open_steps(state, more.rest)

    # Carrying out

    @staticmethod
    def change(state: State, act: Act) -> None:
        """What an operation spoils and gives at once."""
        for page, _, marked, turned in touches_of(act):
            state[page] = (state[page] | marked) ^ turned

    def do(self, state: State, op: Operation) -> tuple[frozenset[str], frozenset[str]]:
        """Carry op out; what it spoiled, and what it gave after that, held before or not."""
        act = self.acts[op.name]
        more = act[4]
        if more is None or more.rest is None:
            self.change(state, act)
            return op.spoils, op.gives
        rest = more.rest
        counts = self.counts(state, rest)
        self.change(state, act)
        side, job = self.finish(state, rest, counts)
        spoils = op.spoils | op.late_spoils if side and op.late_spoils else op.spoils
        gives = op.at_once
        if side and counts:
            gives |= op.gives
        if job and counts:
            gives |= op.job_gives
        return spoils, gives

    @staticmethod
    def counts(state: State, rest: Rest) -> bool:
        """Whether the gives of an operation that begins in this state count."""
        return not rest.counts or _holds(state, rest.counts)

    @staticmethod
    def finish(state: State, rest: Rest, counts: bool) -> tuple[bool, bool]:
        """What comes with op itself done, once its spoils are gone: whether its side is complete, and its step.

        ``counts``: whether what its gives count on held when it began. Doing it again completes nothing new.
        """
        _add(state, rest.mark)
        side = _holds(state, rest.side)
        job = bool(rest.job_gives) and _holds(state, rest.step)
        if side:
            for page, bits in rest.late_spoils:
                state[page] = (state[page] | bits) ^ bits
        _add(state, rest.at_once)
        if counts:
            if side:
                _add(state, rest.gives)
            if job:
                _add(state, rest.job_gives)
        return side, job

    def walk(
        self, order: Sequence[Operation], ends: Sequence[tuple[int, frozenset[str]]] = ()
    ) -> tuple[list[Failure], State]:
        """Walk order from the start; every failure, and the state at the end.

        An operation checks its needs, then its spoils go, then its gives come; one that fails is still carried
        out. ``ends``: facts that are due before a position of the order, by position. Linear in the number of
        operations.
        """
        state = self._begin.copy()
        failures: list[Failure] = []
        done = 0
        for position, due in ends:
            self._walk(state, failures, order, done, position)
            done = position
            failures += [Failure(position, fact, None, True) for fact in sorted(due) if not self.holds(state, fact)]
        self._walk(state, failures, order, done, len(order))
        return failures, state

    def _walk(self, state: State, failures: list[Failure], order: Sequence[Operation], begin: int, end: int) -> None:
        acts = self.acts
        for index in range(begin, end):
            page, needs, marked, turned, more = acts[order[index].name]
            if more is not None:
                if more.rest is not None:
                    self._walk_rest(state, failures, index, order[index], more.rest)
                    continue
                for other, its_needs, its_marked, its_turned in more.touches:
                    facts = state[other]
                    if facts & its_needs != its_needs:
                        failures += self._failures(index, other, its_needs & ~facts)
                    if its_marked:
                        state[other] = (facts | its_marked) ^ its_turned
            facts = state[page]
            if facts & needs != needs:
                failures += self._failures(index, page, needs & ~facts)
            if marked:
                state[page] = (facts | marked) ^ turned

    def _failures(self, index: int, page: int, lacking: int) -> list[Failure]:
        return [Failure(index, name, None) for name in sorted(self.named(page, lacking))]

    def _walk_rest(self, state: State, failures: list[Failure], index: int, op: Operation, rest: Rest) -> None:
        failures += [Failure(index, name, None) for name in self.missing(state, op)]
        failures += [Failure(index, None, step) for step in open_steps(state, rest)]
        counts = self.counts(state, rest)
        self.change(state, self.acts[op.name])
        self.finish(state, rest, counts)


def touches_of(act: Act) -> tuple[Touch, ...]:
    """All that an operation needs, spoils and gives at once, page by page."""
    first, more = act[:4], act[4]
    return (first,) if more is None else (first, *more.touches)


def machine_of(plan: Plan) -> Machine:
    """The machine of a plan, compiled when it is asked for first and kept with the plan."""
    if not plan.made:
        plan.made.append(Machine(plan.build.start, plan.by_name.values()))
    machine: Machine = plan.made[0]
    return machine
