"""The shot list: what is to be filmed, shift by shift in the order of the work, with set-ups, needs and rolling time.

The camera rolls for as long as its pictures are long, times their speed; where a picture has no length, for as long as
the work takes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

from planner.paper.cells import table
from planner.plan.calendar.results import Spell
from planner.plan.expand import Operation
from planner.plan.machine import machine_of
from planner.plan.messages import meaning
from planner.plan.model import Shot
from planner.plan.pieces import Grounding
from planner.plan.words import show_duration
from planner.telling.calendar import clock, spell_head
from planner.telling.looks import literal

if TYPE_CHECKING:
    from planner.session.calendar import Made
    from planner.session.onebuild import OneBuild

_COLUMNS = (
    "shift", "start", "set-up", "operation", "side", "what", "picture", "size", "of", "length s", "speed",
    "needs", "needs hold", "rolling s",
)  # fmt: skip


class Picture(NamedTuple):
    """A picture, and what it wants: each condition in words, and whether it holds by then."""

    shot: Shot
    needs: tuple[tuple[str, bool], ...]


class Take(NamedTuple):
    """An operation that is on camera."""

    op: Operation
    start: str  # of the clock; empty where nothing is booked
    does: str
    pictures: tuple[Picture, ...]
    rolling_s: float


class Shoot(NamedTuple):
    """What is filmed in one shift, in the order of the work."""

    head: str
    takes: tuple[Take, ...]

    @property
    def rolling_s(self) -> float:
        """How long the camera rolls."""
        return sum(take.rolling_s for take in self.takes)


class ShotList(NamedTuple):
    """All shifts in which something is filmed; and what has to be said beside them."""

    shoots: tuple[Shoot, ...]
    notes: tuple[str, ...]


def shot_list(one: OneBuild, episode: int | None = None) -> ShotList:
    """What is left to film, by shift; in planned order where there is no calendar. ``episode``: of that one only."""
    from planner.session.calendar import NoCalendarError, make_calendar

    try:
        made = make_calendar(one, tries=0)
    except NoCalendarError as error:
        ops = one.live.remaining()
        parts = [(op, "", float(op.step.time or 0)) for op in ops]
        shoots = [_shoot(one, "In planned order", parts, _Walk(one), episode)]
        return ShotList(tuple(each for each in shoots if each.takes), (f"no shifts: {error.says}",))
    walk = _Walk(one)
    zone = made.shop.timezone
    shoots = [_shoot(one, spell_head(spell, zone), _parts(made, spell), walk, episode) for spell in made.results.spells]
    return ShotList(tuple(each for each in shoots if each.takes), ())


def _parts(made: Made, spell: Spell) -> list[tuple[Operation, str, float]]:
    ops = made.operations()
    zone = made.shop.timezone
    return [
        (ops[part.name], clock(part.start, zone), (part.end - part.start) * 60.0)
        for part in spell.parts
        if part.name in ops
    ]


class _Walk:
    """The state of the work as it goes on in the order of filming."""

    def __init__(self, one: OneBuild) -> None:
        self.plan = one.plan
        self.machine = machine_of(one.plan)
        self.at = self.machine.begin()
        self.grounding = Grounding(one.plan.build)
        for op, _ in one.live.done:
            self.machine.do(self.at, op)
        self.seen: set[int] = set()

    def pictures(self, op: Operation) -> tuple[Picture, ...]:
        """The pictures of an operation, each with what holds before it is done."""
        return tuple(
            Picture(
                shot,
                tuple(
                    (meaning(self.plan, name), self._holds(name))
                    for ref in shot.needs
                    for name in self.grounding.named(ref, op.side)
                ),
            )
            for shot in op.step.pictures
        )

    def _holds(self, name: str) -> bool:
        condition, _, side = name.partition("@")
        return all(self.machine.holds(self.at, fact) for fact in self.grounding.facts(condition, side or None))

    def do(self, op: Operation) -> None:
        """The operation is done; what goes over several shifts is so once."""
        if id(op) not in self.seen:
            self.seen.add(id(op))
            self.machine.do(self.at, op)


def _shoot(
    one: OneBuild, head: str, parts: Iterable[tuple[Operation, str, float]], walk: _Walk, episode: int | None
) -> Shoot:
    takes = []
    for op, start, seconds in parts:
        mine = episode in (None, one.plan.stages[op.stage][0].number)
        instead = any("for" in each.raw for each in one.ticks.remarks.get(op.name, ()))
        if mine and (op.on_camera or instead) and id(op) not in walk.seen:
            pictures = walk.pictures(op)
            takes.append(Take(op, start, one.said(op), pictures, _rolling(pictures, seconds)))
        walk.do(op)
    return Shoot(head, tuple(takes))


def _rolling(pictures: Sequence[Picture], seconds: float) -> float:
    if not pictures or any(each.shot.length is None for each in pictures):
        return seconds
    return sum((each.shot.length or 0) * each.shot.speed for each in pictures)


def shots_text(found: ShotList, card_s: float | None = None, battery_s: float | None = None) -> list[str]:
    """The list for people: a shift after the other, a line a set-up, an operation, a picture."""
    lines: list[str] = []
    for shoot in found.shoots:
        lines += [*([""] if lines else []), f"{shoot.head}   {_needs_words(shoot.rolling_s, card_s, battery_s)}"]
        setup: str | None = None
        used: set[str] = set()
        for take in shoot.takes:
            own = take.op.step.setup
            if own is not None and own != setup:
                lines.append(f"  set-up {own}{', again' if own in used else ''}")
                used.add(own)
                setup = own
            lines += _take_lines(take)
    return [literal(line) for line in lines] or ["Nothing is left to film."]


def _take_lines(take: Take) -> list[str]:
    start = f"{take.start}  " if take.start else ""
    lines = [f"    {start}{take.op.name}  {take.does}  (rolling {show_duration(round(take.rolling_s))})"]
    for picture in take.pictures:
        lines.append(f"      ● {picture.shot.told()}")
        lines += [f"        {'✓' if holds else '✗ NOT SO BY THEN:'} {says}" for says, holds in picture.needs]
    if not take.pictures:
        lines.append("      ● no picture is planned: decide before the shift")
    return lines


def _needs_words(rolling: float, card_s: float | None, battery_s: float | None) -> str:
    parts = [f"rolling {show_duration(round(rolling))}"]
    for word, plural, size in (("card", "cards", card_s), ("battery", "batteries", battery_s)):
        if size:
            many = max(1, ceil(rolling / size))
            left = many * size - rolling
            parts.append(f"{many} {word if many == 1 else plural}, {show_duration(round(left))} to spare")
    return "; ".join(parts)


def shots_csv(found: ShotList) -> str:
    """The list as a table, a row a picture."""
    rows: list[Sequence[object]] = [_COLUMNS]
    for shoot in found.shoots:
        for take in shoot.takes:
            step = take.op.step
            head = (shoot.head, take.start, step.setup, take.op.name, take.op.side, take.does)
            for index, picture in enumerate(take.pictures or (None,)):
                rolling = round(take.rolling_s) if index == 0 else ""
                rows.append((*head, *_picture_row(picture), rolling))
    return table(rows)


def _picture_row(picture: Picture | None) -> tuple[object, ...]:
    if picture is None:
        return ("", "", "", "", "", "", "")
    shot = picture.shot
    needs = "; ".join(says for says, _ in picture.needs)
    hold = "" if not picture.needs else "yes" if all(holds for _, holds in picture.needs) else "no"
    return (shot.says, shot.size, shot.of, shot.length, f"{shot.speed:g}", needs, hold)


def shots_json(found: ShotList) -> list[dict[str, object]]:
    """The list as programs read it."""
    return [
        {
            "shift": shoot.head,
            "rolling_s": round(shoot.rolling_s),
            "takes": [
                {
                    "op": take.op.name,
                    "start": take.start or None,
                    "setup": take.op.step.setup,
                    "does": take.does,
                    "rolling_s": round(take.rolling_s),
                    "pictures": [
                        {
                            "says": each.shot.says,
                            "size": each.shot.size,
                            "of": each.shot.of,
                            "length_s": each.shot.length,
                            "speed": each.shot.speed,
                            "needs": [{"means": says, "holds": holds} for says, holds in each.needs],
                        }
                        for each in take.pictures
                    ],
                }
                for take in shoot.takes
            ],
        }
        for shoot in found.shoots
    ]
