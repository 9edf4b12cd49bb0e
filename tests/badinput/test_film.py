"""Which side the camera sees: the step's word, else the stage's, the episode's, the build's, else all of it."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

from tests.badinput.asking import EPISODE
from tests.badinput.samples import SMALL_EPISODE, SMALL_JOB, write
from tests.files.log.making import steps

WORDS = (None, "near", "far", "all", "none")


def on_camera(said: str, side: str | None) -> bool:
    """The rule in its own words."""
    return said in ("all", side) or (side is None and said != "none")


@pytest.mark.parametrize(("build", "episode"), list(product(WORDS, WORDS)))
def test_the_narrowest_word_counts(tmp_path: Path, build: str | None, episode: str | None) -> None:
    """Every combination of words on the four levels, for both sides and for what is done once."""
    stages = ""
    expected: dict[str, bool] = {}
    for stage, step in product(WORDS, WORDS):
        name = f"{stage or 'no'}-{step or 'no'}"
        stages += f"  - stage: {name}\n" + (f"    film: {stage}\n" if stage else "") + "    steps:\n"
        film = f", film: {step}" if step else ""
        stages += f"      - {{step: {name}, do: x{film}}}\n      - {{step: {name}-once, do: x, sides: once{film}}}\n"
        said = step or stage or episode or build or "all"
        expected |= {f"{name}@{side}": on_camera(said, side) for side in ("near", "far")}
        expected[f"{name}-once"] = on_camera(said, None)
    head = SMALL_EPISODE.partition("  - stage")[0]
    head = head.replace("stages:", (f"film: {episode}\n" if episode else "") + "stages:")
    job = SMALL_JOB + (f"film: {build}\n" if build else "")
    rows = steps(write(tmp_path, {"build.yaml": job, EPISODE: head + stages}))
    assert {op: row["on_camera"] for op, row in rows.items()} == expected


def test_what_every_operation_on_camera_carries(tmp_path: Path) -> None:
    """The needs of ``on-camera`` come with those operations and with no others."""
    job = SMALL_JOB + "film: near\non-camera: {needs: [a.true]}\n"
    rows = steps(
        write(tmp_path, {"build.yaml": job, EPISODE: SMALL_EPISODE + "      - {step: oil, do: x, film: none}\n"})
    )
    assert {op: row["missing"] for op, row in rows.items()} == {
        "saw@near": ["a.true"],
        "saw@far": [],
        "oil@near": [],
        "oil@far": [],
    }
