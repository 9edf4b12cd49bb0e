"""``planner edit``: markers and chapters of a filmed episode, for the edit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, CommandError, print_json, say, show
from planner.commands.places import open_build, parser
from planner.commands.writing import put, there

_EXAMPLE = """  planner edit dunlin-pickup 5 --to held-by-six-tacks.otio
  planner edit dunlin-pickup 5 --to chapters.vtt

The ending says what is written: .otio a timeline, .edl an edit decision list, .vtt and .txt chapters, .csv a table. A
slate ties a clip to the clock: planner tick BUILD OP --slate "CLIP TIMECODE RATE". What cannot be placed is named.
Some readers of edit decision lists leave markers with drop-frame labels aside; .otio and .csv carry every rate."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("edit", "Write markers and chapters of an episode from its ticks and slates.", _EXAMPLE)
    made.add_argument("episode", type=int, metavar="EPISODE", help="the number of the episode")
    made.add_argument("--to", metavar="FILE", required=True, help="where to write; its ending says what")
    made.add_argument("--replace", action="store_true", help="write over a file that is there")
    args = made.parse_args(argv)

    from planner.files.log.line import iso
    from planner.paper.cutfiles import WRITERS, CutError
    from planner.paper.rushes import rushes_of

    path = Path(args.to)
    writer = WRITERS.get(path.suffix.lower())
    if writer is None:
        raise CommandError(f"--to: {path.name} must end in one of {', '.join(WRITERS)}", path=args.to)
    build = open_build(args)
    episodes = {each.number: each for each in build.plan.build.episodes}
    if args.episode not in episodes:
        known = ", ".join(map(str, episodes))
        raise CommandError(f"there is no episode {args.episode}; the build has {known}", path=str(build.folder))
    rushes = rushes_of(build.plan, build.ticks, build.log.events, args.episode)
    for lost in rushes.lost:
        say(f"not placed: {lost.what} at {iso(lost.at)}: {lost.why}")
    if not rushes.marks:
        why = "nothing of it is ticked" if not rushes.lost else "no tick of it lies in a clip"
        raise CommandError(f"episode {args.episode} has nothing to mark: {why}; nothing was written", path=args.to)
    try:
        body = writer(episodes[args.episode].title, rushes)
    except CutError as error:
        raise CommandError(f"{error}; nothing was written", path=args.to) from error
    before = there(path, "--to")
    if before is not None and not args.replace:
        raise CommandError(f"{path} is there already; --replace writes over it", EXIT_NOT_WRITTEN, path=args.to)
    put(path, before, body.encode(), "--to")
    if path.suffix.lower() == ".edl" and rushes.clips[0].rate.drop:
        say("notice: the markers carry drop-frame labels; a reader without them takes the clips and leaves the markers")
    answer = {"file": str(path), "clips": len(rushes.clips), "marks": len(rushes.marks)}
    if args.json:
        lost_rows = [{"what": lost.what, "why": lost.why} for lost in rushes.lost]
        print_json({**answer, "not_placed": lost_rows})
    else:
        show(f"{path}: {len(rushes.marks)} markers in {len(rushes.clips)} clips; {len(rushes.lost)} not placed")
    return EXIT_FINE
