"""The series of one build, put together from plan and ticks for whoever shows it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planner.plan.fill import filled
from planner.plan.model import Correction, Finding, Referral, Sponsor
from planner.plan.series import (
    Kept,
    estimate,
    filmed,
    not_filmed,
    promises,
    series_findings,
    spans,
    step_seconds,
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
    episodes = []
    for episode in plan.build.episodes:
        estimated, _ = estimate(plan, episode.number)
        episodes.append(
            EpisodeStory(
                episode.number,
                episode.title,
                episode.publish,
                episode.runtime,
                estimated,
                seconds.get(episode.number, 0.0),
                episode.series.refers_to,
                episode.series.sponsors,
                _stages(one, episode.number),
                _spoken(one, episode.number),
            )
        )
    return Story(
        tuple(episodes),
        tuple(promises(plan)),
        tuple((episode.number, each) for episode in plan.build.episodes for each in episode.series.corrects),
        tuple(op.name for op in not_filmed(plan, ticks, running)),
        tuple(
            PutRight(event.op, event.did, event.at)
            for event in one.log.events
            if event.did in (AGAIN, UNDONE, ACCEPTED) and event.op is not None
        ),
        tuple((wait.cause, wait.until) for wait in one.running() if wait.until - now >= _LONG_WAIT),
        tuple(series_findings(plan, ticks, one.log.events, now)),
    )


def _stages(one: OneBuild, number: int) -> tuple[StageStory, ...]:
    plan, times = one.plan, one.live.times
    running = spans(one.log.events)
    found = []
    for index, (episode, stage) in enumerate(plan.stages):
        if episode.number != number:
            continue
        ops = [op for op in plan.operations if op.stage == index and op.on_camera]
        once = {(op.step.id, op.side): op for op in ops}
        done = [op for op in ops if op.name in times]
        shot = [op for op in done if was_filmed(one.ticks, running, op.name, times[op.name])]
        seconds = sum(step_seconds(op.step) for op in once.values())
        found.append(StageStory(stage.title, seconds, len(ops), len(done), len(shot)))
    return tuple(found)


def _spoken(one: OneBuild, number: int) -> tuple[tuple[str, str], ...]:
    """What the operations of an episode say with a number in it, filled in."""
    plan = one.plan
    build = plan.build
    found: dict[tuple[str, str], None] = {}
    for op in plan.operations:
        if plan.stages[op.stage][0].number == number:
            for text in op.step.say:
                if "{" in text:
                    found[op.name, filled(text, build.numbers, op.side, build.sides)] = None
    return tuple(found)
