"""``planner story``: what the series promised, kept, corrects and filmed, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.check import finding_json
from planner.commands.out import EXIT_FINE, EXIT_TRAPS, print_json, say, show, wrap
from planner.commands.places import open_build, parser
from planner.plan.model import TRAP

if TYPE_CHECKING:
    from planner.plan.model import Promise, Referral
    from planner.session.story import EpisodeStory, Story

_EXAMPLE = """  planner story dunlin-pickup
  planner story dunlin-pickup --json

What was done off camera or without the camera running comes first. Exit code 1 when a trap of the series stands: a
promise that is past and not kept, a number that was spoken and has changed, a sponsor without words."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("story", "Show the series: promises, references, corrections, what was filmed.", _EXAMPLE)
    args = made.parse_args(argv)
    build = open_build(args)

    from planner.session.story import story_of

    story = story_of(build)
    if args.json:
        print_json(as_json(story))
    else:
        show(as_text(story, build.plan.build.name, build.plan.build.shop.timezone))
    for notice in build.notices():
        say(notice)
    return EXIT_TRAPS if any(finding.level == TRAP for finding in story.findings) else EXIT_FINE


def as_json(story: Story) -> dict[str, Any]:
    """The story as programs read it."""
    from planner.files.log.ticklog import iso

    return {
        "episodes": [
            {
                "episode": each.number,
                "title": each.title,
                "due": None if each.due is None else iso(each.due[1]),
                "wanted_s": each.wanted_s,
                "estimated_s": round(each.estimated_s),
                "filmed_s": round(each.filmed_s),
                "stages": [stage._asdict() | {"estimated_s": round(stage.estimated_s)} for stage in each.stages],
                "refers_to": [{"episode": r.episode, "build": r.build, "says": r.says} for r in each.refers_to],
                "sponsors": [{"who": s.who, "says": s.says, "from": s.gave} for s in each.sponsors],
                "spoken": [{"op": op, "says": says} for op, says in each.spoken],
            }
            for each in story.episodes
        ],
        "promises": [
            {"says": promise.says, "made": made, "by": _by(promise), "kept": kept}
            for promise, made, kept in story.promises
        ],
        "corrections": [
            {"episode": each.episode, "says": each.says, "safety": each.safety, "in": number}
            for number, each in story.corrections
        ],
        "not_filmed": list(story.not_filmed),
        "put_right": [{"op": each.op, "did": each.what, "at": iso(each.at)} for each in story.put_right],
        "on_order": [{"op": op, "until": iso(until)} for op, until in story.on_order],
        "findings": [finding_json(each) for each in story.findings],
    }


def _by(promise: Promise) -> int | str | None:
    if promise.episode is not None:
        return promise.episode
    return promise.day[0] if promise.day is not None else None


def as_text(story: Story, name: str, zone: str | None) -> list[str]:
    """The story as people read it: what must be made up for on camera first."""
    lines = [name, ""]
    if story.not_filmed:
        lines.append(f"Done and not filmed: {len(story.not_filmed)}. Film another side of it, or say so.")
        lines += wrap(", ".join(story.not_filmed))
        lines += wrap("Another side is a mirror image: same glove, same light, same side of the work, and say which.")
    else:
        lines.append("Nothing that was to be filmed was done without the camera.")
    for finding in story.findings:
        if finding.rule != "not-filmed":
            place = "" if finding.place is None else f", {finding.place}"
            lines += ["", f"{finding.level.upper()}: {finding.at}", *wrap(finding.says)]
            lines.append(f"  {finding.rule} {finding.id}{place}")
    for each in story.episodes:
        lines += ["", *_episode(each)]
    if story.promises:
        lines += ["", "Promises"]
        for promise, made, kept in story.promises:
            by = _by(promise)
            until = "" if by is None else f", by {f'episode {by}' if isinstance(by, int) else by}"
            state = f"kept in {kept}" if kept is not None else "OPEN"
            lines += wrap(f"{state}: {promise.says} (made in {made}{until})")
    if story.corrections:
        lines += ["", "Corrections"]
        for number, correction in story.corrections:
            safety = "SAFETY: " if correction.safety else ""
            lines += wrap(f"{safety}episode {number} corrects episode {correction.episode}: {correction.says}")
    if story.put_right:
        from planner.files.times.hours import show_local

        words = {"again": "done again", "undone": "taken back", "accepted": "done against a warning"}
        lines += ["", "Went wrong and put right"]
        lines += [f"  {show_local(each.at, zone)}  {each.op}  {words[each.what]}" for each in story.put_right]
    if story.on_order:
        from planner.files.times.hours import show_local

        lines += ["", "Still to come"]
        lines += [f"  {op}  until {show_local(until, zone)}" for op, until in story.on_order]
    return lines


def _episode(each: EpisodeStory) -> list[str]:
    due = f", due {each.due[0]}" if each.due is not None else ""
    wanted = f", wanted {_clock(each.wanted_s)}" if each.wanted_s is not None else ""
    lines = [
        f"Episode {each.number}: {each.title}{due}",
        f"  about {_clock(each.estimated_s)} by its shots and words{wanted}; {_clock(each.filmed_s)} filmed",
    ]
    for sponsor in each.sponsors:
        gave = f" ({sponsor.gave})" if sponsor.gave else ""
        lines += wrap(f"sponsor {sponsor.who}{gave}: {sponsor.says or 'NO WORDS YET'}")
    for stage in each.stages:
        count = f"{stage.filmed} of {stage.ticked} done on camera filmed" if stage.ticked else "nothing done yet"
        if not stage.on_camera:
            count = "off camera"
        lines.append(f"  {stage.title}: about {_clock(stage.estimated_s)}, {count}")
    if each.refers_to:
        lines += wrap("refers to " + "; ".join(_referral(referral) for referral in each.refers_to))
    for op, says in each.spoken:
        lines += wrap(f"spoken at {op}: {says}")
    return lines


def _referral(referral: Referral) -> str:
    if referral.episode is None and referral.build is None:
        return referral.says or ""
    what = f"{referral.build} " if referral.build else ""
    what += f"episode {referral.episode}" if referral.episode is not None else ""
    return f"{what.strip()} ({referral.says})" if referral.says else what.strip()


def _clock(seconds: float) -> str:
    whole = round(seconds)
    hours, minutes = divmod(whole // 60, 60)
    return f"{hours}:{minutes:02}:{whole % 60:02}" if hours else f"{minutes}:{whole % 60:02}"
