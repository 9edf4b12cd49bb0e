"""What the tests of writing share: no pause before an editor answers, and a build to write on."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.editors import editor as write_editor
from tests.app.write.support import make


@pytest.fixture(autouse=True)
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(write_editor, "PAUSE", 0.01)


@pytest.fixture
def cart(tmp_path: Path) -> Path:
    """A cart with a bracket on each side."""
    return make(tmp_path)
