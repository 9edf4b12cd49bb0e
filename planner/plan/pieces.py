"""What is part of what, and the facts that this makes of conditions.

A *fact* is the unit that is true or false, a text that nobody looks into. An ordinary grounded condition is one fact
and lends it its name. A condition kept part by part is one fact a part, "this part is closed"; it holds while all of
them do.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from planner.plan.model import ALL, OTHERS, OWN, Build, Condition, Piece, Ref, Word


class Part(NamedTuple):
    """What a fact of a condition kept part by part is about."""

    condition: str  # grounded
    piece: str


class Tree:
    """The pieces of a build. A piece that it does not know stands alone and has nothing inside."""

    def __init__(self, pieces: Mapping[str, Piece], sides: tuple[str, ...]) -> None:
        self.pieces = pieces
        self.every_side = sides
        self._held: dict[str, list[str]] = {}
        for name, piece in pieces.items():
            if piece.inside is not None:
                self._held.setdefault(piece.inside, []).append(name)
        self._within: dict[str, tuple[str, ...]] = {}
        self._parts: dict[str, tuple[str, ...]] = {}
        self._sides: dict[str, tuple[str, ...]] = {}

    def above(self, piece: str) -> Iterator[str]:
        """The piece itself, what it is in, and so on."""
        at: str | None = piece
        while at is not None:
            yield at
            known = self.pieces.get(at)
            at = known.inside if known is not None else None

    def outermost(self, piece: str) -> str:
        """The largest piece that piece is part of."""
        return list(self.above(piece))[-1]

    def within(self, piece: str) -> tuple[str, ...]:
        """The piece and everything inside it, at any depth."""
        found = self._within.get(piece)
        if found is None:
            names = [piece]
            for name in names:
                names += self._held.get(name, ())
            found = self._within[piece] = tuple(names)
        return found

    def is_inside(self, piece: str, larger: str) -> bool:
        """Whether piece is inside larger, at any depth; nothing is inside itself."""
        return piece != larger and larger in self.above(piece)

    def one_body(self, piece: str) -> bool:
        """Whether the piece, or what it is in, is one thing over all its sides."""
        return any(each in self.pieces and self.pieces[each].one_body for each in self.above(piece))

    def sides(self, piece: str) -> tuple[str, ...]:
        """The sides on which the piece exists: its own, else those of what it is in."""
        found = self._sides.get(piece)  # asked for every fact of every step
        if found is None:
            own = (self.pieces[each].sides for each in self.above(piece) if each in self.pieces)
            found = self._sides[piece] = next((each for each in own if each is not None), self.every_side)
        return found

    def limited(self, piece: str) -> bool:
        """Whether the piece exists on some sides only."""
        return len(self.sides(piece)) < len(self.every_side)

    def is_part(self, piece: str) -> bool:
        """Whether the piece counts itself, and not only as what is inside it."""
        return not (piece in self._held and self.pieces[piece].made_of)

    def parts(self, outermost: str) -> tuple[str, ...]:
        """The parts by which a condition of the outermost piece is kept."""
        found = self._parts.get(outermost)
        if found is None:
            found = self._parts[outermost] = tuple([each for each in self.within(outermost) if self.is_part(each)])
        return found

    def standing_for(self, piece: str) -> Iterator[str]:
        """The piece, or where it is no part itself, the parts it is made of."""
        if self.is_part(piece):
            yield piece
        else:
            for each in self._held[piece]:
                yield from self.standing_for(each)

    def sides_of(self, name: str, word: Word | None) -> tuple[str, ...] | None:
        """Where a condition exists, by the piece that its name begins with; None: on every side."""
        piece = name.rpartition(".")[0]
        if not piece or piece not in self.pieces:
            return None
        found = set(self.sides(piece))
        if word is not None and word.whole:
            for each in self.within(piece):
                found.update(self.sides(each))
        kept = tuple([side for side in self.every_side if side in found])
        return None if kept == self.every_side else kept


def grounded(name: str, side: str | None) -> str:
    """A condition on a side, or on the job."""
    return name if side is None else f"{name}@{side}"


def fact_of(tree: Tree, condition: Condition, side: str | None, piece: str) -> str:
    """The fact of one part of a condition that is kept part by part."""
    if len(tree.parts(condition.piece or piece)) < 2:
        return grounded(condition.name, side)
    return grounded(f"{condition.name}[{piece}]", side)


class Grounding:
    """References to facts, for one build whose conditions are all known."""

    def __init__(self, build: Build) -> None:
        self.tree = Tree(build.pieces, build.sides)
        self.conditions = build.conditions
        self.sides = build.sides
        #: of every fact of a condition kept part by part that was met
        self.parts: dict[str, Part] = {}
        self._facts: dict[tuple[str, str | None], tuple[str, ...]] = {}

    def sides_meant(self, ref: Ref, condition: Condition, side: str | None) -> Iterable[str | None]:
        """The sides that a reference stands for in an operation on ``side`` (None: done once)."""
        if not condition.on_side:
            return (None,)
        exists = condition.sides or self.sides
        if ref.where == ALL or (ref.where == OWN and side is None):
            return exists
        if ref.where == OTHERS:
            return [each for each in exists if each != side]
        meant = side if ref.where == OWN else ref.where
        return (meant,) if meant in exists else ()

    def named(self, ref: Ref, side: str | None) -> list[str]:
        """The grounded conditions a reference stands for."""
        return [grounded(ref.name, each) for each in self.sides_meant(ref, self.conditions[ref.name], side)]

    def facts(self, name: str, side: str | None) -> tuple[str, ...]:
        """The facts that a condition on a side, or on the job, comes to."""
        found = self._facts.get((name, side))
        if found is None:
            condition = self.conditions[name]
            if condition.word is None or not condition.word.whole or condition.piece is None:
                found = (grounded(name, side),)
            else:
                whole = grounded(name, side)
                made = []
                for piece in self.tree.parts(condition.piece):
                    if side is None or side in self.tree.sides(piece):
                        fact = fact_of(self.tree, condition, side, piece)
                        self.parts[fact] = Part(whole, piece)
                        made.append(fact)
                found = tuple(made)
            self._facts[name, side] = found
        return found

    def needed(self, ref: Ref, side: str | None) -> list[str]:
        """The facts that a reference needs."""
        meant = self.sides_meant(ref, self.conditions[ref.name], side)
        return [fact for each in meant for fact in self.facts(ref.name, each)]

    def reached(self, ref: Ref, side: str | None, *, spoiled: bool) -> list[str]:
        """The facts that a give or spoil reaches: of a kind's word, those of the piece and of all inside it."""
        condition = self.conditions[ref.name]
        word, piece = condition.word, ref.through or condition.piece
        if word is None or piece is None:
            return self.needed(ref, side)
        found: list[str] = []
        for each in (piece,) if word.alone else self.tree.within(piece):
            name = ref.name if word.whole else f"{each}.{word.name}"
            here = self.conditions.get(name)
            if here is None or here.word is None:
                continue
            everywhere = spoiled and word.over_sides and self.tree.one_body(each)
            meant = ref._replace(where=ALL) if everywhere else ref
            for at in self.sides_meant(meant, here, side):
                if not word.whole:
                    found.append(grounded(name, at))
                elif self.tree.is_part(each) and (at is None or at in self.tree.sides(each)):
                    self.facts(name, at)
                    found.append(fact_of(self.tree, here, at, each))
        return found


def starts_closed(tree: Tree, word: Word, piece: str, side: str | None) -> bool:
    """Whether a kind's word holds at the start for a piece (of a whole word: for this part), on a side."""
    if not word.at_start:
        return word.whole and piece not in tree.standing_for(tree.outermost(piece))
    for each in tree.above(piece):
        known = tree.pieces.get(each)
        if known is None or word.name not in known.not_yet or not (side is None or side in tree.sides(each)):
            continue
        if each == piece or (piece in tree.standing_for(each) if word.whole else not word.alone):
            return False
    return True


def given_at_all(build: Build, grounding: Grounding) -> frozenset[str]:
    """Every fact that some operation of the build gives, rework among them."""
    found: set[str] = set()
    seen: set[tuple[Ref, tuple[str, ...] | None]] = set()
    for episode in build.episodes:
        for stage in episode.stages:
            for step in stage.steps:
                sides: tuple[str | None, ...] = (None,) if step.once else step.sides
                for ref in (*step.gives, *build.on_camera.gives):
                    key = (ref, None if step.once else step.sides)
                    if key not in seen:
                        seen.add(key)
                        found.update([fact for side in sides for fact in grounding.reached(ref, side, spoiled=False)])
    return frozenset(found)
