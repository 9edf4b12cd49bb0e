"""``planner where``: which folders and files are used."""

from __future__ import annotations

from collections.abc import Sequence

from planner.commands.out import EXIT_FINE, print_json, show
from planner.commands.places import builds_folder, find_build, parser

_EXAMPLE = """  planner where
  planner where dunlin-pickup --json"""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("where", "Show where builds, logs, kinds and starters are looked for.", _EXAMPLE, build=False)
    made.add_argument("build", metavar="BUILD", nargs="?", help="a folder, or a name under the builds folder")
    args = made.parse_args(argv)

    from planner.files.layout import KINDS_FILE, STARTERS
    from planner.files.machine.device import DeviceError, device_name, state_folder

    try:
        device = device_name()
    except DeviceError as error:
        device = f"none: {error}"
    rows: dict[str, str | None] = {
        "builds": str(builds_folder(args.builds)),
        "build": None,
        "log": None,
        "device": device,
        "state": str(state_folder()),
        "kinds": str(KINDS_FILE),
        "starters": str(STARTERS),
    }
    if args.build is not None:
        folder = find_build(args.build, args.builds)
        rows["build"] = str(folder)
        rows["log"] = str(folder / "log" / f"{device}.jsonl")
    if args.json:
        print_json(rows)
    else:
        show(f"{key:<9} {value}" for key, value in rows.items() if value is not None)
    return EXIT_FINE
