"""What the tests of the app share: small builds as a person writes them, and what their logs hold."""

from __future__ import annotations

from pathlib import Path

from planner.files.log.ticklog import TickLog
from tests.support.builds import write_files

ROOT = Path(__file__).parent.parent.parent
BRACKETS = {
    "build.yaml": """\
format: 1
build: Shock brackets
sides: [driver, passenger]
film: driver
shop: {timezone: UTC}
conditions:
  tube.smooth: {on: side, means: nothing stands proud of the tube where the jig bears}
  jig.true: {on: job, means: both halves of the jig in line under a straight edge}
  bracket.clamped: {on: side, means: the bracket is held in the jig}
  bracket.tacked: {on: side, means: four tacks hold the bracket}
  spare.washer: {on: job, means: a washer nobody asks for}
start: [tube.smooth]
""",
    "episodes/01-on.yaml": """\
format: 1
episode: 1
title: Brackets on
stages:
  - stage: Jig
    steps:
      - step: set-jig
        do: Set the jig under a straight edge
        sides: once
        gives: [jig.true]
        time: 10 min
        film: none
      - step: clamp
        do: Clamp the bracket, marks matched
        needs: [tube.smooth@all, jig.true]
        gives: [bracket.clamped]
        cautions: [Keep fingers out of the clamp.]
        shots: [The marks from above]
        say: ["Marks first, muscle later"]
        time: 5 min
      - step: tacks
        do: Tack in opposite pairs
        rounds: 2
        needs: [bracket.clamped]
        gives: [bracket.tacked]
        wait: 3 min
        one-way: true
        cautions: ["Eyes, hands and neck covered."]
  - stage: Round
    steps:
      - step: weld
        do: Weld all round
        needs: [bracket.tacked]
        spoils: [tube.smooth]
        one-way: true
      - step: roll
        do: Roll the tube over
        sides: once
        needs: [tube.smooth]
        note: Two people.
        hands: 2
      - step: dress
        do: Dress the weld flush
        gives: [tube.smooth]
  - stage: Last look
    steps:
      - step: photo
        do: Photograph the bracket
        sides: [driver]
      - step: grind-back
        do: Grind a bad tack out
        spoils: [bracket.tacked]
        rework: true
""",
}

FOUR = {
    "build.yaml": """\
format: 1
build: Four hubs
sides: [front-left, front-right, rear-left, rear-right]
conditions:
  hub.clean: {on: side, means: the face of the hub is clean}
""",
    "episodes/01-hubs.yaml": """\
format: 1
episode: 1
title: Hubs
stages:
  - stage: Faces
    steps:
      - step: clean
        do: Clean the face of the hub
        gives: [hub.clean]
      - step: seat
        do: Seat the disc and turn the nuts in turn
        rounds: 3
        needs: [hub.clean]
""",
}


def write(home: Path, name: str, files: dict[str, str]) -> Path:
    """A build folder with these files."""
    return write_files(home / name, files)


def logged(folder: Path) -> list[tuple[str, str | None]]:
    """What the logs of a build hold: what was done, and with which operation."""
    return [(event.did, event.op) for event in TickLog(folder).events]
