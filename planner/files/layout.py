"""The names and places of a build's files, known once; below everything, since the disk and the logs need them too."""

from __future__ import annotations

import re
from pathlib import Path

BUILD_FILE = "build.yaml"
NUMBERS_FILE = "numbers.yaml"
EPISODES = "episodes"
LOG_FOLDER = "log"
#: ``01-slug.yaml``: the number, a hyphen, a name of lower-case letters, digits and hyphens.
EPISODE_FILE = re.compile(r"([0-9]{1,4})-[a-z0-9-]+\.yaml")
KINDS_FILE = Path(__file__).parents[1] / "kinds" / "kinds.yaml"  # the kinds of work that come with the tool
STARTERS = Path(__file__).parents[1] / "starters"
MAX_BYTES = 4 * 1024 * 1024  # of one plan file; larger ones are refused


def is_log(name: str) -> bool:
    """Whether a file of the log folder holds ticks: also a copy that a file sync made and named its own way.

    Logs only ever grow and doubles are dropped, so a copy of any age can be read with the rest and does no harm.
    """
    return ".jsonl" in name.lower() and not name.startswith(".")
