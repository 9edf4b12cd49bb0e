"""What all tests share: nothing of the person's own machine, and no clock that can fail a property."""

from __future__ import annotations

import os
import tempfile

import pytest
from hypothesis import settings

settings.register_profile("planner", deadline=None)  # a busy machine is not a fault of the code
settings.load_profile("planner")


def pytest_configure(config: pytest.Config) -> None:
    """Keep state, settings and builds of whoever runs the tests out of them."""
    home = tempfile.mkdtemp(prefix="planner-tests-")
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        os.environ[name] = home
    for name in ("PLANNER_BUILDS", "PLANNER_DEVICE", "NO_COLOR"):
        os.environ.pop(name, None)
