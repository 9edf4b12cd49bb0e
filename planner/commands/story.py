"""``planner story``: what the series promised, kept, corrects and filmed, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.check import finding_json
from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, EXIT_TRAPS, CommandError, print_json, say, show, wrap
from planner.commands.places import open_build, parser
from planner.commands.writing import put, there
from planner.plan.model import TRAP
from planner.telling.looks import plain
from planner.telling.story import by_of, topics

if TYPE_CHECKING:
    from argparse import Namespace

    from planner.session.onebuild import OneBuild
    from planner.session.story import Story

_EXAMPLE = """  planner story dunlin-pickup
  planner story dunlin-pickup --json
  planner story dunlin-pickup --description 5 --to held-by-six-tacks.md

What was done off camera or without the camera running comes first. Exit code 1 when a trap of the series stands: a
promise that is past and not kept, a number that was spoken and has changed, a sponsor without words.

--description prints the text that stands under an episode: sponsors, safety corrections, what was done, numbers with
their ±, corrections, references, chapters, cautions. With --to it is written: as Markdown to .md, plain to .txt."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("story", "Show the series: promises, references, corrections, what was filmed.", _EXAMPLE)
    made.add_argument("--description", type=int, metavar="EPISODE", help="print the description of an episode instead")
    made.add_argument("--to", metavar="FILE", help="with --description: write it, to .md or .txt")
    made.add_argument("--replace", action="store_true", help="with --to: write over a file that is there")
    args = made.parse_args(argv)
    if args.description is None and args.to is not None:
        raise CommandError("--to: belongs to --description EPISODE")
    build = open_build(args)
    if args.description is not None:
        return _described(build, args)

    from planner.session.story import story_of

    story = story_of(build)
    if args.json:
        print_json(as_json(story))
    else:
        show(as_text(story, build.plan.build.name, build.plan.build.shop.timezone))
    for notice in build.notices():
        say(notice)
    return EXIT_TRAPS if any(finding.level == TRAP for finding in story.findings) else EXIT_FINE


def _described(build: OneBuild, args: Namespace) -> int:
    """Print or write the description of an episode."""
    from planner.paper.description import describe, markdown
    from planner.paper.description import plain as in_plain

    path = None if args.to is None else Path(args.to)
    writers = {".md": markdown, ".txt": in_plain}
    if path is not None and path.suffix.lower() not in writers:
        raise CommandError(f"--to: {path.name} must end in one of {', '.join(writers)}", path=args.to)
    try:
        told = describe(build, args.description)
    except KeyError:
        known = ", ".join(str(each.number) for each in build.plan.build.episodes)
        says = f"there is no episode {args.description}; the build has {known}"
        raise CommandError(says, path=str(build.folder)) from None
    for note in told.notes:
        say(f"notice: {note}")
    if path is not None:
        before = there(path, "--to")
        if before is not None and not args.replace:
            raise CommandError(f"{path} is there already; --replace writes over it", EXIT_NOT_WRITTEN, path=args.to)
        put(path, before, writers[path.suffix.lower()](told).encode(), "--to")
    if args.json:
        sections = [{"title": each.title, "lines": list(each.lines)} for each in told.sections]
        print_json({"file": args.to, "title": told.title, "sections": sections, "notices": list(told.notes)})
    elif path is None:
        show(in_plain(told).splitlines())
    else:
        show(f"{path}: the description of episode {args.description}")
    return EXIT_FINE


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
        "findings": [finding_json(each) for each in story.findings],
    }


def as_text(story: Story, name: str, zone: str | None) -> list[str]:
    """The story as people read it, a topic after the other: what viewers did not see first."""
    lines = [name]
    for topic in topics(story, zone):
        lines += ["", plain([topic.head])]
        for each in topic.lines:
            lines += wrap(plain([each]), "    " if plain([each]).startswith("  ") else "  ")
    return lines
