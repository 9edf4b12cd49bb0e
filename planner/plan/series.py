"""What the episodes promise, keep and refer to, how long they will run, and what the camera saw. Pure."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Container, Iterable, Mapping, Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.fill import Moved
from planner.plan.findings import finding_id, group_of
from planner.plan.model import ALL, NOTICE, TRAP, Build, Episode, Finding, Place, Promise, Series, Step
from planner.plan.ticks import NOTE, ROLLING, STOPPED, Event, Ticks, under_new_names

#: Reading aloud, English: M. Brysbaert, "How many words do we read per minute?", Journal of Memory and Language 109
#: (2019) 104047: 183 words a minute.
WORDS_A_MINUTE = 183
_OFF = 0.2  # of the wanted length


class Span(NamedTuple):
    """The camera ran from start to end (UTC seconds; None: it runs still), started at an operation."""

    start: float
    end: float | None
    op: str | None


class Kept(NamedTuple):
    """A promise, who made it, and the episode that keeps it by then; None: none does."""

    promise: Promise
    made: int
    kept: int | None


def spoken_seconds(texts: Iterable[str]) -> float:
    """How long it takes to say these texts.

    >>> round(spoken_seconds(["one two three"] * 61))
    60
    """
    return sum(len(text.split()) for text in texts) * 60 / WORDS_A_MINUTE


def step_seconds(step: Step) -> float:
    """How long a step is on the screen, once: its shots, and where one gives no length, what is said."""
    shown = float(sum(shot.length or 0 for shot in step.pictures))
    if not step.pictures or any(shot.length is None for shot in step.pictures):
        shown += spoken_seconds(step.say)
    return shown


def by_episode(plan: Plan) -> dict[int, list[Operation]]:
    """The operations of every episode, in planned order."""
    found: dict[int, list[Operation]] = {episode.number: [] for episode in plan.build.episodes}
    for op in plan.operations:
        found[plan.stages[op.stage][0].number].append(op)
    return found


def seen(ops: Iterable[Operation]) -> list[Operation]:
    """Those of these operations that are on camera, one a step and side."""
    found: dict[tuple[str, str | None], Operation] = {}
    for op in ops:
        if op.on_camera:
            found.setdefault((op.step.id, op.side), op)
    return list(found.values())


def estimate(planned: Iterable[Operation]) -> tuple[float, bool]:
    """The run time of operations in seconds, and whether every one of their shots has a length (and there is one)."""
    ops = seen(planned)
    shots = [shot for op in ops for shot in op.step.pictures]
    return sum(step_seconds(op.step) for op in ops), bool(shots) and all(shot.length is not None for shot in shots)


def spans(events: Iterable[Event]) -> list[Span]:
    """When the camera ran, by when it happened; a start while it runs changes nothing.

    What was recorded of an operation before its step was renamed is about the operation it has become.
    """
    found: list[Span] = []
    for event in sorted(under_new_names(list(events)), key=lambda each: each.at):
        runs = bool(found) and found[-1].end is None
        if event.did == ROLLING and not runs:
            found.append(Span(event.at, None, event.op))
        elif event.did == STOPPED and runs:
            found[-1] = found[-1]._replace(end=event.at)
    return found


def filmed(plan: Plan, running: Sequence[Span], now: float) -> dict[int, float]:
    """Seconds filmed by episode: a span belongs to the episode of the operation at which it was started."""
    found: dict[int, float] = {}
    for span in running:
        op = plan.by_name.get(span.op or "")
        if op is not None:
            number = plan.stages[op.stage][0].number
            found[number] = found.get(number, 0.0) + max(0.0, (span.end if span.end is not None else now) - span.start)
    return found


class Film:
    """What the camera saw: asked of every operation, so what it looks up is made once."""

    def __init__(self, ticks: Ticks, running: Sequence[Span]) -> None:
        self._lost = ticks.not_filmed
        self._for = {span.op for span in running}
        self._running = running
        self._starts = [span.start for span in running]

    def saw(self, name: str, at: float) -> bool:
        """Whether it ran when an operation was ticked, or was started for it, and nobody said otherwise."""
        if name in self._lost:
            return False
        before = bisect_right(self._starts, at)
        end = self._running[before - 1].end if before else at - 1
        return name in self._for or end is None or at <= end


def not_filmed(plan: Plan, ticks: Ticks, film: Film) -> list[Operation]:
    """Operations on camera and ticked, neither filmed nor made up for on another side, in planned order."""
    times = {entry.op: entry.at for entry in ticks.entries}
    made_up = {event.raw.get("for") for events in ticks.remarks.values() for event in events if event.did == NOTE}
    good = {
        (plan.by_name[name].step.id, plan.by_name[name].round)
        for name, at in times.items()
        if name in plan.by_name and film.saw(name, at)
    }
    return [
        op
        for op in plan.operations
        if op.on_camera and op.name in times and op.name not in made_up and (op.step.id, op.round) not in good
    ]


def same_words(first: str, second: str) -> bool:
    """Whether two promises are the same, whatever their spaces and capitals."""
    return first.casefold().split() == second.casefold().split()


def promises(plan: Plan) -> list[Kept]:
    """Every promise with the episode that keeps it by then."""
    episodes = plan.build.episodes
    return [
        Kept(promise, episode.number, _kept_by(promise, episode.number, episodes))
        for episode in episodes
        for promise in episode.series.promises
    ]


def _kept_by(promise: Promise, made: int, episodes: Sequence[Episode]) -> int | None:
    for episode in episodes:
        if episode.number < made or not any(same_words(promise.says, each.says) for each in episode.series.keeps):
            continue
        late = promise.episode is not None and episode.number > promise.episode
        if promise.day is not None:
            late = episode.publish is not None and episode.publish[1] > promise.day[1]
        return None if late else episode.number
    return None


def tells(build: Build) -> bool:
    """Whether a build says anything to viewers that could be wrong; most need not be gone through at every tick."""
    return any(
        episode.runtime is not None or episode.series != Series() or _speaks_numbers(episode)
        for episode in build.episodes
    )


def _speaks_numbers(episode: Episode) -> bool:
    return any("{" in text for stage in episode.stages for step in stage.steps for text in step.say)


def series_findings(
    plan: Plan,
    done: Container[str],
    unfilmed: Iterable[Operation],
    now: float,
    spoken: Mapping[str, Sequence[Moved]] = {},
) -> list[Finding]:
    """What is wrong with the series, traps first.

    ``done`` are the operations that were ticked. ``unfilmed`` is what ``not_filmed`` found. ``spoken`` says of a ticked
    operation which numbers it spoke have another value now.
    """
    found: list[Finding] = []
    mine = by_episode(plan)
    complete = {number for number, ops in mine.items() if all(op.name in done for op in ops)}
    for episode in plan.build.episodes:
        found += _references(plan, episode)
        found += _run_time(episode, mine[episode.number])
        found += _side_jumps(plan, mine[episode.number])
        found += [_unsaid(episode, each.who, each.place) for each in episode.series.sponsors if not each.says]
    found += _promises(plan, complete, now)
    found += _kept_twice(plan)
    found += _said_otherwise(plan, spoken)
    for op in unfilmed:
        says = f"{op.name} is on camera and was done without being filmed. Film another side of it, or say so."
        found.append(_finding("not-filmed", NOTICE, op.name, None, op.step.place, says))
    return sorted(found, key=lambda each: each.level != TRAP)


def _finding(rule: str, level: str, at: str, cause: str | None, place: Place | None, says: str) -> Finding:
    ident = finding_id(rule, at, None, cause)
    group = group_of(rule, at, None, cause)
    return Finding(ident, rule, level, at, None, cause, (), False, False, place, says, group=group)


def _at(number: int) -> str:
    return f"(episode {number})"


def _references(plan: Plan, episode: Episode) -> list[Finding]:
    known = {each.number: each for each in plan.build.episodes}
    found = []
    for referral in episode.series.refers_to:
        if referral.episode is None or referral.build is not None:
            continue
        other = known.get(referral.episode)
        if other is None:
            why = "there is no such episode"
        elif other.number >= episode.number:
            why = "it is not an earlier one"
        elif other.publish and episode.publish and other.publish[1] >= episode.publish[1]:
            why = "it is not out by then"
        else:
            continue
        says = (
            f"Episode {episode.number} refers to episode {referral.episode}, but {why}."
            " Viewers cannot have seen it: refer to another, or say that it is to come."
        )
        found.append(_finding("refers-ahead", NOTICE, _at(episode.number), _at(referral.episode), referral.place, says))
    return found


def _run_time(episode: Episode, ops: Sequence[Operation]) -> list[Finding]:
    seconds, certain = estimate(ops)
    wanted = episode.runtime
    if not certain or wanted is None or abs(seconds - wanted) <= _OFF * wanted:
        return []
    says = (
        f"Episode {episode.number} is to run {_minutes(wanted)} and its shots come to {_minutes(seconds)}."
        " Change the shots, or the length that is wanted."
    )
    return [_finding("run-time", NOTICE, _at(episode.number), None, episode.place, says)]


def _minutes(seconds: float) -> str:
    return f"{round(seconds) // 60}:{round(seconds) % 60:02}"


def _side_jumps(plan: Plan, ops: Sequence[Operation]) -> list[Finding]:
    """The filmed side changes within an episode, and neither stage nor step says that it does: one finding for all."""
    jumps: list[tuple[Operation, Operation]] = []
    before: Operation | None = None
    for op in ops:
        if not op.on_camera or op.side is None:
            continue
        stated = op.step.film or plan.stages[op.stage][1].film or (ALL if op.step.named else None)
        if before is not None and before.side != op.side and stated is None:
            jumps.append((before, op))
        before = op
    if not jumps:
        return []
    first, then = jumps[0]
    more = f" It does so {len(jumps)} times." if len(jumps) > 1 else ""
    says = (
        f"The camera goes from the {first.side} side to the {then.side} side at {then.name}, and no stage or step says"
        f" so.{more} Say which side is filmed (film:), so that viewers are told."
    )
    return [_finding("side-jump", NOTICE, then.name, first.name, then.step.place, says)]


def _unsaid(episode: Episode, who: str, place: Place) -> Finding:
    says = (
        f"Episode {episode.number} has the sponsor {who} and no words for them. Whoever paid must be named: write"
        " says: with the words, as local rules on advertising ask for."
    )
    return _finding("unsaid-sponsor", TRAP, _at(episode.number), who, place, says)


def _promises(plan: Plan, complete: set[int], now: float) -> list[Finding]:
    found = []
    for promise, made, kept in promises(plan):
        if kept is not None:
            continue
        by, past = "", False
        if promise.episode is not None:
            by, past = f" by episode {promise.episode}", promise.episode in complete
        elif promise.day is not None:
            by, past = f" by {promise.day[0]}", promise.day[1] < now
        says = (
            f"Episode {made} promises “{promise.says}”{by}, and no episode keeps it{' by then' if by else ''}."
            " Put it under keeps: in the same words, or take it back on camera."
        )
        at = _at(promise.episode if promise.episode is not None else made)
        found.append(_finding("promise-open", TRAP if past else NOTICE, at, str(promise.place), promise.place, says))
    return found


def _kept_twice(plan: Plan) -> list[Finding]:
    found = []
    kept: list[tuple[int, Promise]] = []
    made = [(episode.number, each) for episode in plan.build.episodes for each in episode.series.promises]
    for episode in plan.build.episodes:
        for each in episode.series.keeps:
            earlier = [number for number, other in kept if same_words(other.says, each.says)]
            kept.append((episode.number, each))
            if earlier:
                why = f"episode {earlier[0]} keeps it already"
            elif not any(number <= episode.number and same_words(other.says, each.says) for number, other in made):
                why = "no episode up to it makes that promise"
            else:
                continue
            says = f"Episode {episode.number} keeps “{each.says}”, and {why}. Keep each promise once, in its own words."
            found.append(_finding("promise-twice", NOTICE, _at(episode.number), str(each.place), each.place, says))
    return found


def _said_otherwise(plan: Plan, spoken: Mapping[str, Sequence[Moved]]) -> list[Finding]:
    found = []
    for name, numbers in spoken.items():
        op = plan.by_name.get(name)
        if op is None:
            continue
        number = plan.stages[op.stage][0].number
        if any(
            each.episode == number
            for later in plan.build.episodes
            for each in later.series.corrects
            if later.number > number
        ):
            continue
        for each in numbers:
            says = (
                f"{name} said in episode {number} that {each.name} is {each.then.shown}, and now it is"
                f" {each.now.shown}."
                f" Say so in a later episode (corrects: with episode: {number})."
            )
            found.append(_finding("said-otherwise", TRAP, name, each.name, op.step.place, says))
    return found
