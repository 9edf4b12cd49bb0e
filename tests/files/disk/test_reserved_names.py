"""A build whose name is a command, of today or to come, could not be opened by name."""

from pathlib import Path

import pytest

from planner.commands import COMMANDS
from planner.files.starters.make import StarterError, make_build

TO_COME = ("order", "recover", "links", "now", "calendar", "kinds", "story", "edit", "paper")


@pytest.mark.parametrize("name", sorted({*COMMANDS, *TO_COME, "help"}))
def test_no_build_is_called_like_a_command(tmp_path: Path, name: str) -> None:
    with pytest.raises(StarterError, match="command"):
        make_build(tmp_path, name, "blank")
    assert not list(tmp_path.iterdir())
