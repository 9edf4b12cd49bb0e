"""Ctrl-C while something is looked for: the search ends with the best so far; a second Ctrl-C ends the command."""

from __future__ import annotations

import signal
import threading
from types import FrameType, TracebackType
from typing import Any


class Stopping:
    """Within it Ctrl-C is noted and no more; call it to learn whether it came."""

    def __init__(self) -> None:
        self.asked = False
        self._before: Any = None

    def __call__(self) -> bool:
        return self.asked

    def _note(self, number: int, frame: FrameType | None) -> None:
        if self.asked:
            raise KeyboardInterrupt
        self.asked = True

    def __enter__(self) -> Stopping:
        # only the main thread may do this; where Ctrl-C is ignored (a job in the background), it stays so
        if threading.current_thread() is threading.main_thread():
            before = signal.getsignal(signal.SIGINT)
            if before is not signal.SIG_IGN:
                self._before = before
                signal.signal(signal.SIGINT, self._note)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)
