"""Programs that tick as fast as they can, for the tests that kill them or let them crowd one build.

``kill FOLDER DEVICE``: for every line on stdin a child is forked that ticks until it is killed. It writes ``n op did``
on the pipe after each tick that was acknowledged, and this program writes ``dead`` when it is gone.

``crowd FOLDER DEVICE COUNT``: waits for a line on stdin, records COUNT ticks, prints the numbers and, after a second
line, a digest of what it sees of all devices.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from pathlib import Path

from planner.files.log.ticklog import TickLog
from planner.plan.ticks import AGAIN, DONE
from planner.session.onebuild import OneBuild, Ticked

OUT = 1


def tell(text: str) -> None:
    """One line on the pipe, at once and whole."""
    os.write(OUT, text.encode() + b"\n")


def tick_until_killed(build: OneBuild) -> None:
    """Tick in planned order; when all is done, everything once more."""
    names = [op.name for op in build.plan.operations]
    index = 0
    while True:
        following = build.live.next()
        name, did = (following.name, DONE) if following is not None else (names[index % len(names)], AGAIN)
        index += 1
        remarks = [{"did": "note", "text": "x" * (index * 37 % 9000)}] if index % 9 == 0 else []
        answer = build.tick(name, did, remarks=remarks, anyway=True)
        assert isinstance(answer, Ticked), answer
        tell(f"{build.log.events[-1].n} {name} {answer.did}")


def kill(folder: Path, device: str) -> None:
    """Fork children to be killed."""
    build = OneBuild(folder, device)
    for _ in sys.stdin:
        build.refresh()
        child = os.fork()
        if child == 0:
            tell(f"pid {os.getpid()}")
            try:
                tick_until_killed(build)
            except BaseException as error:
                tell(f"failed {error!r}")
            os._exit(1)
        os.waitpid(child, 0)
        tell("dead")


def digest(log: TickLog) -> str:
    """A digest of all merged records."""
    text = json.dumps([event.raw for event in log.events], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def crowd(folder: Path, device: str, count: int) -> None:
    """Record ticks among others."""
    log = TickLog(folder, device)
    tell("here")
    sys.stdin.readline()
    numbers: list[int] = []
    for index in range(count):
        with log.writing():
            (event,) = log.append([{"did": "done", "op": f"step-{index}", "pid": os.getpid()}], 1_800_000_000)
        numbers.append(event.n)
    tell(json.dumps(numbers))
    sys.stdin.readline()
    log.refresh()
    tell(digest(log))


def crowd_build(folder: Path, device: str, count: int) -> None:
    """The same through the whole build, refused ticks included."""
    build = OneBuild(folder, device)
    tell("here")
    sys.stdin.readline()
    numbers: list[int] = []
    while len(numbers) < count:
        following = build.live.next()
        assert following is not None
        answer = build.tick(following.name, anyway=True)
        if isinstance(answer, Ticked):  # somebody else was not faster
            numbers.append(build.log.events[-1].n)
    tell(json.dumps(numbers))
    sys.stdin.readline()
    build.refresh()
    tell(digest(build.log))


if __name__ == "__main__":
    what, where, name, *rest = sys.argv[1:]
    if what == "kill":
        kill(Path(where), name)
    else:
        {"crowd": crowd, "crowd-build": crowd_build}[what](Path(where), name, int(rest[0]))
