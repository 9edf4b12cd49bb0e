"""``planner story``: what the series promised, kept, corrects and filmed, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, EXIT_TRAPS, CommandError, print_json, say, show, wrap
from planner.commands.places import open_build, parser

if TYPE_CHECKING:
    from planner.session.story import Story

_EXAMPLE = """  planner story dunlin-pickup
  planner story dunlin-pickup --json
  planner story dunlin-pickup --description 5 --to held-by-six-tacks.md
  planner story dunlin-pickup --shots --card 64min --battery 90min --to shots.csv

What was done off camera or without the camera running comes first. Exit code 1 when a trap of the series stands: a
promise that is past and not kept, a number that was spoken and has changed, a sponsor without words.

--description prints the text that stands under an episode: sponsors, safety corrections, what was done, numbers with
their ±, corrections, references, chapters, cautions. With --to it is written: as Markdown to .md, plain to .txt.

--shots prints the pictures that are left, in the order of the work: set-ups, needs and whether they hold by then, and
how long the camera rolls against what a card and a battery hold."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("story", "Show the series: promises, references, corrections, what was filmed.", _EXAMPLE)
    what = made.add_mutually_exclusive_group()
    what.add_argument("--description", type=int, metavar="EPISODE", help="print the description of an episode instead")
    what.add_argument("--shots", action="store_true", help="print what is left to film instead, shift by shift")
    made.add_argument("--to", metavar="FILE", help="write it: a description to .md or .txt, shots to .csv or .txt")
    made.add_argument("--replace", action="store_true", help="with --to: write over a file that is there")
    made.add_argument("--episode", type=int, metavar="N", help="with --shots: only this episode")
    made.add_argument("--card", metavar="LENGTH", help="with --shots: what a card holds, such as 64min")
    made.add_argument("--battery", metavar="LENGTH", help="with --shots: how long a battery lasts")
    args = made.parse_args(argv)
    if args.description is not None or args.shots:
        from planner.commands.storypapers import described, shots

        return shots(args) if args.shots else described(args)
    for option in ("to", "episode", "card", "battery"):
        if getattr(args, option) is not None:
            belongs = "--description EPISODE or --shots" if option == "to" else "--shots"
            raise CommandError(f"--{option}: belongs to {belongs}")
    build = open_build(args)

    from planner.plan.model import TRAP
    from planner.session.story import story_of

    story = story_of(build)
    if args.json:
        print_json(as_json(story))
    else:
        show(as_text(story, build.plan.build.name, build.plan.build.shop.timezone))
    for notice in build.notices():
        say(str(notice))
    return EXIT_TRAPS if any(finding.level == TRAP for finding in story.findings) else EXIT_FINE


def as_json(story: Story) -> dict[str, Any]:
    """The story as programs read it."""
    from planner.commands.check import finding_json
    from planner.files.log.ticklog import iso
    from planner.telling.story import by_of

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
            {"says": promise.says, "made": made, "by": by_of(promise), "kept": kept}
            for promise, made, kept in story.promises
        ],
        "corrections": [
            {"episode": each.episode, "says": each.says, "safety": each.safety, "in": number}
            for number, each in story.corrections
        ],
        "not_filmed": list(story.not_filmed),
        "continuity": [each._asdict() for each in story.continuity],
        "put_right": [
            {"op": each.op, "did": each.what, "at": iso(each.at), "episode": each.episode, "says": each.says}
            for each in story.put_right
        ],
        "on_order": [{"op": op, "until": iso(until)} for op, until in story.on_order],
        "to_order": [{"op": op, "lead_s": lead} for op, lead in story.to_order],
        "cards": [{"card": each.name, "places": list(each.places), "free": each.free} for each in story.cards],
        "findings": [finding_json(each) for each in story.findings],
    }


def as_text(story: Story, name: str, zone: str | None) -> list[str]:
    """The story as people read it, a topic after the other: what viewers did not see first."""
    from planner.telling.looks import plain
    from planner.telling.story import topics

    lines = [name]
    for topic in topics(story, zone):
        lines += ["", plain([topic.head])]
        for each in topic.lines:
            lines += wrap(plain([each]), "    " if plain([each]).startswith("  ") else "  ")
    return lines
