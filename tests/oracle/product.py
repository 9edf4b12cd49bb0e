"""Drive the product as a person would: files on disk, its command line, JSON back; nothing else of it."""

from __future__ import annotations

import json
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.oracle.shapes import Build
from tests.oracle.writing import as_text, write
from tests.support import commandline


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command said."""

    code: int
    data: dict[str, Any]
    seconds: float
    errors: str

    @property
    def findings(self) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.data["findings"]
        return found


def run(command: str, build: Build, folder: Path, *flags: str) -> Answer:
    """Write the build if it is not there yet and run one command on it."""
    if not (folder / "build.yaml").exists():
        write(build, folder)
    began = time.perf_counter()
    code, out, err = commandline.run(command, str(folder), "--json", *flags)
    seconds = time.perf_counter() - began
    data = json.loads(out)
    if "problems" in data:
        raise AssertionError(f"seed {build.seed} refused: {data['problems']}\n{as_text(build)}")
    return Answer(code, data, seconds, err)


def pairs_of(finding: dict[str, Any]) -> set[tuple[str, str]]:
    """The failing pairs a finding stands for; none where it is not about a need or an after."""
    if finding["rule"] in ("never-given", "other-side", "given-later", "spoiled"):
        return {(name, finding["condition"]) for name in (finding["at"], *finding["also"])}
    if finding["rule"] == "after-broken":
        return {(name, f"after:{finding['cause']}") for name in (finding["at"], *finding["also"])}
    return set()
