"""The Textual screens: the only package that imports textual."""

from __future__ import annotations

from pathlib import Path


def run(builds_folder: Path, build: Path | None) -> None:
    """Open the app on the folder of builds, or straight on one build."""
    import gc

    gc.disable()  # until the first picture stands: modules are made and kept, there is nothing to collect
    from planner.app.shell import PlannerApp

    PlannerApp(builds_folder, build).run()
