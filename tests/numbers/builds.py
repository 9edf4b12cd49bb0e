"""Small builds with numbers, written as a person would write them, and the command line as a function."""

from __future__ import annotations

import contextlib
import io
import json
from pathlib import Path
from typing import Any

from planner.commands import main

BUILD = """format: 1
build: Narrowing the Plover's housing
sides: [driver, passenger]
show: {lengths: inch 1/32}
"""

EPISODE = """format: 1
episode: 1
title: Lines
stages:
  - stage: Mark
    steps:
      - step: mark
        do: Mark the first line {narrow.first-line} from the plate face
"""

NUMBERS = """format: 1
fit:
  lip: 30 in ± 1/16          # weight on the wheels
  frame: 18 in ± 1/16
  section: 8 1/2 in
  offset: 0 in
  outer-clearance: 1 in
  inner-clearance: 1 in
narrow:
  flange-to-flange: 60 1/8 in ± 1/32
  pinion-to-flange: {driver: 31 1/16 in ± 1/32, passenger: 29 1/16 in ± 1/32}
  flange-to-plate: 3 in ± 1/64
  plate-to-plate: 54 1/8 in ± 1/32
  first-line: {driver: 4 in, passenger: 3 1/2 in}
  kerf: 1/8 in
  gap: 1/16 in
"""


def write(folder: Path, numbers: str | None = NUMBERS, episode: str = EPISODE, build: str = BUILD) -> Path:
    """A build folder."""
    (folder / "episodes").mkdir(parents=True, exist_ok=True)
    (folder / "build.yaml").write_text(build, encoding="utf-8")
    (folder / "episodes" / "01-lines.yaml").write_text(episode, encoding="utf-8")
    if numbers is not None:
        (folder / "numbers.yaml").write_text(numbers, encoding="utf-8")
    return folder


def run(*argv: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([*argv])
    return code, out.getvalue(), err.getvalue()


def run_json(*argv: str) -> tuple[int, Any]:
    """Exit code and the JSON object."""
    code, out, _ = run(*argv, "--json")
    found = json.loads(out)
    assert found["format"] == 1
    return code, found
