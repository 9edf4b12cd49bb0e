"""``python -m planner`` and the console command: the one place that knows both the commands and the app."""

from __future__ import annotations

import sys
from pathlib import Path


def main() -> None:
    """Run the command line and exit with its code."""
    from planner.commands import main as run

    sys.exit(run(sys.argv[1:], _open_app))


def _open_app(builds: Path, build: Path | None, now: float | None) -> int:
    from planner.app import run

    return run(builds, build, now)


if __name__ == "__main__":
    main()
