"""``planner recover``: the shortest way back to a good order from what was really ticked, with rework put in."""

from __future__ import annotations

from collections.abc import Sequence

from planner.commands.order import run_search

_EXAMPLE = """  planner recover dunlin-pickup
  planner recover dunlin-pickup --all --json

As little rework as there can be, each with the finding it is put in for; then the fewest set-up changes, then the
fewest pairs the other way round than written. Exit code 1 where no step brings the work back."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    says = "Find the shortest way back from what was really ticked, with rework put in."
    return run_search("recover", says, _EXAMPLE, argv, rework=True)
