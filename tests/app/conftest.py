"""A home of its own for every test, and builds that it may spoil."""

from __future__ import annotations

import asyncio
import inspect
from pathlib import Path

import pytest

from tests.app.support import BRACKETS, FOUR, write


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """Run tests that are coroutines; a plug-in for so little is not worth a dependency."""
    if not inspect.iscoroutinefunction(pyfuncitem.obj):
        return None
    wanted = inspect.signature(pyfuncitem.obj).parameters
    asyncio.run(pyfuncitem.obj(**{name: pyfuncitem.funcargs[name] for name in wanted}))
    return True


@pytest.fixture(autouse=True)
def _own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path_factory.mktemp("home")
    for name, folder in (
        ("HOME", home),
        ("XDG_CONFIG_HOME", home / "config"),
        ("XDG_STATE_HOME", home / "state"),
        ("XDG_DATA_HOME", home / "data"),
    ):
        monkeypatch.setenv(name, str(folder))
    monkeypatch.setenv("PLANNER_DEVICE", "shop")
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    for name in ("NO_COLOR", "PLANNER_PALETTE", "PLANNER_BUILDS"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def brackets(tmp_path: Path) -> Path:
    """Two sides, rounds, a wait, two traps, a notice, a step of some sides, rework."""
    return write(tmp_path / "builds", "brackets", BRACKETS)


@pytest.fixture
def four(tmp_path: Path) -> Path:
    """Four sides."""
    return write(tmp_path / "builds", "four", FOUR)
