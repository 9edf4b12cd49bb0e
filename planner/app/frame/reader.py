"""The library's driver for Linux and macOS, made to outlive foreign bytes, faults of its reader, and signals."""

from __future__ import annotations

import asyncio
import codecs
import signal
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol, cast

from textual.drivers import linux_driver

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.app import App

_KEEP_OUT = "planner-keep-out"
_LEAVE = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)


class Owner(Protocol):
    """The app that a reader reads for: what it is told."""

    def call_later(self, callback: Callable[..., Any], *args: Any) -> bool:
        """Run something between two keys."""

    def kept_out(self, byte: int) -> None:
        """A byte that is no UTF-8 was left out."""

    def leave_at_once(self, number: int) -> None:
        """The system wants the program to end."""

    def went_wrong(self, error: Exception) -> None:
        """The reader failed, and goes on."""


class Reader(linux_driver.LinuxDriver):
    """Keeps out what is no UTF-8 and says so; goes on reading whatever happens."""

    def __init__(
        self, app: App[Any], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self.owner = cast("Owner", app)
        codecs.register_error(_KEEP_OUT, self._keep_out)
        # Its reader asks for a decoder by this name, which is strict and raises at the first foreign byte.
        vars(linux_driver)["getincrementaldecoder"] = _tolerant

    def _keep_out(self, error: UnicodeError) -> tuple[str, int]:
        if not isinstance(error, UnicodeDecodeError):
            raise error
        self.owner.call_later(self.owner.kept_out, error.object[error.start])
        return "", error.end

    def start_application_mode(self) -> None:
        """Take the terminal over, and know from now on how to give it back."""
        loop = asyncio.get_running_loop()
        for number in _LEAVE:
            loop.add_signal_handler(number, self.owner.leave_at_once, int(number))
        super().start_application_mode()  # type: ignore[no-untyped-call]  # the library says no types here

    def run_input_thread(self) -> None:
        """Read until the app ends."""
        while not self.exit_event.is_set():
            try:
                super().run_input_thread()
            except OSError:  # the terminal is gone
                self.owner.call_later(self.owner.leave_at_once, int(signal.SIGHUP))
                return
            except Exception as error:  # a sequence that the library's parser fails at
                self.owner.call_later(self.owner.went_wrong, error)


def _tolerant(encoding: str) -> Any:
    return partial(codecs.getincrementaldecoder(encoding), errors=_KEEP_OUT)
