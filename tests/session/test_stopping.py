"""Ctrl-C while a command looks for something: the best so far, and it is said."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import planner.session.calendar
import planner.session.orders
from planner.commands.stopping import Stopping
from tests.session.test_calendar import NOW, build
from tests.support.commandline import run, run_json


@pytest.fixture(autouse=True)
def heard() -> Iterator[None]:
    """Ctrl-C is heard, whoever runs the tests."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def struck(monkeypatch: pytest.MonkeyPatch, where: object, name: str, place: int) -> list[bool]:
    """Somebody strikes Ctrl-C as the search begins; whether its ``stop`` says so. ``place``: of stop."""
    real: Callable[..., Any] = getattr(where, name)
    told: list[bool] = []

    def with_it(*args: Any, **named: Any) -> Any:
        signal.raise_signal(signal.SIGINT)
        told.append(args[place]())
        return real(*args, **named)

    monkeypatch.setattr(where, name, with_it)
    return told


@pytest.mark.parametrize("command", ["order", "recover"])
def test_a_search_for_an_order_ends_with_the_best_so_far(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    told = struck(monkeypatch, planner.session.orders, "find_order", 1)
    folder = build(tmp_path)
    before = {path: path.read_bytes() for path in Path(folder).rglob("*.yaml")}
    code, out, err = run(command, folder, "--all", "--now", NOW)
    assert (code, told) == (0, [True])
    assert "A good order of build" in out
    assert "planner: stopped: this is the best so far" in err
    code, _, err = run(command, folder, "--all", "--write", "--now", NOW)
    assert code == 3
    assert "nothing was written" in err
    assert {path: path.read_bytes() for path in Path(folder).rglob("*.yaml")} == before
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_calendar_ends_with_the_best_so_far(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told = struck(monkeypatch, planner.session.calendar, "find_calendar", 3)
    code, out, err = run("calendar", build(tmp_path), "--now", NOW)
    assert (code, told) == (0, [True])
    assert "hang@left" in out
    assert "stopped: this is the best calendar so far" in err
    code, found = run_json("calendar", build(tmp_path), "--now", NOW)
    assert code == 0
    assert found["finish"]


def test_without_an_order_that_is_good_it_says_that_it_was_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planner.session.calendar._searched", lambda scope, stop: signal.raise_signal(signal.SIGINT))
    text = Path(build(tmp_path), "episodes/01-posts.yaml")
    text.write_text(text.read_text().replace("needs: [post.tacked", "spoils: [post.tacked], needs: [post.tacked@all"))
    code, out, err = run("calendar", str(tmp_path / "gate"), "--now", NOW)
    assert (code, out, len(err.splitlines())) == (1, "", 1)
    assert "stopped before a good order was found" in err


def test_a_second_time_it_ends_the_command_and_an_ignored_one_stays_ignored() -> None:
    with Stopping() as stop:
        assert not stop()
        signal.raise_signal(signal.SIGINT)
        assert stop()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with Stopping() as stop:
        signal.raise_signal(signal.SIGINT)
        assert not stop()
