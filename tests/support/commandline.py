"""The command line in this process, as a person would run it."""

from __future__ import annotations

import contextlib
import io
import json
from typing import Any

from planner.commands import main


def run(*argv: str) -> tuple[int, str, str]:
    """A command's exit code, stdout and stderr; argparse's way out (``--help``) is an exit code too."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            code = main(argv)
        except SystemExit as stop:
            code = stop.code if isinstance(stop.code, int) else 0
    return code, out.getvalue(), err.getvalue()


def run_json(*argv: str) -> tuple[int, Any]:
    """A command's exit code and the object it printed, which says the format it has."""
    code, out, err = run(*argv, "--json")
    assert out, err
    found = json.loads(out)
    assert found["format"] == 1
    return code, found
