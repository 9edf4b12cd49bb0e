"""Reviewed files that what is made now is compared with."""

from __future__ import annotations

import os
from pathlib import Path


def same_as_golden(test: str, name: str, text: str) -> None:
    """Compare with a reviewed file in golden/ beside that test; PLANNER_GOLDEN=write takes what is there now."""
    path = Path(test).parent / "golden" / f"{name}.txt"
    if os.environ.get("PLANNER_GOLDEN") == "write":
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    assert path.is_file(), f"{path} is missing; PLANNER_GOLDEN=write makes it, then review it"
    kept = path.read_text(encoding="utf-8")
    assert text.split("\n") == kept.split("\n"), f"{path} differs; PLANNER_GOLDEN=write takes the new screen"
