"""Looking conditions up: those written by hand and those that kinds bring to a piece."""

from __future__ import annotations

from itertools import chain
from typing import NamedTuple

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, read_keys, sequence, text
from planner.files.build.job import Job
from planner.files.yaml.tree import Node, scalar
from planner.plan.model import ALL, OTHERS, OWN, Condition, Extras, Kind, Ref
from planner.plan.words import is_name


class Brought(NamedTuple):
    """What a kind brings to a step on one piece."""

    needs: tuple[Ref, ...]
    gives: tuple[Ref, ...]
    spoils: tuple[Ref, ...]


_NOTHING = Brought((), (), ())


class Vocabulary:
    """All conditions of a build. Grows as kinds meet pieces; looked-up references are kept."""

    def __init__(self, job: Job, pieces: set[str], complete: bool = True) -> None:
        self.job = job
        self.complete = complete  # every episode could be read, so that no piece is missing
        self.sides = frozenset(job.sides)
        self.pieces = pieces | set(job.pieces) | set(job.pieces.values())
        self.conditions: dict[str, Condition] = dict(job.conditions)
        self.at_start: set[str] = set()
        self._refs: dict[str, Ref] = {}
        self._brought: dict[tuple[str, str | None, tuple[str, ...]], Brought] = {}
        self._checked: set[str] = set()

    def outermost(self, piece: str) -> str:
        """The largest piece that piece is part of."""
        while piece in self.job.pieces:
            piece = self.job.pieces[piece]
        return piece

    def bring(self, kind: Kind, piece: str | None, without: tuple[str, ...]) -> Brought:
        """The conditions of a kind, joined to a piece."""
        if piece is None:
            return _NOTHING
        key = (kind.name, piece, without)
        made = self._brought.get(key)
        if made is None:
            made = self._brought[key] = Brought(
                *(
                    tuple(Ref(self._join(ref.name, piece), ref.where) for ref in refs if ref.name not in without)
                    for refs in (kind.needs, kind.gives, kind.spoils)
                )
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
            self.conditions[full] = Condition(full, word.on_side, word.means, word.at_start, True, None)
        if word.at_start:
            on_side = mine.on_side if mine is not None else word.on_side
            self.at_start.update([f"{full}@{side}" for side in self.job.sides] if on_side else [full])
        return full

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
        source.unknown(node, f"{key}: no condition {name} is declared", name, chain(self.conditions, by_kind))

    def references(self, source: Source, node: Node, key: str) -> tuple[Ref, ...]:
        """A list of references."""
        found = [self.reference(source, item, key) for item in sequence(source, node, key)]
        return tuple([ref for ref in found if ref is not None])


def start_of(vocabulary: Vocabulary, source: Source, node: Node | None) -> frozenset[str]:
    """What holds at the start, grounded; a bare side condition means every side."""
    held: set[str] = set()
    for item in sequence(source, node, "start") if node is not None else []:
        ref = vocabulary.reference(source, item, "start")
        if ref is None:
            continue
        if ref.where == OTHERS:
            source.refuse(item, f"start: {ref} has no side of its own here; name the sides")
        elif not vocabulary.conditions[ref.name].on_side:
            held.add(ref.name)
        else:
            sides = vocabulary.job.sides if ref.where in (OWN, ALL) else (ref.where,)
            held.update([f"{ref.name}@{side}" for side in sides])
    return frozenset(held)


def extras_of(vocabulary: Vocabulary, source: Source, node: Node | None) -> Extras:
    """The needs, gives and spoils of every operation on camera."""
    if node is None:
        return Extras()

    def refs(_: Source, node: Node, key: str) -> tuple[Ref, ...]:
        return vocabulary.references(source, node, f"on-camera {key}")

    got = read_keys(source, node, "on-camera", {"needs": refs, "gives": refs, "spoils": refs})
    return Extras(got.get("needs", ()), got.get("gives", ()), got.get("spoils", ()))
