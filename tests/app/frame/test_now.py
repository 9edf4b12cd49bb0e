"""``planner --now TIME``: the app's clock begins there and runs on."""

from __future__ import annotations

import io
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planner.app import clock_from
from planner.commands import main
from tests.support.commandline import run


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_the_clock_begins_there_and_runs_on() -> None:
    machine = [1000.0]
    clock = clock_from(5000.0, lambda: machine[0])
    assert clock() == 5000.0
    machine[0] += 90
    assert clock() == 5090.0
    assert clock_from(None, lambda: machine[0])() == 1090.0


@pytest.mark.parametrize("typed", [["--now", "2027-02-13T19:30Z"], ["--now=2027-02-13T19:30Z"]])
def test_the_app_is_opened_at_that_time(typed: list[str], brackets: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[float | None] = []
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(sys, "stdout", Terminal())

    def opens(_: Path, __: Path | None, now: float | None) -> int:
        seen.append(now)
        return 0

    assert main([*typed, str(brackets)], opens) == 0
    assert main([str(brackets)], opens) == 0
    assert seen == [datetime(2027, 2, 13, 19, 30, tzinfo=UTC).timestamp(), None]


@pytest.mark.parametrize("typed", [["--now", "soon"], ["--now"], ["--now="]])
def test_what_is_not_a_time_is_refused_in_a_line(typed: list[str]) -> None:
    code, out, err = run(*typed)
    assert (code, out) == (2, "")
    assert err.startswith("planner: --now: ") and err.count("\n") == 1
