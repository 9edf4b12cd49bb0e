"""The values a build is made of.

Everything here is immutable and already checked: a reader that finds a problem reports it and makes no
value. NamedTuples and not dataclasses, because start-up is paid by everyone and thirty fields of a frozen
dataclass cost several times as much to import and to make.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

EACH, ONCE = "each", "once"
ALTERNATE, SIDE_FIRST, STEP_FIRST = "alternate", "side-first", "step-first"
OWN, ALL, OTHERS = "own", "all", "others"

#: Words that a side may not be called, because a reference or a key gives them a meaning.
RESERVED_SIDES = frozenset({"all", "own", "others", "once", "each", "none"})

TRAP, GAP, NOTICE = "trap", "gap", "notice"


class Place(NamedTuple):
    """Where something stands in a file; line and column count from one."""

    path: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


class Condition(NamedTuple):
    """A fact about the work, on each side or on the job as a whole."""

    name: str
    on_side: bool
    means: str
    at_start: bool  # brought by a kind as holding when the build begins
    by_kind: bool
    place: Place | None
    piece: str | None = None  # whose it is, where it is a kind's word
    word: Word | None = None  # the kind's word that it is
    sides: tuple[str, ...] | None = None  # where it exists, when that is not on every side


class Ref(NamedTuple):
    """A condition as a step names it: ``where`` is ``own``, ``all``, ``others`` or a side's name."""

    name: str
    where: str = OWN
    through: str | None = None  # the piece that a kind's give or spoil is done to: it reaches all inside

    def __str__(self) -> str:
        return self.name if self.where == OWN else f"{self.name}@{self.where}"


class Word(NamedTuple):
    """A condition that kinds speak of; joined to a piece it becomes a Condition."""

    name: str
    on_side: bool
    means: str
    at_start: bool
    whole: bool  # named after the outermost piece and kept part by part
    alone: bool = False  # counts piece by piece: nothing done to a piece reaches what is inside it
    over_sides: bool = False  # on a piece of one body, spoiled on every side at once
    owed: str | None = None  # build, episode or shift: by when it must hold again
    where_given: bool = False  # asked only of a piece that some step gives it to, or that comes without it
    regained: bool = False  # what ends it is never put off for it: it is won once more


class LeastRounds(NamedTuple):
    """Work that pulls, to be shared out between the sides in at least so many rounds."""

    rounds: int
    beside: str | None  # only on a piece that some step of this kind works on too, or on a part of it


class Extras(NamedTuple):
    """Conditions named outright: of every operation on camera, or of every step of a kind."""

    needs: tuple[Ref, ...] = ()
    gives: tuple[Ref, ...] = ()
    spoils: tuple[Ref, ...] = ()


class Kind(NamedTuple):
    """The trade's name of a sort of work and what it brings to a step."""

    name: str
    means: str
    needs: tuple[Ref, ...]  # names are words, not yet joined to a piece
    gives: tuple[Ref, ...]
    spoils: tuple[Ref, ...]
    one_way: bool
    time: int | None  # seconds, of one operation
    cautions: tuple[str, ...]
    words: tuple[Word, ...]
    looks_back: bool = False  # a check, an order, a release: no repair moves it ahead of the work it relies on
    counts_when: tuple[Ref, ...] = ()  # words without which its gives do not come
    used_up: tuple[Ref, ...] = ()  # words it needs, and ends with the last round on a side
    least_rounds: LeastRounds | None = None
    full_time: bool = False  # it takes its whole time after the last work that opened what it gives
    one_go: bool = False  # not split over two shifts
    outright: Extras = Extras()  # conditions, whatever the piece


class Piece(NamedTuple):
    """A thing worked on, and what it is part of."""

    name: str
    inside: str | None  # the larger piece it is part of
    one_body: bool = False  # one thing over all its sides, not one a side; so is all that is in it
    not_yet: tuple[str, ...] = ()  # words that normally hold at the start and do not here
    sides: tuple[str, ...] | None = None  # the only sides on which it exists
    made_of: bool = False  # no part itself: only what is inside it
    place: Place | None = None


class After(NamedTuple):
    """A step that must be complete first, on every side it has or (``own``) on this side only."""

    step: str
    own: bool


class Shot(NamedTuple):
    """A picture to take."""

    says: str  # the picture in words
    size: str | None = None  # wide, medium, close or detail
    of: str | None = None
    length: int | None = None  # seconds on the screen
    speed: float = 1.0  # how many times faster it is shown than it was filmed
    needs: tuple[Ref, ...] = ()  # what must hold while it is taken

    def told(self) -> str:
        """All of it in one line.

        >>> Shot("The whole roll", "wide", None, 12, 8.0).told()
        'The whole roll (wide, 12 s, 8 times as fast)'
        """
        about = [
            self.size or "",
            f"of {self.of}" if self.of else "",
            f"{self.length} s" if self.length is not None else "",
            f"{self.speed:g} times as fast" if self.speed != 1 else "",
        ]
        more = ", ".join(each for each in about if each)
        return f"{self.says} ({more})" if more else self.says


class Hold(NamedTuple):
    """What a step holds for: a reading within limits, in the base unit of its kind; at least one limit is there."""

    kind: str  # what sort of value the reading is, as planner.numbers.units has them
    least: float | None
    most: float | None
    plus_minus: float | None  # U of a reading that states none; None: half of its last digit
    reads: str | None  # the number that it is, where the plan says so
    says: str  # the limits as they are written


class Reads(NamedTuple):
    """The number that a step's reading is; the side is stated where the step is done once and the number has sides."""

    name: str
    side: str | None = None


class CoolTo(NamedTuple):
    """Down to what a wait lasts that a thermometer may correct: a number of ``cool``, and the target typed for it."""

    key: str
    target: str | None = None


class Step(NamedTuple):
    """One step of the plan, with its kind already folded in."""

    id: str
    do: str
    place: Place
    kind: str | None
    piece: str | None
    once: bool
    sides: tuple[str, ...]  # the sides it covers, in the build's order; all of them when once
    named: bool  # the sides were listed by hand
    why: str | None
    rounds: int
    turns: str | tuple[str, ...] | None  # alternate, side-first or an order of sides; None when not stated
    first: str | None
    needs: tuple[Ref, ...]
    gives: tuple[Ref, ...]
    spoils: tuple[Ref, ...]
    after: tuple[After, ...]
    setup: str | None
    time: int | None  # seconds, of one operation
    wait: int  # seconds
    one_way: bool
    rework: bool
    where: str
    hands: int
    film: str | None
    shots: tuple[str, ...]
    say: tuple[str, ...]
    cautions: tuple[str, ...]
    note: tuple[str, ...]
    counts_when: tuple[Ref, ...] = ()
    used_up: tuple[Ref, ...] = ()  # among its needs; spoiled with the last round on a side
    balanced: bool = True  # False: its kind's least-rounds are waived
    pictures: tuple[Shot, ...] = ()  # the shots, part by part
    shot_needs: tuple[Ref, ...] = ()  # of all its pictures: needed where the operation is on camera
    hold: Hold | None = None
    reads: Reads | None = None
    lasts: int | None = None  # seconds after the tick for which its gives hold; None: until something spoils them
    cool_to: CoolTo | None = None  # what its wait is taken from; None: the wait is stated


class Stage(NamedTuple):
    """A list of steps with a pace, possibly repeated, possibly with its operations written out."""

    title: str
    place: Place
    pace: str
    rounds: int
    first: str | None
    film: str | None
    steps: tuple[Step, ...]
    sequence: tuple[str, ...] | None
    any_time: bool = False  # may be begun while earlier stages are open


class Promise(NamedTuple):
    """Something that viewers are told to expect."""

    says: str
    place: Place
    episode: int | None = None  # by which it is to be kept
    day: tuple[str, float] | None = None  # by which it is to be kept: as written, and its end in UTC seconds


class Referral(NamedTuple):
    """Another film that one speaks of: an episode of this build, of another build, or something in words."""

    place: Place
    episode: int | None = None
    build: str | None = None
    says: str | None = None


class Correction(NamedTuple):
    """Something that an earlier episode said and that is not so."""

    episode: int
    says: str
    safety: bool
    place: Place


class Sponsor(NamedTuple):
    """Somebody who gave something for an episode, and the words that say so."""

    who: str
    says: str | None
    gave: str | None
    place: Place


class Series(NamedTuple):
    """What an episode says of others and to viewers."""

    promises: tuple[Promise, ...] = ()
    keeps: tuple[Promise, ...] = ()
    refers_to: tuple[Referral, ...] = ()
    corrects: tuple[Correction, ...] = ()
    sponsors: tuple[Sponsor, ...] = ()


class Episode(NamedTuple):
    """What is published as one film."""

    number: int
    title: str
    place: Place
    film: str | None
    publish: tuple[str, float] | None  # as written, and in UTC seconds
    runtime: int | None  # seconds
    edit: int | None  # seconds
    refers_to: tuple[str, ...]
    promises: tuple[str, ...]
    keeps: tuple[str, ...]
    stages: tuple[Stage, ...]
    series: Series = Series()


class Shop(NamedTuple):
    """When there are hands: spans are minutes from midnight, keyed by ``mon`` … ``sun``."""

    timezone: str | None = None
    hours: Mapping[str, tuple[tuple[int, int], ...]] = {}
    desk: Mapping[str, tuple[tuple[int, int], ...]] = {}
    helper: Mapping[str, tuple[tuple[int, int], ...]] | None = None  # when a second person is there; None: not said
    away: tuple[tuple[int, int], ...] = ()  # days without work, first and last, counted from 0001-01-01 as day 1


class Build(NamedTuple):
    """One project: everything its plan files say."""

    name: str
    path: str
    place: Place
    sides: tuple[str, ...]
    film: str | None
    show: Mapping[str, str]
    shop: Shop
    conditions: Mapping[str, Condition]  # written by hand and brought by kinds
    start: frozenset[str]  # facts (plan.pieces)
    pieces: Mapping[str, Piece]  # those that pieces: knows; empty without it
    kinds: Mapping[str, Kind]
    on_camera: Extras
    episodes: tuple[Episode, ...]
    #: As plan.fill has them.
    numbers: Mapping[str, Mapping[str, tuple[float | None, str] | tuple[float | None, str, float, bool]]] = {}
    end: Mapping[str, Place] = {}  # grounded conditions owed at the end, and where each is written


class Finding(NamedTuple):
    """One thing wrong with the order, missing, or worth knowing."""

    id: str
    rule: str
    level: str
    at: str
    condition: str | None
    cause: str | None
    also: tuple[str, ...]
    one_way: bool
    history: bool
    place: Place | None
    says: str  # all of it: what is wrong, then what to do
    parts: tuple[str, ...] = ()  # of a condition kept part by part: the pieces that are open
    group: str = ""  # the same for findings that differ only in their side
    todo: str = ""  # the end of it, what to do; a repair says that better where there is one

    def told(self) -> str:
        """What is wrong, without what to do."""
        return self.says.removesuffix(self.todo).rstrip()
