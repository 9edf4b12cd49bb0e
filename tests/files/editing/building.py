"""A small build to edit: its texts, as a person wrote them."""

from __future__ import annotations

from pathlib import Path

from planner.files.disk.folders import read_texts
from tests.support.builds import write_files

JOB = """\
# The rig for the garden gate.
format: 1
build: Garden gate
sides: [left, right]
conditions:
  post.plumb: {on: side, means: the post stands plumb}   # by level, both ways
  rig.square: {on: job, means: the rig is square}
  arc.ready: {on: job, means: earth clamp on and gas open}

start: [arc.ready]
on-camera: {needs: [arc.ready]}
"""

ONE = """\
format: 1
episode: 1
title: Posts
refers-to: [2]
stages:
  - stage: Set the posts
    steps:
      # Mind the pipe.
      - step: dig
        do: Dig the hole
        time: 30 min   # in clay
      - step: plumb
        do: Set the post plumb
        gives: [post.plumb]
        after: [dig@own]
"""

TWO = """\
format: 1
episode: 2
title: "Hang it"
film: left
refers-to: [1, the first talk]
stages:
  - stage: Hinges
    steps:
      - step: tack-hinge
        do: Tack the hinge
        needs: [post.plumb@all, arc.ready]
        rounds: 2
        after:
          - plumb
          - dig@own
      - {step: finish, do: Finish the weld, needs: [post.plumb], spoils: [rig.square], after: [tack-hinge]}
  - stage: Latch
    sequence: [latch@left, latch@right, strike]
    steps:
      - step: latch
        do: Fit the latch
      - step: strike
        do: Fit the strike
        sides: once
"""


def written(folder: Path, **files: str) -> dict[str, str]:
    """The build on the disk, and its texts by path; ``files`` replace or add some."""
    bodies = {"build.yaml": JOB, "episodes/01-posts.yaml": ONE, "episodes/02-hang-it.yaml": TWO}
    names = {"job": "build.yaml", "one": "episodes/01-posts.yaml", "two": "episodes/02-hang-it.yaml"}
    bodies |= {names.get(name, f"{name}.yaml"): body for name, body in files.items()}
    return read_texts(write_files(folder, bodies))
