"""A build that the tests of the session may spoil."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.support import BRACKETS, write


@pytest.fixture
def brackets(tmp_path: Path) -> Path:
    """Two sides, rounds, a wait, two traps, a notice, a step of some sides, rework."""
    return write(tmp_path / "builds", "brackets", BRACKETS)
