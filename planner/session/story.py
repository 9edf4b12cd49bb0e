"""The series of one build, put together from plan and ticks for whoever shows it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from planner.plan.expand import Operation
from planner.plan.fill import filled
from planner.plan.model import Correction, Episode, Finding, Referral, Sponsor
from planner.plan.series import (
    Kept,
    Span,
    by_episode,
    estimate,
    filmed,
    not_filmed,
    promises,
    series_findings,
    spans,
    was_filmed,
)
from planner.plan.ticks import ACCEPTED, AGAIN, UNDONE

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild

_LONG_WAIT = 86_400  # from here on it is a part on order or paint that hardens, not something to stand beside


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
    what: str  # again, undone or accepted
    at: float


class Story(NamedTuple):
    """All of it."""

    episodes: tuple[EpisodeStory, ...]
    promises: tuple[Kept, ...]
    corrections: tuple[tuple[int, Correction], ...]  # by which episode
    not_filmed: tuple[str, ...]
    put_right: tuple[PutRight, ...]
    on_order: tuple[tuple[str, float], ...]  # waits of a day and more that run now
    findings: tuple[Finding, ...]


def story_of(one: OneBuild) -> Story:
    """The story of a build as it stands now."""
    plan, ticks, now = one.plan, one.ticks, one.clock()
    running = spans(one.log.events)
    seconds = filmed(plan, running, now)
    mine = by_episode(plan)
    unfilmed = not_filmed(plan, ticks, running)
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
            _stages(one, mine[episode.number], episode, running),
            _spoken(one, mine[episode.number]),
        )
        for episode in plan.build.episodes
    ]
    return Story(
        tuple(episodes),
        tuple(promises(plan)),
        tuple((episode.number, each) for episode in plan.build.episodes for each in episode.series.corrects),
        tuple(op.name for op in unfilmed),
        tuple(
            PutRight(event.op, event.did, event.at)
            for event in one.log.events
            if event.did in (AGAIN, UNDONE, ACCEPTED) and event.op is not None
        ),
        tuple((wait.cause, wait.until) for wait in one.running() if wait.until - now >= _LONG_WAIT),
        tuple(series_findings(plan, ticks, unfilmed, now)),
    )


def _stages(
    one: OneBuild, ops: Sequence[Operation], episode: Episode, running: Sequence[Span]
) -> tuple[StageStory, ...]:
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
        shot = [op for op in done if was_filmed(one.ticks, running, op.name, times[op.name])]
        title = one.plan.stages[index][1].title
        found.append(StageStory(title, estimate(mine)[0], len(mine), len(done), len(shot)))
    return tuple(found)


def _spoken(one: OneBuild, ops: Sequence[Operation]) -> tuple[tuple[str, str], ...]:
    """What the operations of an episode say with a number in it, filled in."""
    build = one.plan.build
    said = [
        (op.name, filled(text, build.numbers, op.side, build.sides))
        for op in ops
        for text in op.step.say
        if "{" in text
    ]
    return tuple(dict.fromkeys(said))
