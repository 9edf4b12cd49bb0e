"""The series of one build, put together from plan and ticks for whoever shows it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from planner.plan.cards import Card
from planner.plan.expand import Operation, Plan
from planner.plan.fill import Moved, said_otherwise
from planner.plan.live import Live
from planner.plan.model import Correction, Episode, Finding, Referral, Sponsor
from planner.plan.series import (
    Film,
    Kept,
    by_episode,
    estimate,
    filmed,
    not_filmed,
    promises,
    series_findings,
    spans,
    tells,
)
from planner.plan.ticks import (
    ACCEPTED,
    AGAIN,
    DONE,
    INSIDE,
    LATE,
    NOTE,
    READING,
    UNDONE,
    Event,
    Ticks,
    replay,
    under_new_names,
)

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild

_LONG_WAIT = 86_400  # from here on it is a part on order or paint that hardens, not something to stand beside
_ORDER = "order"  # the kind of work whose wait is a lead time


class Continuity(NamedTuple):
    """A step that viewers did not see on a side, and what has to look the same where it is shown."""

    step: str
    side: str | None
    do: str
    ops: tuple[str, ...]  # the ticked operations that nobody filmed
    rounds: tuple[int, ...]  # of these; empty where there is one round
    planned: bool  # it was to be off camera
    notes: tuple[str, ...]  # what was noted at the step on any side, and what its plan notes


class StageStory(NamedTuple):
    """A stage as viewers will see it."""

    title: str
    estimated_s: float
    on_camera: int  # operations that are to be filmed
    ticked: int  # of these
    filmed: int  # of these


class EpisodeStory(NamedTuple):
    """An episode as viewers will see it."""

    number: int
    title: str
    due: tuple[str, float] | None
    wanted_s: int | None
    estimated_s: float
    filmed_s: float
    refers_to: tuple[Referral, ...]
    sponsors: tuple[Sponsor, ...]
    stages: tuple[StageStory, ...]
    spoken: tuple[tuple[str, str], ...]  # operation and words, where they name a number


class PutRight(NamedTuple):
    """Something that went wrong and was put right: worth speaking to."""

    op: str
    what: str  # again, undone, accepted, rework, or the verdict of a reading
    at: float
    episode: int | None  # None: the plan no longer has the operation
    says: str  # what the operation is, or the reading


class Story(NamedTuple):
    """All of it."""

    continuity: tuple[Continuity, ...]  # what was missed first, then what was off camera as planned
    episodes: tuple[EpisodeStory, ...]
    promises: tuple[Kept, ...]
    corrections: tuple[tuple[int, Correction], ...]  # by which episode
    not_filmed: tuple[str, ...]
    put_right: tuple[PutRight, ...]
    on_order: tuple[tuple[str, float], ...]  # waits of a day and more that run now
    to_order: tuple[tuple[str, int], ...]  # what is not ordered yet, and its lead time in seconds
    findings: tuple[Finding, ...]
    cards: tuple[Card, ...]  # those that may not be wiped first


def story_of(one: OneBuild) -> Story:
    """The story of a build as it stands now."""
    plan, ticks, now = one.plan, one.ticks, one.clock()
    running = spans(one.log.events)
    film = Film(ticks, running)
    seconds = filmed(plan, running, now)
    mine = by_episode(plan)
    unfilmed = not_filmed(plan, ticks, film)
    episodes = [
        EpisodeStory(
            episode.number,
            episode.title,
            episode.publish,
            episode.runtime,
            estimate(mine[episode.number])[0],
            seconds.get(episode.number, 0.0),
            episode.series.refers_to,
            episode.series.sponsors,
            _stages(one, mine[episode.number], episode, film),
            _spoken(one, mine[episode.number]),
        )
        for episode in plan.build.episodes
    ]
    return Story(
        _continuity(one, unfilmed, film),
        tuple(episodes),
        tuple(promises(plan)),
        tuple((episode.number, each) for episode in plan.build.episodes for each in episode.series.corrects),
        tuple(op.name for op in unfilmed),
        tuple(_put_right(one)),
        tuple(
            (wait.cause, wait.until) for wait in one.running() if one.live.by_name[wait.cause].step.wait >= _LONG_WAIT
        ),
        tuple(
            (op.name, op.step.wait)
            for op in one.live.remaining()
            if op.step.wait and (op.step.kind == _ORDER or op.step.wait >= _LONG_WAIT)
        ),
        tuple(series_findings(plan, one.live.times, unfilmed, now, spoken_otherwise(one.live, ticks))),
        tuple(one.cards()),
    )


def told(live: Live, ticks: Ticks, now: float) -> list[Finding]:
    """What is wrong with what viewers are told, for whoever judges a whole build.

    What the camera saw and how its sides change is no fault of the plan: ``story_of`` tells that beside it.
    """
    if not tells(live.plan.build):
        return []
    found = series_findings(live.plan, live.times, (), now, spoken_otherwise(live, ticks))
    return [each for each in found if each.rule != "side-jump"]


def told_as_written(plan: Plan, now: float) -> list[Finding]:
    """The same of a plan as it is written, without its ticks."""
    return told(Live(plan), replay(()), now)


def _continuity(one: OneBuild, unfilmed: Sequence[Operation], film: Film) -> tuple[Continuity, ...]:
    """What was done unseen: what was to be filmed first, then the sides that were off camera as planned."""
    missed = {op.name for op in unfilmed}
    seen_steps = {op.step.id for op in one.plan.operations if op.on_camera}
    groups: dict[tuple[bool, str, str | None], list[Operation]] = {}
    notes: dict[str, dict[str, None]] = {}
    for op in one.plan.operations:
        for event in one.ticks.remarks.get(op.name, ()):
            if event.did == NOTE and "for" not in event.raw:
                notes.setdefault(op.step.id, {})[str(event.raw.get("text", ""))] = None
        at = one.live.times.get(op.name)
        planned = not op.on_camera and op.step.id in seen_steps and at is not None and not film.saw(op.name, at)
        if op.name in missed or planned:
            group = groups.setdefault((planned, op.step.id, op.side), [])
            if op.name not in {each.name for each in group[-1:]}:
                group.append(op)
    found = [
        Continuity(
            step,
            side,
            one.said(ops[0]),
            tuple(op.name for op in ops),
            tuple(op.round for op in ops if op.round is not None),
            planned,
            tuple(text for text in (*notes.get(step, {}), *ops[0].step.note) if text),
        )
        for (planned, step, side), ops in groups.items()
    ]
    return tuple(sorted(found, key=lambda each: each.planned))


def _stages(one: OneBuild, ops: Sequence[Operation], episode: Episode, film: Film) -> tuple[StageStory, ...]:
    times = one.live.times
    on_camera: dict[int, list[Operation]] = {
        index: [] for index, (its, _) in enumerate(one.plan.stages) if its is episode
    }
    for op in ops:
        if op.on_camera:
            on_camera[op.stage].append(op)
    found = []
    for index, mine in on_camera.items():
        done = [op for op in mine if op.name in times]
        shot = [op for op in done if film.saw(op.name, times[op.name])]
        title = one.plan.stages[index][1].title
        found.append(StageStory(title, estimate(mine)[0], len(mine), len(done), len(shot)))
    return tuple(found)


def _put_right(one: OneBuild) -> list[PutRight]:
    found = []
    for event in under_new_names(one.log.events):
        what = _went_wrong(one, event)
        if what is None or event.op is None:
            continue
        op = one.live.by_name.get(event.op)
        says = one.said(op) if op is not None else ""
        if event.did == READING:
            says = str(event.raw.get("value", ""))
        episode = None if op is None else one.plan.stages[op.stage][0].number
        found.append(PutRight(event.op, what, event.at, episode, says))
    return found


def _went_wrong(one: OneBuild, event: Event) -> str | None:
    if event.did in (AGAIN, UNDONE, ACCEPTED):
        return event.did
    if event.did == READING and event.raw.get("verdict", INSIDE) != INSIDE:
        return str(event.raw["verdict"])
    op = one.live.by_name.get(event.op or "")
    return "rework" if event.did in (DONE, LATE) and op is not None and op.step.rework else None


def spoken_otherwise(live: Live, ticks: Ticks) -> dict[str, list[Moved]]:
    """The operations that spoke a number on camera which has another value now, and these numbers."""
    found = {}
    for name, kept in live.kept.items():
        op = live.by_name[name]
        if not kept or not any("{" in text for text in op.step.say):
            continue
        seen = op.on_camera or any("for" in each.raw for each in ticks.remarks.get(name, ()))
        if seen and (moved := said_otherwise(live.plan.build, op.step, kept)):
            found[name] = moved
    return found


def _spoken(one: OneBuild, ops: Sequence[Operation]) -> tuple[tuple[str, str], ...]:
    """What the operations of an episode say with a number in it, filled in."""
    said = [
        (op.name, says)
        for op in ops
        if op.on_camera
        for text, says in zip(op.step.say, one.spoken(op), strict=True)
        if "{" in text
    ]
    return tuple(dict.fromkeys(said))
