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


def run(builds_folder: Path, build: Path | None) -> None:
    """Open the app on the folder of builds, or straight on one build."""
    import gc

    gc.disable()  # until the first picture stands: modules are made and kept, there is nothing to collect
    make(builds_folder, build).run()
