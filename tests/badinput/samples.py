"""A build as a person writes one, with nearly every key in it, and small ones to spoil."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tests.support.builds import write_files

JOB = """\
# Two brackets for a bench
format: 1
build: Bench brackets
sides: [near, far]
film: near
show: {lengths: inch 1/32, temperature: C}
shop:
  timezone: Europe/Lisbon
  hours: {wed: "19:00-22:00", sat: "08:00-12:30 14:00-18:00"}
  desk: {sun: "20:00-22:00"}
conditions:
  bracket.flat:   {on: side, means: no light under a straight edge}
  bracket.marked: {on: side, means: centre lines scribed}
  bench.level:    {on: job, means: bubble in the middle both ways}
  camera.ready:   {on: job, means: "card and battery in, lens clean"}
start: [bracket.flat, camera.ready]
pieces:
  bracket: {in: bench}
  gusset: {in: bracket}
kinds:
  level: {means: Level it up, time: 10 min, cautions: [Mind your fingers.]}
  stitch: null
on-camera: {needs: [camera.ready]}
"""

FIRST = """\
format: 1
episode: 1
title: "Level, mark, drill"
film: near
publish: 2027-02-13 17:00
runtime: 18 min
edit: 4 h
refers-to: [2, the bench build]
promises: [next time we weld]
keeps: []
stages:
  - stage: Lines
    pace: step-first
    first: far
    film: all
    steps:
      - step: level-bench
        do: Level the bench
        sides: once
        kind: level
        gives: [bench.level]
        where: shop
        hands: 2
      - step: mark
        do: Scribe the centre lines   # both faces
        kind: mark
        piece: bracket
        needs: [bench.level, bracket.flat@all]
        gives: [bracket.marked]
        time: 20 min
        say: |
          Two lines,
          one on each face.
        shots: [close up, wide]
        cautions: [Scriber points are sharp.]
        note: see the drawing
      - {step: drill, do: Drill the holes, kind: drill, piece: bracket, without: [], first: near}
  - stage: Talk
    steps:
      - {step: talk, do: What comes next, sides: [near], why: said once is enough, where: desk, film: none}
"""

SECOND = """\
format: 1
episode: 2
title: Together
stages:
  - stage: Tacks
    pace: side-first
    steps:
      - {step: fit, do: Fit it up, kind: fit-up, piece: gusset, after: [mark, drill@own], setup: in-vice}
      - {step: tack, do: Tack it, kind: tack, piece: gusset, rounds: 4, turns: alternate, wait: 3 min, time: 90 s}
  - stage: Welds
    rounds: 2
    steps:
      - {step: weld, do: Weld a side, kind: weld, piece: gusset, one-way: true, turns: [far, near]}
      - {step: cool, do: Let it cool, kind: cool, piece: gusset, wait: 1 h 30 min}
      - {step: flat-again, do: Grind it flat, rework: true, gives: [bracket.flat]}
  - stage: Done
    steps:
      - {step: sweep, do: Sweep up, sides: once}
      - {step: wipe, do: Wipe down}
    sequence: [wipe@near, flat-again@far, wipe@far, sweep]
"""

NUMBERS = "format: 1\n"

FULL: Mapping[str, str] = {
    "build.yaml": JOB,
    "episodes/01-lines.yaml": FIRST,
    "episodes/02-together.yaml": SECOND,
    "numbers.yaml": NUMBERS,
}

SMALL_JOB = """\
format: 1
build: Trial
sides: [near, far]
conditions:
  a.flat: {on: side, means: flat}
  a.true: {on: job, means: true to the drawing}
"""

SMALL_EPISODE = """\
format: 1
episode: 1
title: Trial
stages:
  - stage: One
    steps:
      - step: saw
        do: Saw it
"""

SMALL: Mapping[str, str] = {"build.yaml": SMALL_JOB, "episodes/01-trial.yaml": SMALL_EPISODE}


def write(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Write the files of a build, as they are."""
    return write_files(folder, files)
