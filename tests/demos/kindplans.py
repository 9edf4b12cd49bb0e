"""Small builds for the tests of the kinds of work: written to disk, then judged by the real command."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tests.support.builds import write_files
from tests.support.commandline import run_json

TWO = ("driver", "passenger")


def plan_text(lines: str, pace: str = "step-first") -> str:
    """An episode out of lines of ``step kind piece``; a piece of ``-`` is none; more keys may follow."""
    out = ["format: 1", "episode: 1", "title: Shop day", "stages:", f"  - stage: All of it\n    pace: {pace}"]
    out.append("    steps:")
    for line in filter(None, (line.strip() for line in lines.strip().splitlines())):
        step, kind, piece, *more = line.split(maxsplit=3)
        named = "" if piece == "-" else f", piece: {piece}"
        extra = f", {more[0]}" if more else ""
        out.append(f"      - {{step: {step}, do: Do {step}, kind: {kind}{named}{extra}}}")
    return "\n".join(out) + "\n"


def write_build(
    folder: Path,
    lines: str,
    pieces: str = "{joint: {in: housing}, shaft: {in: housing}}",
    sides: Iterable[str] = TWO,
    pace: str = "step-first",
    job: str = "",
) -> Path:
    """A build folder with one stage; ``job`` is more text for build.yaml."""
    head = f"format: 1\nbuild: Shop day\nsides: [{', '.join(sides)}]\npieces: {pieces}\n{job}"
    return write_files(folder, {"build.yaml": head, "episodes/01-shop-day.yaml": plan_text(lines, pace)})


def told(command: str, folder: Path, *options: str) -> dict[str, Any]:
    """What a command prints as JSON about a build."""
    answer: dict[str, Any] = run_json(command, str(folder), *options)[1]
    return answer


def judged(folder: Path) -> dict[str, Any]:
    """What ``check`` says of a build."""
    return told("check", folder, "--no-repairs")


Row = tuple[str, str, str, str | None, str | None]


def rows(answer: dict[str, Any]) -> set[Row]:
    """Findings as (level, rule, operation, condition, cause); problems fail here, with their text."""
    assert "problems" not in answer, answer["problems"]
    return {(f["level"], f["rule"], f["at"], f["condition"], f["cause"]) for f in answer["findings"]}
