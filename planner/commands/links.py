"""``planner links``: which operations may not change places, and why."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, print_json, say, show
from planner.commands.places import open_build, operation_named, parser

if TYPE_CHECKING:
    from planner.session.orders import Bound

_EXAMPLE = """  planner links dunlin-pickup
  planner links dunlin-pickup --op tacks#1@driver --json

Of what remains, as written where that is good, else in the best good order. Every order that keeps the links
is good."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser(
        "links", "Show what binds the operations that remain: the partial order behind a good order.", _EXAMPLE
    )
    made.add_argument("--op", metavar="OP", help="only the links of this operation")
    args = made.parse_args(argv)
    build = open_build(args)

    from planner.session.orders import bound

    if args.op is not None:
        operation_named(build, args.op)
    found = bound(build)
    rows = [row for row in rows_of(found) if args.op in (None, row["before"], row["after"])]
    if args.json:
        print_json({"links": rows})
    else:
        show([f"{row['before']}  before  {row['after']}   ({row['because']})" for row in rows])
        if not rows:
            show("nothing binds what remains" if args.op is None else f"nothing binds {args.op}")
    if not found.good:
        say("planner: what remains has no good order; these are the links of what does hold as written")
    elif found.found:
        say("planner: what remains fails as written; these are the links of the best good order")
    return EXIT_FINE


def rows_of(found: Bound) -> list[dict[str, Any]]:
    """Links as programs read them, ends among them."""
    order = found.order
    rows = [
        {"before": order[link.before].name, "after": order[link.after].name, "because": link.because}
        for link in found.links.links
    ]
    rows += [{"before": order[e.before].name, "after": e.end, "because": e.because} for e in found.links.ends]
    seen: dict[tuple[str, str, str], dict[str, Any]] = {}
    for row in rows:
        seen.setdefault((row["before"], row["after"], row["because"]), row)
    return list(seen.values())
