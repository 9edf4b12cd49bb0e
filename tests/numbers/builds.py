"""Small builds with numbers, written as a person would write them, and the command line as a function."""

from __future__ import annotations

from pathlib import Path

from tests.support.builds import write_files

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
    files = {"build.yaml": build, "episodes/01-lines.yaml": episode}
    if numbers is not None:
        files["numbers.yaml"] = numbers
    return write_files(folder, files)
