"""What commands print, and how they fail: stdout is data, stderr is for people."""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from planner.files.yaml.tree import Problem

EXIT_FINE, EXIT_TRAPS, EXIT_UNUSABLE, EXIT_NOT_WRITTEN = 0, 1, 2, 3

# Everything that a terminal may obey, or that may turn text around: C0 but tab and line end, DEL, C1, and the
# marks that change the direction of writing.
_OBEYED = {
    **dict.fromkeys((*range(0x20), *range(0x7F, 0xA0)), "�"),
    **dict.fromkeys((0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)), "�"),
    0x2028: " ",
    0x2029: " ",
    0x09: " ",
    0x0A: " ",
}


def plain(text: str) -> str:
    """A text on one line, with nothing in it that a terminal obeys."""
    return text.translate(_OBEYED)


class CommandError(Exception):
    """The command cannot go on: one line for the person, an exit code, and problems if files caused it."""

    def __init__(
        self,
        message: str,
        code: int = EXIT_UNUSABLE,
        problems: Sequence[Problem] = (),
        near: str | None = None,
        path: str = "",
    ) -> None:
        super().__init__(message)
        self.message = message
        self.code = code
        self.problems = problems
        self.near = near
        self.path = path


def fail(error: CommandError, as_json: bool) -> int:
    """Say what went wrong: on stderr for people, on stdout for programs that asked for JSON."""
    rows = [
        {"path": p.path, "line": p.line, "column": p.column, "message": p.message, "near": p.near}
        for p in error.problems
    ] or [{"path": error.path, "line": None, "column": None, "message": error.message, "near": error.near}]
    if as_json:
        with contextlib.suppress(CommandError):  # one thing that went wrong is enough
            print_json({"problems": rows})
    for problem in error.problems:
        say(str(problem))
    if error.message:
        say(f"planner: {error.message}")
    return error.code


def print_json(value: Mapping[str, Any]) -> None:
    """One JSON object, with its format, in plain ASCII so that no terminal or pipe can spoil it."""
    _print([json.dumps({"format": 1, **value}, separators=(",", ":"), allow_nan=False)])


def show(lines: Iterable[str] | str) -> None:
    """Lines for people, on stdout."""
    _print([plain(lines)] if isinstance(lines, str) else [plain(line) for line in lines])


def say(line: str) -> None:
    """A message for people, on stderr."""
    try:
        print(plain(line), file=sys.stderr)
    except OSError:
        _mute(sys.stderr)


def _print(lines: Sequence[str]) -> None:
    """Lines on stdout, out of our hands before the command ends, so that what goes wrong with them is noticed."""
    try:
        for line in lines:
            print(line)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:  # `planner steps … | head`: nobody wants the rest
        _mute(sys.stdout)
    except OSError as error:
        _mute(sys.stdout)
        raise CommandError(f"the answer could not be written: {error.strerror or error}") from error


def flush() -> None:
    """Let go of what stdout still holds, wanted or not."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except OSError:
        _mute(sys.stdout)


def _mute(stream: TextIO) -> None:
    """Send what a stream still holds nowhere; else the interpreter fails on it again when it ends."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def wrap(text: str, indent: str = "  ", width: int = 100) -> list[str]:
    """A text in lines of at most width, each behind indent; long words stay whole."""
    lines: list[str] = []
    line = ""
    for word in plain(text).split():
        if line and len(indent) + len(line) + 1 + len(word) > width:
            lines.append(indent + line)
            line = word
        else:
            line = f"{line} {word}" if line else word
    return [*lines, indent + line] if line else lines
