"""What the tests of ticks share."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def quick(tmp_path: Path) -> Iterator[Path]:
    """A folder in memory where there is one: a kill cannot tell it from a disk, and fsync costs nothing there."""
    memory = Path("/dev/shm")
    if not os.access(memory, os.W_OK):
        yield tmp_path
        return
    with tempfile.TemporaryDirectory(dir=memory, prefix="planner-test-") as name:
        yield Path(name)
