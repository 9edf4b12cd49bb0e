"""``planner new``: a build from a starter."""

from __future__ import annotations

from collections.abc import Sequence

from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, CommandError, print_json, show
from planner.commands.places import builds_folder, parser

_EXAMPLE = """  planner new --list
  planner new my-axle --from axle --title "My narrowed axle"
  planner new gate --from blank --sides left,right
  planner new my-axle --from axle --comes housing=oily,proud --comes seal=bearings-in"""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("new", "Make a build from a starter.", _EXAMPLE, build=False)
    made.add_argument("name", metavar="NAME", nargs="?", help="the new build's folder name")
    made.add_argument("--from", dest="starter", default="blank", metavar="STARTER", help="which starter (blank)")
    made.add_argument("--title", metavar="T", help="what the build is called")
    made.add_argument("--sides", metavar="A,B", help="its sides, if not the starter's")
    made.add_argument(
        "--comes", action="append", default=[], metavar="PIECE=HOW", help="how a piece comes, such as oily,painted"
    )
    made.add_argument("--list", action="store_true", help="list the starters")
    args = made.parse_args(argv)

    from planner.files.starters.make import (
        StarterError,
        StarterNotWrittenError,
        Wish,
        comes_problem,
        make_own,
        starters,
        titled,
    )  # fmt: skip
    from planner.plan.comes import ComesError, read_comes

    if args.list:
        rows = starters()
        if args.json:
            print_json({"starters": [{"name": name, "build": says} for name, says in rows]})
        else:
            show(f"{name:<16} {says}" for name, says in rows)
        return EXIT_FINE
    if args.name is None:
        made.error("NAME is missing")
    sides = None if args.sides is None else [side.strip() for side in args.sides.split(",")]
    try:
        comes = [read_comes(each) for each in args.comes]
    except ComesError as error:
        raise CommandError(f"--comes: {error}") from error
    try:
        unknown = comes_problem(args.starter, comes)
        if unknown is not None:
            raise unknown
        wish = Wish(args.name, titled(args.name, args.title), args.starter, sides, comes=comes)
        folder = make_own(builds_folder(args.builds), wish)
    except StarterNotWrittenError as error:
        raise CommandError(str(error), EXIT_NOT_WRITTEN) from error
    except StarterError as error:
        raise CommandError(str(error), problems=error.problems, near=error.near) from error
    if args.json:
        print_json({"build": str(folder)})
    else:
        show([f"made {folder}", f"next: planner check {folder}"])
    return EXIT_FINE
