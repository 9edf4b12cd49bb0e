"""A build to tick, and the command line run in process as a person would run it."""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from planner.files.log.ticklog import TickLog
from planner.session.onebuild import OneBuild
from tests.support.builds import write_files
from tests.support.commandline import run

JOB = """\
format: 1
build: Twin gate posts
sides: [left, right]
film: left
conditions:
  post.clean:   {on: side, means: bright metal where the hinges go}
  post.set:     {on: side, means: stands plumb in its socket}
  post.tacked:  {on: side, means: tacked all round}
  post.welded:  {on: side, means: welded all round}
  frame.square: {on: job,  means: both diagonals read the same}
"""

STAGES = """\
  - stage: Ready
    steps:
      - {step: brush, do: Brush the posts bright, gives: [post.clean]}
      - {step: set, do: Set the post and plumb it, needs: [post.clean], gives: [post.set]}
  - stage: Tacks
    steps:
      - {step: tacks, do: Tack in opposite pairs, needs: [post.set], gives: [post.tacked], rounds: 8, wait: 3 min}
      - {step: square, do: Measure both diagonals, sides: once, needs: [post.tacked@all], gives: [frame.square]}
  - stage: Welds
    steps:
      - {step: weld, do: Weld all round, needs: [post.tacked, post.clean], gives: [post.welded], one-way: true}
      - {step: wire, do: Wire-brush the joint bright again, rework: true, gives: [post.clean]}
"""


def write_build(folder: Path, stages: str = STAGES, job: str = JOB) -> Path:
    """A build folder of one episode, ``stages`` being the text under ``stages:``."""
    head = "format: 1\nepisode: 1\ntitle: Posts up\nstages:\n"
    return write_files(folder, {"build.yaml": job, "episodes/01-posts-up.yaml": head + stages})


class Said(NamedTuple):
    """What a command answered."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The object on stdout."""
        return json.loads(self.out)


@contextlib.contextmanager
def environment(**changes: str | None) -> Iterator[None]:
    """Environment variables for a while; None takes one away."""
    before = {name: os.environ.get(name) for name in changes}

    def put(values: dict[str, str | None]) -> None:
        for name, value in values.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value

    put(changes)
    try:
        yield
    finally:
        put(before)


def planner(*argv: str, device: str | None = "bench") -> Said:
    """Run a command in this process, on that device."""
    with environment(PLANNER_DEVICE=device):
        return Said(*run(*argv))


def tick(folder: Path, op: str, *options: str, device: str | None = "bench") -> Said:
    """``planner tick`` with its answer as JSON."""
    return planner("tick", str(folder), op, "--json", *options, device=device)


def ticked(folder: Path, *ops: str, device: str | None = "bench", at: str = "2027-02-13T10:{:02d}:00Z") -> None:
    """Tick these operations one after the other, five minutes apart, and see each accepted."""
    for index, op in enumerate(ops):
        hour, minute = divmod(index * 5, 60)
        when = at.format(minute).replace("T10", f"T{10 + hour}")
        said = tick(folder, op, "--now", when, device=device)
        assert said.code == 0, said


def steps(folder: Path, *options: str) -> dict[str, dict[str, Any]]:
    """``planner steps`` by operation."""
    said = planner("steps", str(folder), "--json", *options)
    assert said.code == 0, said
    return {row["op"]: row for row in said.json["operations"]}


def done(folder: Path) -> list[str]:
    """The operations that count as done, each as often as it was done, in their actual order."""
    return [entry.op for entry in OneBuild(folder).ticks.entries]


def log_lines(folder: Path, device: str = "bench") -> list[bytes]:
    """The lines of a device's file, without their ends."""
    data = (folder / "log" / f"{device}.jsonl").read_bytes()
    assert not data or data.endswith(b"\n")
    return data.split(b"\n")[:-1]


def append(folder: Path, device: str, records: Sequence[dict[str, Any]], at: float, now: float | None = None) -> None:
    """Write records as a device does."""
    log = TickLog(folder, device)
    with log.writing():
        log.append(records, at, at if now is None else now)
    log.close()
