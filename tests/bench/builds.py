"""Large sound builds for the benchmarks, as a person's files would be."""

from __future__ import annotations

from pathlib import Path

JOB = """\
format: 1
build: A large build
sides: [driver, passenger]
film: driver
conditions:
  job.ready: {on: job, means: tools laid out and the floor swept}
start: [job.ready]
pieces:
"""


def write_build(folder: Path, steps: int, files: int) -> list[Path]:
    """A build of that many steps in that many episodes, with no trap; the files written.

    Every fifth step bolts a piece up and a later one checks it, so that kinds, pieces and both sides are in play.
    """
    (folder / "episodes").mkdir(parents=True)
    per = steps // files
    conditions = ["conditions:", "  job.ready: {on: job, means: tools laid out and the floor swept}"]
    written = []
    for number in range(1, files + 1):
        lines = ["format: 1", f"episode: {number}", f"title: Part {number} of the job", "stages:"]
        for index in range(per):
            if index % 10 == 0:
                lines += [f"  - stage: Stage {index // 10 + 1} of part {number}", "    steps:"]
            this = (number - 1) * per + index
            lines += [f"      - step: step-{this}", f"        do: Work on bracket {this}, both faces, and look twice"]
            if this % 5 == 0:
                lines += ["        kind: mark", f"        piece: bracket-{this}", "        needs: [job.ready]"]
            elif this % 5 == 1:
                conditions.append(f"  bracket-{this}.done: {{on: side, means: bracket {this} is on}}")
                lines += ["        kind: bolt", f"        gives: [bracket-{this}.done]", "        time: 20 min"]
            elif this % 5 == 2:
                lines += [f"        needs: [bracket-{this - 1}.done@all, job.ready]", "        film: driver"]
            elif this % 5 == 3:
                lines += ["        kind: talk", "        sides: once", "        say: What comes next, and why"]
            else:
                lines += [f"        needs: [bracket-{this - 3}.done]", "        setup: on-stands"]
        path = folder / "episodes" / f"{number:02d}-part.yaml"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        written.append(path)
    job = folder / "build.yaml"
    head = JOB.partition("conditions:")[0] + "\n".join(conditions) + "\nstart: [job.ready]\n"
    job.write_text(head, encoding="utf-8")
    return [job, *written]
