"""``planner paper``: papers of a build for the shop, as PDF, as one HTML file or as plain text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, CommandError, print_json, say, show
from planner.commands.places import open_build, parser
from planner.commands.writing import put, there

if TYPE_CHECKING:
    from planner.paper.facts import Asked
    from planner.paper.registry import Paper
    from planner.session.onebuild import OneBuild

_EXAMPLE = """  planner paper dunlin-pickup
  planner paper dunlin-pickup job-sheet --episode 4 --to job-sheet.pdf --size letter
  planner paper dunlin-pickup torque

Without WHAT the papers are listed. Without --to the paper is shown as text. The ending of the file says what is
written: .pdf to print, .html one file for a tablet, .txt plain text. The facts are the same in all three."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("paper", "Write a paper of a build for the shop.", _EXAMPLE)
    made.add_argument("what", metavar="WHAT", nargs="?", help="which paper; without it they are listed")
    made.add_argument("--to", metavar="FILE", help="where to write: .pdf, .html or .txt")
    made.add_argument("--size", choices=("a4", "letter"), default="a4", help="the size of the paper (a4)")
    made.add_argument("--episode", type=int, metavar="N", help="only this episode")
    made.add_argument("--side", metavar="SIDE", help="only this side (and what is done once)")
    made.add_argument("--shift", type=int, metavar="N", help="only this shift of the calendar; 1 is the next")
    made.add_argument("--replace", action="store_true", help="write over a file that is there")
    args = made.parse_args(argv)

    from planner.paper.facts import Asked
    from planner.paper.ground.sizes import SIZES
    from planner.paper.registry import PAPERS, paper_named

    build = open_build(args)
    if args.what is None:
        if args.to is not None:
            raise CommandError("--to: say which paper, such as planner paper BUILD job-sheet --to FILE")
        return _list(args.json)
    paper = paper_named(args.what)
    if paper is None:
        from planner.plan.words import nearest

        names = [each.name for each in PAPERS]
        near = nearest(args.what, names)
        hint = f"; did you mean {near}?" if near else f"; there are {', '.join(names)}"
        raise CommandError(f"there is no paper {args.what}{hint}", near=near)
    return _write(build, paper, Asked(args.episode, args.side, args.shift, SIZES[args.size]), args)


def _list(as_json: bool) -> int:
    from planner.paper.registry import PAPERS

    if as_json:
        rows = [{"paper": each.name, "says": each.says, "takes": sorted(each.takes)} for each in PAPERS]
        print_json({"papers": rows})
    else:
        wide = max(len(each.name) for each in PAPERS)
        show([f"{each.name:<{wide}}  {each.says}" for each in PAPERS])
    return EXIT_FINE


def _write(build: OneBuild, paper: Paper, asked: Asked, args: Any) -> int:
    from planner.paper.facts import Facts, NothingToPrintError
    from planner.paper.ground.drawing import TooLargeError
    from planner.paper.registry import make
    from planner.paper.writing import ENDINGS, written

    path = None if args.to is None else Path(args.to)
    if path is not None and path.suffix.lower() not in ENDINGS:
        raise CommandError(f"--to: {path.name} must end in one of {', '.join(ENDINGS)}", path=args.to)
    before = None if path is None else there(path, "--to")
    if before is not None and not args.replace:
        raise CommandError(f"{path} is there already; --replace writes over it", EXIT_NOT_WRITTEN, path=args.to)
    try:
        document = make(paper, Facts(build, build.clock(), asked))
        ending = ".txt" if path is None else path.suffix.lower()
        made = written(document, ending, asked.size)
    except (NothingToPrintError, TooLargeError) as error:
        raise CommandError(f"{error}; nothing was written", path=str(build.folder)) from error
    if path is not None:
        put(path, before, made.body, "--to")
        _missing(made.missing)
    if args.json:
        from planner.paper.ground.asdata import facts_of

        wrote = {"file": None if path is None else str(path), "pages": made.pages, "missing": list(made.missing)}
        print_json({**facts_of(document), **wrote})
    elif path is None:
        show(made.body.decode().splitlines())
    else:
        pages = "" if made.pages is None else f": {made.pages} page{'' if made.pages == 1 else 's'}, {asked.size.name}"
        show(f"{path}{pages}")
    return EXIT_FINE


def _missing(found: Sequence[str]) -> None:
    if found:
        from planner.paper.ground.characters import told

        say(f"printed as a box, since the fonts do not have it: {'; '.join(told(found))}")
