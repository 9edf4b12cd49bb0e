"""Looking conditions up: those written by hand and those that kinds bring to a piece."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import NamedTuple

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, read_keys, sequence, text
from planner.files.build.job import Job
from planner.files.yaml.tree import Node, scalar
from planner.plan.model import ALL, OTHERS, OWN, Condition, Extras, Kind, Ref, Word
from planner.plan.pieces import fact_of, grounded, starts_closed
from planner.plan.words import is_name


class Brought(NamedTuple):
    """What a kind brings to a step on one piece."""

    needs: tuple[Ref, ...]
    gives: tuple[Ref, ...]
    spoils: tuple[Ref, ...]
    counts_when: tuple[Ref, ...] = ()
    used_up: tuple[Ref, ...] = ()


_NOTHING = Extras()


def given_where(job: Job, work: Iterable[tuple[str, str]]) -> dict[str, set[str]]:
    """Of every word marked where-given, the pieces of which it is asked: some work gives it to them, or they come
    without it."""
    found: dict[str, set[str]] = {name: set() for name, word in job.words.items() if word.where_given}
    if not found:
        return found
    done = [(ref.name, piece) for kind, piece in work if kind in job.kinds for ref in job.kinds[kind].gives]
    comes = [(name, piece.name) for piece in job.pieces.values() for name in piece.not_yet]
    for name, piece in (*done, *comes):
        if name in found:
            found[name].update((piece,) if job.words[name].alone else job.tree.within(piece))
    return found


class Vocabulary:
    """All conditions of a build. Grows as kinds meet pieces; looked-up references are kept."""

    def __init__(self, job: Job, pieces: set[str], complete: bool = True, work: Iterable[tuple[str, str]] = ()) -> None:
        self.job = job
        self._given = given_where(job, work)
        self.complete = complete  # every episode could be read, so that no piece is missing
        self.sides = frozenset(job.sides)
        self.tree = job.tree
        self.pieces = pieces | set(job.pieces)
        self.conditions: dict[str, Condition] = {
            name: each._replace(sides=job.tree.sides_of(name, None)) for name, each in job.conditions.items()
        }
        self.at_start: set[str] = set()
        self._refs: dict[str, Ref] = {}
        self._brought: dict[tuple[str, str | None, tuple[str, ...]], Brought] = {}
        self._checked: set[str] = set()
        self._outright: dict[str, dict[str, list[Ref]]] = {}

    def outermost(self, piece: str) -> str:
        """The largest piece that piece is part of."""
        return self.tree.outermost(piece)

    def read_outright(self, source: Source) -> None:
        """Look up the conditions that the build's kinds name outright."""
        for kind, key, node in self.job.outright:
            ref = self.reference(source, node, f"kind {kind}: also-{key}")
            if ref is not None:
                self._outright.setdefault(kind, {}).setdefault(key, []).append(ref)
                mine = self._outright[kind]
                both = {r.name for r in mine.get("needs", ())} & {r.name for r in mine.get("spoils", ())}
                if ref.name in both:
                    source.refuse(node, f"kind {kind}: spoils {ref.name}, which it needs itself; take it out of one")

    def outright(self, kind: Kind, without: tuple[str, ...]) -> Extras:
        """The conditions that a kind names outright, less those that a step waives."""
        found = self._outright.get(kind.name)
        if found is None:
            return _NOTHING
        kept = [tuple([ref for ref in found.get(key, ()) if ref.name not in without]) for key in Extras._fields]
        return Extras(*kept)

    def waivable(self, kind: Kind) -> set[str]:
        """What ``without`` may take away from a kind, besides its words."""
        found = {ref.name for refs in self._outright.get(kind.name, {}).values() for ref in refs}
        return found | {"balance"} if kind.least_rounds is not None else found

    def bring(self, kind: Kind, piece: str | None, without: tuple[str, ...]) -> Brought:
        """The conditions of a kind, joined to a piece."""
        outright = self.outright(kind, without)
        if piece is None:
            return Brought(*outright)
        key = (kind.name, piece, without)
        made = self._brought.get(key)
        if made is None:

            def joined(refs: tuple[Ref, ...], through: str | None) -> tuple[Ref, ...]:
                return tuple([Ref(self._join(r.name, piece), r.where, through) for r in refs if r.name not in without])

            needs = joined(kind.needs + tuple([ref for ref in kind.used_up if ref not in kind.needs]), None)
            idle = {f"{piece}.{word}" for word, pieces in self._given.items() if piece not in pieces}
            made = self._brought[key] = Brought(
                tuple([ref for ref in needs if ref.name not in idle]) + outright.needs,
                joined(kind.gives, piece) + outright.gives,
                joined(kind.spoils, piece) + outright.spoils,
                tuple([ref for ref in joined(kind.counts_when, None) if ref.name not in idle]),
                joined(kind.used_up, piece),
            )
        return made

    def _join(self, word_name: str, piece: str) -> str:
        """Declare a word's condition for a piece, and name it."""
        word = self.job.words[word_name]
        full = f"{self.outermost(piece) if word.whole else piece}.{word_name}"
        if full in self._checked:
            return full
        self._checked.add(full)
        mine = self.conditions.get(full)
        if mine is None:
            mine = Condition(full, word.on_side, word.means, word.at_start, True, None)
        owner = self.outermost(piece) if word.whole else piece
        mine = mine._replace(piece=owner, word=word, sides=self.tree.sides_of(full, word))
        self.conditions[full] = mine
        sides: tuple[str | None, ...] = (mine.sides or self.job.sides) if mine.on_side else (None,)
        for side in sides:
            if not word.whole:
                if starts_closed(self.tree, word, piece, side):
                    self.at_start.add(grounded(full, side))
                continue
            for part in self.tree.parts(owner):
                if side is None or side in self.tree.sides(part):
                    fact = fact_of(self.tree, mine, side, part)
                    if starts_closed(self.tree, word, part, side):
                        self.at_start.add(fact)
        return full

    def complete_owed(self) -> None:
        """Declare what is owed whether or not a step names it: words that a piece is still without, and what work
        on a larger piece opens in those inside it."""
        for piece in self.job.pieces.values():
            for name in piece.not_yet:
                word = self.job.words[name]
                if word.owed is not None:
                    inside = self.tree.within(piece.name) if self._reaches(word) else (piece.name,)
                    for each in inside:
                        self._join(name, each)
        for condition in list(self.conditions.values()):
            word_met = condition.word
            if word_met is not None and condition.piece is not None and word_met.owed is not None:
                for each in self.tree.within(condition.piece) if self._reaches(word_met) else ():
                    self._join(word_met.name, each)

    @staticmethod
    def _reaches(word: Word) -> bool:
        return not word.whole and not word.alone

    def clash(self, full: str) -> str | None:
        """How a condition written by hand disagrees with a kind's word of the same name."""
        mine = self.job.conditions.get(full)
        piece, _, word_name = full.rpartition(".")
        word = self.job.words.get(word_name)
        if mine is None or word is None or piece not in self.pieces or mine.on_side == word.on_side:
            return None
        return f"{full} is on the {'side' if word.on_side else 'job'} in the kinds of work; write the same here"

    def known(self, name: str) -> bool:
        """Whether there is such a condition; one that a kind could bring is declared on the way."""
        if name in self.conditions:
            return True
        piece, _, word_name = name.rpartition(".")
        word = self.job.words.get(word_name)
        if word is None or (word.whole and self.outermost(piece) != piece):
            return False
        if piece not in self.pieces and (self.complete or not is_name(piece)):
            return False
        self._join(word_name, piece)
        return True

    def reference(self, source: Source, node: Node, key: str) -> Ref | None:
        """One reference, or None with its problem told."""
        if type(node) is ScalarEvent:
            found = self._refs.get(node.value)
            if found is not None and isinstance(scalar(node), str):
                return found
        written = text(source, node, key)
        if written is None:
            return None
        name, at, where = written.partition("@")
        if not self.known(name):
            self._unknown(source, node, key, name)
            return None
        if not at:
            where = OWN
        elif not self.conditions[name].on_side:
            source.refuse(node, f"{key}: {name} is on the job; write it without @{where}")
            return None
        elif where in self.sides and where not in (self.conditions[name].sides or self.job.sides):
            only = ", ".join(self.conditions[name].sides or ())
            source.refuse(node, f"{key}: {written}: {name.rpartition('.')[0]} is on {only} only, by its sides:")
            return None
        elif where not in (ALL, OTHERS) and where not in self.sides:
            allowed = (*self.job.sides, ALL, OTHERS)
            source.unknown(node, f"{key}: there is no side “{where}” in {written}", where, allowed)
            return None
        ref = self._refs[written] = Ref(name, where)
        return ref

    def _unknown(self, source: Source, node: Node, key: str, name: str) -> None:
        piece, _, word_name = name.rpartition(".")
        word = self.job.words.get(word_name)
        if word is not None and word.whole and piece in self.pieces:
            larger = f"{self.outermost(piece)}.{word_name}"
            source.refuse(node, f"{key}: {word_name} is kept for the whole {self.outermost(piece)}; write {larger}")
            return
        by_kind = (f"{each}.{w}" for each in sorted(self.pieces)[:200] for w in self.job.words)
        kept = "side" if self.sides else "job"
        how = f"build.yaml declares it with conditions: {{{name}: {{kept: {kept}, means: …}}}}"
        source.unknown(node, f"{key}: no condition {name} is declared; {how}", name, chain(self.conditions, by_kind))

    def references(self, source: Source, node: Node, key: str) -> tuple[Ref, ...]:
        """A list of references."""
        found = [self.reference(source, item, key) for item in sequence(source, node, key)]
        return tuple([ref for ref in found if ref is not None])


def standing(vocabulary: Vocabulary, source: Source, node: Node | None, key: str) -> list[tuple[Node, Ref]]:
    """What holds at the start or is owed at the end; a bare side condition means every side."""
    found = []
    for item in sequence(source, node, key) if node is not None else []:
        ref = vocabulary.reference(source, item, key)
        if ref is not None and ref.where == OTHERS:
            source.refuse(item, f"{key}: {ref} has no side of its own here; name the sides")
        elif ref is not None:
            found.append((item, ref))
    return found


def extras_of(vocabulary: Vocabulary, source: Source, node: Node | None) -> Extras:
    """The needs, gives and spoils of every operation on camera."""
    if node is None:
        return Extras()

    def refs(_: Source, node: Node, key: str) -> tuple[Ref, ...]:
        return vocabulary.references(source, node, f"on-camera {key}")

    got = read_keys(source, node, "on-camera", {"needs": refs, "gives": refs, "spoils": refs})
    return Extras(got.get("needs", ()), got.get("gives", ()), got.get("spoils", ()))
