"""The app in a terminal that may fail it: faults, signals, foreign bytes, half letters. Nothing about builds."""

from __future__ import annotations

import inspect
import os
import threading
from typing import Any

from rich.console import Console
from textual.app import App
from textual.driver import Driver
from textual.worker import Worker

PATIENCE = 3.0  # seconds for leaving in order, once the terminal or the system told us to go


class SturdyApp(App[None], inherit_bindings=False):
    """An app that shows nobody a traceback, and gives the terminal back whole."""

    def __init__(self) -> None:
        super().__init__()
        self.fault = ""  # the latest fault, in one line
        self.ended_by = ""  # the fault that ended the app
        if not os.environ.get("PLANNER_DEBUG"):
            self.error_console = Console(quiet=True)  # else the library prints the traceback there

    def tell(self, text: str, how: str = "note") -> None:
        """Say in one line what happened."""

    # Faults

    def went_wrong(self, error: BaseException) -> None:
        """Something beside the screen failed: it is kept and said, and the app goes on."""
        from planner.files.machine.faults import keep_fault

        self.fault = keep_fault(error)
        self.tell(self.fault, "wrong")

    def _handle_exception(self, error: Exception) -> None:
        # The library has no public hook for an exception that ends the app.
        from planner.files.machine.faults import keep_fault

        self.fault = self.ended_by = self.ended_by or keep_fault(error)
        super()._handle_exception(error)

    def run_worker(self, work: Any, *args: Any, **kwargs: Any) -> Worker[Any]:
        """The library's own, but a fault in work that awaits does not end the app."""
        return super().run_worker(self._guarded(work) if inspect.iscoroutine(work) else work, *args, **kwargs)

    async def _guarded(self, work: Any) -> Any:
        try:
            return await work
        except Exception as error:  # whatever it is, the work of the person goes on
            self.went_wrong(error)

    # The terminal

    def get_driver_class(self) -> type[Driver]:
        """The library's driver, with a reader that no byte can end."""
        found = super().get_driver_class()
        if found.__name__ != "LinuxDriver":
            return found
        from planner.app.frame.reader import Reader

        return Reader

    def kept_out(self, byte: int) -> None:
        """A byte that is no letter was typed or pasted."""
        says = f"the byte 0x{byte:02X} is not UTF-8 and was kept out: set the terminal to UTF-8"
        self.set_timer(0.25, lambda: self.tell(says, "wrong"))  # once what was pasted with it is shown

    def leave_at_once(self, number: int) -> None:
        """The system or the terminal tells us to go: everything is on the disk, nothing is asked."""
        self.exit(return_code=128 + number)
        # A terminal that is gone may take no more writing, and the library would wait for it for ever.
        last = threading.Timer(PATIENCE, os._exit, (128 + number,))
        last.daemon = True
        last.start()

    def copy_to_clipboard(self, text: str) -> None:
        """Copy; half a pair of surrogates is no letter and cannot leave the program."""
        super().copy_to_clipboard(text.encode("utf-8", "replace").decode("utf-8"))
