"""What ``planner story`` writes for others: the description of an episode, and the shot list."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, CommandError, print_json, say, show
from planner.commands.places import open_build
from planner.commands.writing import put, there

if TYPE_CHECKING:
    from argparse import Namespace

    from planner.session.onebuild import OneBuild


def described(args: Namespace) -> int:
    """Print or write the description of an episode."""
    from planner.paper.description import describe, markdown, plain

    ending = _ending(args.to, (".md", ".txt"))
    build = open_build(args)
    _known(build, args.description)
    told = describe(build, args.description)
    for note in told.notes:
        say(f"notice: {note}")
    _write(args, {".md": markdown(told), ".txt": plain(told)}.get(ending))
    if args.json:
        sections = [{"title": each.title, "lines": list(each.lines)} for each in told.sections]
        print_json({"file": args.to, "title": told.title, "sections": sections, "notices": list(told.notes)})
    elif args.to is None:
        show(plain(told).splitlines())
    else:
        show(f"{args.to}: the description of episode {args.description}")
    return EXIT_FINE


def shots(args: Namespace) -> int:
    """Print or write the shot list."""
    from planner.paper.shots import shot_list, shots_csv, shots_json, shots_text

    ending = _ending(args.to, (".csv", ".txt"))
    card, battery = _length(args.card, "--card"), _length(args.battery, "--battery")
    build = open_build(args)
    if args.episode is not None:
        _known(build, args.episode)
    found = shot_list(build, args.episode)
    for note in found.notes:
        say(f"notice: {note}")
    lines = shots_text(found, card, battery)
    texts: Mapping[str, str] = {".csv": shots_csv(found), ".txt": "\n".join(lines) + "\n"}
    _write(args, texts.get(ending))
    if args.json:
        print_json({"file": args.to, "shifts": shots_json(found), "notices": list(found.notes)})
    elif args.to is None:
        show(lines)
    else:
        show(f"{args.to}: the shots of {len(found.shoots)} shifts")
    return EXIT_FINE


def _ending(name: str | None, known: tuple[str, ...]) -> str:
    ending = "" if name is None else Path(name).suffix.lower()
    if name is not None and ending not in known:
        raise CommandError(f"--to: {Path(name).name} must end in one of {', '.join(known)}", path=name)
    return ending


def _length(typed: str | None, option: str) -> float | None:
    from planner.plan.words import parse_duration

    if typed is None:
        return None
    length = parse_duration(re.sub(r"(?<=\d)\s*(?=[a-z])", " ", typed.strip()))
    if not length:
        raise CommandError(f"{option}: must be a length above nothing, such as 64min or 1h 30min")
    return float(length)


def _known(build: OneBuild, number: int) -> None:
    numbers = [each.number for each in build.plan.build.episodes]
    if number not in numbers:
        says = f"there is no episode {number}; the build has {', '.join(map(str, numbers))}"
        raise CommandError(says, path=str(build.folder))


def _write(args: Namespace, text: str | None) -> None:
    """Write the file that was asked for, never over one that is there without being told to."""
    if args.to is None or text is None:
        return
    path = Path(args.to)
    before = there(path, "--to")
    if before is not None and not args.replace:
        raise CommandError(f"{path} is there already; --replace writes over it", EXIT_NOT_WRITTEN, path=args.to)
    put(path, before, text.encode(), "--to")
