"""The Textual screens: the only package that imports textual."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.app.shell import PlannerApp


def make(builds_folder: Path, build: Path | None = None, clock: Callable[[], float] | None = None) -> PlannerApp:
    """The app with all its screens, on the folder of builds or straight on one build; not running yet."""
    import time

    from planner.app.screens import SCREENS
    from planner.app.shell import PlannerApp

    return PlannerApp(builds_folder, build, SCREENS, clock or time.time)


def clock_from(now: float | None, clock: Callable[[], float]) -> Callable[[], float]:
    """A clock that stands at ``now`` (UTC seconds) at this moment and runs on; None: the clock itself."""
    if now is None:
        return clock
    ahead = now - clock()
    return lambda: clock() + ahead


def run(builds_folder: Path, build: Path | None, now: float | None = None) -> int:
    """Open the app on the folder of builds, or straight on one build; the exit code, which is 2 after a fault.

    ``now``: take this as the present time, in UTC seconds, and go on from there.
    """
    import sys
    import time

    from planner.files.yaml.collecting import rest

    rest()  # until the first picture stands: modules are made and kept, there is nothing to collect
    app = make(builds_folder, build, clock_from(now, time.time))
    app.run()
    if app.ended_by:
        print(f"planner: {app.ended_by}. What was ticked and saved is on the disk", file=sys.stderr)
        return 2
    return app.return_code or 0
