"""What the app reads from texts in memory is what the reader reads from the files: builds and problems alike."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from planner.files.build.texts import TextReader
from planner.files.disk.folders import read_texts
from tests.app.support import ROOT, write
from tests.app.write.support import make

PROJECTS = sorted(each for each in (ROOT / "projects").iterdir() if each.is_dir())
STARTERS = sorted(each for each in (ROOT / "planner" / "starters").iterdir() if each.is_dir())


@pytest.mark.parametrize("folder", [*PROJECTS, *STARTERS], ids=lambda each: each.name)
def test_every_build_of_ours_reads_the_same(folder: Path) -> None:
    assert TextReader(folder).read(read_texts(folder)) == read_build(folder)


SPOILS = (
    "x", ":", "- ", "[", "{", '"', "\t", "@others", "step: fit\n", "once", "\x00", "&a ", "9" * 30,
    "needs: [no.such]\n",
)  # fmt: skip


@pytest.mark.parametrize("seed", range(60))
def test_spoiled_files_have_the_same_problems(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    folder = make(tmp_path)
    reader = TextReader(folder)
    reader.read(read_texts(folder))
    for _ in range(chance.randint(1, 3)):
        path = chance.choice(sorted(read_texts(folder)))
        text = read_texts(folder)[path]
        at = chance.randrange(len(text))
        spoil = chance.choice(SPOILS)
        Path(path).write_text(text[:at] + spoil + text[at + chance.choice((0, 0, 5)) :], encoding="utf-8", newline="")
    assert reader.read(read_texts(folder)) == read_build(folder)


def test_what_is_not_there_is_missed(tmp_path: Path) -> None:
    folder = write(tmp_path, "empty", {"build.yaml": "format: 1\nbuild: Empty\nsides: [one]\n"})
    (folder / "episodes").mkdir()
    assert TextReader(folder).read(read_texts(folder)) == read_build(folder)
