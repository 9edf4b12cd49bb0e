"""In a real terminal: foreign bytes, signals and faults leave it whole, and nobody sees a traceback."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from planner.app.frame.help import Actions
from planner.files.machine.faults import keep_fault
from tests.support.screens import opened, screen_text, settled

pty = pytest.importorskip("pty")
termios = pytest.importorskip("termios")

START = "import sys; from planner.__main__ import main; {}; main()"
WAIT = 60.0  # seconds until a test gives up; nothing is measured with it


class Terminal:
    """The app as a child with a terminal of its own."""

    def __init__(self, pid: int, fd: int) -> None:
        self.pid, self.fd = pid, fd
        self.seen = b""

    def until(self, marker: bytes) -> None:
        """Read what it draws until that is there."""
        end = time.monotonic() + WAIT
        while marker not in self.seen:
            assert time.monotonic() < end, self.seen[-2000:]
            if select.select([self.fd], [], [], 0.2)[0]:
                try:
                    self.seen += os.read(self.fd, 65536)
                except OSError:
                    assert marker in self.seen, self.seen[-2000:]

    def type(self, keys: bytes) -> None:
        """Press keys."""
        os.write(self.fd, keys)

    def ended(self) -> int:
        """Read on until it ends; its exit code."""
        end = time.monotonic() + WAIT
        while True:
            assert time.monotonic() < end, self.seen[-2000:]
            if select.select([self.fd], [], [], 0.1)[0]:
                try:
                    self.seen += os.read(self.fd, 65536)
                except OSError:  # nobody is left on the other side
                    return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                while select.select([self.fd], [], [], 0.1)[0]:
                    try:
                        self.seen += os.read(self.fd, 65536)
                    except OSError:
                        break
                return os.waitstatus_to_exitcode(status)


@contextmanager
def terminal(build: Path, before: str = "pass") -> Iterator[Terminal]:
    """The app on a build in a terminal; ``before`` is run first."""
    pid, fd = pty.fork()
    if pid == 0:
        os.environ.update(TERM="xterm-256color", COLUMNS="80", LINES="24", PYTHONPATH=str(Path.cwd()))
        os.environ.pop("PLANNER_DEBUG", None)
        os.execv(sys.executable, [sys.executable, "-c", START.format(before), str(build)])
    try:
        yield Terminal(pid, fd)
    finally:
        os.close(fd)
        try:
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
        except (ProcessLookupError, ChildProcessError):
            pass


def test_a_byte_that_is_no_letter_is_kept_out_and_said(brackets: Path) -> None:
    with terminal(brackets) as screen:
        screen.until(b"brackets")
        screen.type(b"\xff")
        screen.until(b"0xFF")
        screen.type(b"\x1b[200~caf\xe9\x1b[201~")  # pasted in another encoding
        screen.until(b"0xE9")
        os.kill(screen.pid, signal.SIGTERM)
        assert screen.ended() == 128 + signal.SIGTERM
        assert b"Traceback" not in screen.seen


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_gives_the_terminal_back_whole(brackets: Path, number: signal.Signals) -> None:
    with terminal(brackets) as screen:
        before = termios.tcgetattr(screen.fd)
        screen.until(b"Shock brackets")
        assert termios.tcgetattr(screen.fd)[3] != before[3]
        os.kill(screen.pid, number)
        screen.until(b"\x1b[?1049l")
        screen.until(b"\x1b[?25h")
        assert termios.tcgetattr(screen.fd)[3] == before[3]
        assert screen.ended() == 128 + number
        assert b"Traceback" not in screen.seen


def test_a_fault_is_kept_and_said_in_one_line(brackets: Path, tmp_path: Path) -> None:
    breaks = "import planner.app.shell as s; s.PlannerApp.second = lambda self: {}['no such thing']"
    with terminal(brackets, breaks) as screen:
        code = screen.ended()
        assert code == 2
        tail = screen.seen.rpartition(b"\x1b[?1049l")[2]
        assert b"a fault of the planner itself (KeyError: 'no such thing')" in tail
        assert b"Traceback" not in screen.seen
    kept = list((Path(os.environ["XDG_STATE_HOME"]) / "planner" / "faults").iterdir())
    assert len(kept) == 1
    assert "KeyError" in kept[0].read_text(encoding="utf-8")


def test_a_fault_says_our_own_line_last_and_files_are_few() -> None:
    says = ""
    for _ in range(25):
        try:
            Path("\0").stat()
        except ValueError as error:
            says = keep_fault(error)
    assert says.startswith("a fault of the planner itself (ValueError: ")
    assert len(list((Path(os.environ["XDG_STATE_HOME"]) / "planner" / "faults").iterdir())) == 20


async def test_a_fault_beside_the_screen_does_not_end_the_app(brackets: Path) -> None:
    def fails() -> None:
        raise ValueError("beside")

    async with opened(brackets) as (app, pilot):
        app.beside(fails, lambda _: None)
        await settled(app, pilot)
        assert "ValueError: beside" in " ".join(screen_text(app).split())
        await pilot.press("c")
        await settled(app, pilot)
        assert app.page is not None
        assert app.page.TITLE_WORD == "camera"
        app.fault = ""  # it was meant


async def test_half_a_letter_goes_to_the_clipboard_as_a_question_mark(brackets: Path) -> None:
    async with opened(brackets) as (app, _):
        app.copy_to_clipboard("cut \ud83d here")
        assert app.clipboard == "cut ? here"


@pytest.mark.parametrize("size", [(40, 4), (20, 2), (1, 1)])
async def test_every_screen_in_a_window_that_is_far_too_small(brackets: Path, size: tuple[int, int]) -> None:
    async with opened(brackets, size=size) as (app, pilot):
        await _everywhere(app, pilot)


async def _everywhere(app: Any, pilot: Any) -> None:
    for screen in ("plan", "traps", "camera", "write", "numbers", "problems", "builds"):
        app.go(screen)
        await settled(app, pilot)
        await pilot.press("down", "question_mark")
        await pilot.pause()
        await pilot.press("escape", "ctrl+p")
        await pilot.pause()
        assert isinstance(app.screen, Actions)
        await pilot.press("g", "o", "down", "escape")
        await settled(app, pilot)
