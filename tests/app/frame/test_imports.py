"""Start-up is paid by everyone: what the first screen does not need is not imported for it."""

from __future__ import annotations

import subprocess
import sys

from tests.app.support import ROOT


def loaded_after(code: str) -> set[str]:
    """The modules that are there once a fresh interpreter has run some code."""
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    return set(done.stdout.split())


def test_the_package_by_itself_costs_nothing() -> None:
    assert not {"textual", "rich", "yaml"} & loaded_after("import planner.app")


def test_the_first_screen_needs_no_plan() -> None:
    code = "from planner.app.screens import MAKERS\nMAKERS['builds']()"
    loaded = loaded_after(code)
    assert "textual" in loaded
    heavy = {
        "yaml",
        "pendulum",
        "planner.session.onebuild",
        "planner.plan.expand",
        "planner.files.build.reading",
        "planner.app.camera.screen",
        "planner.app.plan.screen",
        "planner.app.traps.screen",
        "planner.app.frame.help",
        "planner.app.frame.ask",
        "planner.app.frame.choose",
        "planner.numbers.registry",
    }
    assert heavy & loaded == set()


def test_the_app_never_loads_the_calendar_library() -> None:
    code = "from planner.app.screens import MAKERS\nfor make in MAKERS.values(): make()"
    assert "pendulum" not in loaded_after(code)


def test_the_plan_screen_needs_no_search() -> None:
    """Orders, ways back and repairs are looked for later, if at all."""
    code = "import planner.session.opened\nfrom planner.app.screens import MAKERS\nMAKERS['plan']()"
    loaded = loaded_after(code)
    assert "planner.session.onebuild" in loaded
    searches = ("planner.plan.orders", "planner.plan.repairs", "planner.plan.trial", "planner.session.orders")
    assert [each for each in loaded if each.startswith(searches)] == []
