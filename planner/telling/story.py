"""The series as it is told: a topic a row, each with all that is to be said of it. Pure.

What viewers did not see comes first: it is what is forgotten.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from planner.plan.cards import Card
from planner.plan.model import NOTICE, TRAP, Promise, Referral
from planner.plan.series import Kept
from planner.plan.words import counted, show_duration
from planner.telling.looks import LEVEL_GLYPHS, Line, line

if TYPE_CHECKING:
    from planner.session.story import Continuity, EpisodeStory, PutRight, StageStory, Story

_MIRROR = "Another side is a mirror image: same glove, same light, same side of the work, and say which."
_WENT = {
    "again": "done again",
    "undone": "taken back",
    "accepted": "done against a warning",
    "rework": "put right",
    "outside": "read outside its limits",
    "cannot tell": "read too near its limit to tell",
}


class Topic(NamedTuple):
    """One row: its name, its line, and what is told of it in full."""

    name: str
    head: Line
    lines: tuple[Line, ...]


def topics(story: Story, zone: str | None) -> list[Topic]:
    """All of the series: the off-camera list, what is wrong, every episode, then what runs over all of them."""
    found = [_unseen(story.continuity)]
    if story.findings:
        found.append(_wrong(story))
    found += [_episode(each, story, zone) for each in story.episodes]
    if story.promises:
        found.append(_promises(story.promises))
    if story.corrections:
        safe = sum(1 for _, each in story.corrections if each.safety)
        about = f"{counted(len(story.corrections), 'correction')}{f', {safe} of safety' if safe else ''}"
        found.append(Topic("corrections", _head("Corrections", about), tuple(_corrections(story))))
    if story.put_right:
        about = f"{counted(len(story.put_right), 'thing')} to speak to"
        rows = [row for each in story.put_right for row in _went(each, zone)]
        found.append(Topic("put-right", _head("Went wrong and put right", about), tuple(rows)))
    if story.on_order or story.to_order:
        about = f"{len(story.on_order)} on the way, {len(story.to_order)} not ordered yet"
        found.append(Topic("on-order", _head("Still to come", about), tuple(_to_come(story, zone))))
    if story.cards:
        kept = sum(1 for each in story.cards if not each.free)
        about = f"✗ {kept} not to be wiped" if kept else "✓ all copied twice"
        found.append(Topic("cards", _head("Cards", about, "trap" if kept else "done"), tuple(map(_card, story.cards))))
    return found


def _card(card: Card) -> Line:
    where = f"copied to {', '.join(card.places)}" if card.places else "not copied since it was filmed on"
    if card.free:
        return line(("✓ free     ", "done"), (card.name, "strong"), f"  {where}")
    more = "" if not card.places else "; a second place before it is wiped"
    return line(("✗ NOT FREE ", "trap"), (card.name, "strong"), f"  {where}{more}")


def clock(seconds: float) -> str:
    """A length of film.

    >>> clock(75), clock(3605)
    ('1:15', '1:00:05')
    """
    whole = round(seconds)
    hours, minutes = divmod(whole // 60, 60)
    return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"


def _head(word: str, about: str, look: str = "dim") -> Line:
    return line((word, "strong"), "   ", (about, look))


def _unseen(rows: Sequence[Continuity]) -> Topic:
    missed = sum(len(each.ops) for each in rows if not each.planned)
    planned = sum(len(each.ops) for each in rows if each.planned)
    parts = [f"✗ {missed} not filmed" if missed else "", f"○ {planned} done off camera" if planned else ""]
    about = ", ".join(part for part in parts if part) or "✓ nothing was done unseen"
    lines: list[Line] = []
    if missed:
        lines.append(line((f"Done and not filmed: {missed}. ", "trap"), "Film another side of it, or say so."))
    elif not rows:
        lines.append(line("Nothing that was to be filmed was done without the camera."))
    for each in rows:
        lines += _continuity(each)
    if rows:
        lines.append(line((_MIRROR, "caution")))
    look = "trap" if missed else "strong" if planned else "done"
    return Topic("off-camera", _head("Off camera", about, look), tuple(lines))


def rounds_words(rounds: Sequence[int]) -> str:
    """Rounds in as few words as can be.

    >>> rounds_words([1, 2, 3, 6]), rounds_words([])
    ('1 to 3, 6', '')
    """
    runs: list[list[int]] = []
    for each in sorted(rounds):
        if runs and runs[-1][1] == each - 1:
            runs[-1][1] = each
        else:
            runs.append([each, each])
    return ", ".join(str(first) if first == last else f"{first} to {last}" for first, last in runs)


def _continuity(each: Continuity) -> list[Line]:
    side = f", {each.side} side" if each.side else ""
    which = f", round{'s' if len(each.rounds) > 1 else ''} {rounds_words(each.rounds)}" if each.rounds else ""
    state = ("○ off camera, as planned", "dim") if each.planned else ("✗ not filmed", "trap")
    notes = ": " + ", ".join(each.notes) if each.notes else ""
    return [
        line((f"{each.do}{side}{which}", "strong")),
        line("  ", state, notes, (f"  {each.step}", "dim")),
    ]


def _wrong(story: Story) -> Topic:
    counts = {level: sum(1 for each in story.findings if each.level == level) for level in (TRAP, NOTICE)}
    about = ", ".join(f"{LEVEL_GLYPHS[level]} {counted(many, level)}" for level, many in counts.items() if many)
    lines: list[Line] = []
    for each in story.findings:
        if each.rule == "not-filmed":
            continue  # the first row has them all
        place = "" if each.place is None else f"  {each.place}"
        lines += [
            line((f"{LEVEL_GLYPHS[each.level]} {each.level.upper()}: ", each.level), (each.at, "strong")),
            line(f"  {each.says}"),
            line((f"  {each.rule} {each.id}{place}", "dim")),
        ]
    return Topic("findings", _head("Findings", about, TRAP if counts[TRAP] else NOTICE), tuple(lines))


def _episode(each: EpisodeStory, story: Story, zone: str | None) -> Topic:
    wanted = f", wanted {clock(each.wanted_s)}" if each.wanted_s is not None else ""
    bare = [stage for stage in each.stages if stage.on_camera and stage.ticked and not stage.filmed]
    lines = [line(f"about {clock(each.estimated_s)} by its shots and words{wanted}; {clock(each.filmed_s)} filmed")]
    for sponsor in each.sponsors:
        gave = f" ({sponsor.gave})" if sponsor.gave else ""
        words = (sponsor.says, "") if sponsor.says else ("NO WORDS YET", "trap")
        lines.append(line((f"sponsor {sponsor.who}{gave}: ", "head"), words))
    lines += [_stage(stage) for stage in each.stages]
    if each.refers_to:
        lines.append(line(("refers to ", "head"), "; ".join(_referral(referral) for referral in each.refers_to)))
    lines += [_promise(kept) for kept in story.promises if each.number in (kept.made, kept.kept)]
    lines += _corrections(story, each.number)
    lines += [line((f"spoken at {op}: ", "head"), says) for op, says in each.spoken]
    for wrong in story.put_right:
        lines += _went(wrong, zone) if wrong.episode == each.number else []
    word = (
        (f"✗ {counted(len(bare), 'stage')} with nothing filmed", "trap")
        if bare
        else (f"{clock(each.filmed_s)} filmed", "dim")
    )
    day = f"  due {each.due[0][:10]}" if each.due is not None else ""
    head = line((f"Episode {each.number}", "strong"), (day, "waits"), "  ", word, f"  {each.title}")
    return Topic(f"episode-{each.number}", head, tuple(lines))


def _stage(stage: StageStory) -> Line:
    if not stage.on_camera:
        state = ("○ off camera", "dim")
    elif not stage.ticked:
        state = ("· nothing done yet", "not-yet")
    elif not stage.filmed:
        state = (f"✗ NOTHING FILMED, {stage.ticked} done on camera", "trap")
    else:
        whole = stage.filmed == stage.ticked
        state = (
            f"{'✓' if whole else '✗'} {stage.filmed} of {stage.ticked} done on camera filmed",
            "done" if whole else "trap",
        )
    long = f"about {clock(stage.estimated_s)}" if stage.estimated_s else "no length known"
    return line(f"  {stage.title}: {long}, ", state)


def _promises(kept: Sequence[Kept]) -> Topic:
    still = sum(1 for each in kept if each.kept is None)
    about = f"{still} open, {len(kept) - still} kept"
    return Topic("promises", _head("Promises", about), tuple(_promise(each) for each in kept))


def by_of(promise: Promise) -> int | str | None:
    """By which episode or which day a promise is to be kept."""
    if promise.episode is not None:
        return promise.episode
    return promise.day[0] if promise.day is not None else None


def _promise(kept: Kept) -> Line:
    by = by_of(kept.promise)
    until = "" if by is None else f", by {f'episode {by}' if isinstance(by, int) else by}"
    state = ("OPEN", "waits") if kept.kept is None else (f"kept in {kept.kept}", "done")
    return line(("promise ", "head"), state, f": {kept.promise.says} (made in {kept.made}{until})")


def _corrections(story: Story, number: int | None = None) -> list[Line]:
    """Those of safety first; ``number``: only those that stand in that episode or are about it."""
    rows = [row for row in story.corrections if number is None or number in (row[0], row[1].episode)]
    rows.sort(key=lambda row: not row[1].safety)
    return [
        line(
            ("SAFETY: " if each.safety else "", "trap"),
            (f"episode {where} corrects episode {each.episode}: ", "head"),
            each.says,
        )
        for where, each in rows
    ]


def _went(each: PutRight, zone: str | None) -> list[Line]:
    from planner.files.times.zones import show_clock

    when = show_clock(each.at, zone, 0)
    word = _WENT.get(each.what, each.what)
    return [line((f"{when}  ", "dim"), (each.op, "strong"), (f"  {word}", "caution"), f"  {each.says}")]


def _to_come(story: Story, zone: str | None) -> list[Line]:
    from planner.files.times.zones import show_clock

    found = [line(("◷ ", "waits"), (op, "strong"), f"  until {show_clock(at, zone, 0)}") for op, at in story.on_order]
    return [
        *found,
        *(
            line(("· ", "not-yet"), (op, "strong"), f"  not begun; takes {show_duration(wait)}")
            for op, wait in story.to_order
        ),
    ]


def _referral(referral: Referral) -> str:
    if referral.episode is None and referral.build is None:
        return referral.says or ""
    what = f"{referral.build} " if referral.build else ""
    what += f"episode {referral.episode}" if referral.episode is not None else ""
    return f"{what.strip()} ({referral.says})" if referral.says else what.strip()
