"""Whole builds edited at random: they read back without a problem, and only what was meant has changed."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from planner.files.disk.folders import read_texts
from planner.files.editing.spots import episode_paths
from planner.files.yaml.places import EditError
from planner.plan.expand import expand
from planner.plan.findings import check, planned
from tests.files.editing import plans
from tests.files.yaml.reading import read as read_text
from tests.oracle.generator import make
from tests.oracle.writing import write

HOME = Path(__file__).parent.parent.parent.parent / "projects"
CHUNK = 12


@pytest.mark.parametrize("chunk", range(8))
def test_a_build_edited_at_random(chunk: int, tmp_path: Path) -> None:
    """A dozen edits each; the steps that an edit is not about are as they were."""
    for seed in range(chunk * CHUNK, (chunk + 1) * CHUNK):
        folder = tmp_path / f"b{seed}"
        write(make(seed, small=seed % 2 == 0), folder)
        random = Random(seed)
        build, texts = plans.read(folder), read_texts(folder)
        for _ in range(12):
            if not plans.spots(build):
                break
            try:
                edit, what = plans.edit_at_random(texts, build, random)
            except EditError:
                continue
            old_outline, old_steps = plans.outline(build), plans.steps_of(build)
            texts, build = plans.take(folder, texts, edit)
            assert texts == read_texts(folder)
            _check(what, old_outline, plans.outline(build), old_steps, plans.steps_of(build))
            found = check(expand(build), planned(expand(build)))
            assert not any(finding.rule == "side-missed" and "left out" in finding.says for finding in found) or (
                any(stage.sequence for episode in build.episodes for stage in episode.stages)
            )


def _check(what: str, old: plans.Outline, new: plans.Outline, before: plans.Steps, after: plans.Steps) -> None:
    kind, *words = what.split()
    gone, come = set(before) - set(after), set(after) - set(before)
    if kind == "move" and words[0] in before:
        assert not gone
        assert not come
        assert before == after
        titles = [(number, title) for number, stages in new for title, _ in stages]
        assert titles == [(number, title) for number, stages in old for title, _ in stages]
        assert words[0] in [step for _, stages in new for _, ids in stages for step in ids]
    elif kind == "rename":
        assert gone == {words[0]}
        assert come == {words[0] + "-new"}
        assert plans.named(old, {words[0]: words[0] + "-new"}) == new
    elif kind == "delete" and words[0] in before:
        assert gone == {words[0]}
        assert plans.without(old, words[0]) == new
    elif kind in ("double", "add") and words[0] in before:
        assert not gone
        assert len(come) == 1
    elif kind == "set":
        changed = [step for step in before if before[step] != after[step]]
        assert changed in ([], [words[-1]])
        assert old == new
    for step in set(before) & set(after):  # links may go with what they name; nothing else of others changes
        if step not in words and kind not in ("rounds", "first"):
            assert before[step]._replace(after=()) == after[step]._replace(after=())


@pytest.mark.parametrize("name", sorted(folder.name for folder in HOME.iterdir() if (folder / "build.yaml").is_file()))
def test_the_demo_builds_edited_at_random(name: str, tmp_path: Path) -> None:
    """Plans as people write them, with comments: those of what an edit is not about are all there after it."""
    folder = tmp_path / name
    texts = read_texts(HOME / name)
    (folder / "episodes").mkdir(parents=True)
    texts = {str(folder / Path(path).relative_to(HOME / name)): text for path, text in texts.items()}
    plans.write(texts, {})
    build = plans.read(folder)
    random = Random(name)
    for _ in range(25):
        try:
            edit, what = plans.edit_at_random(texts, build, random)
        except EditError:
            continue
        before = texts
        try:
            texts, build = plans.take(folder, texts, edit)
        except AssertionError as error:
            if "no step gives it" not in str(error):
                raise
            plans.write(texts, {})  # the step that gives what build.yaml asks for at the end went: told, and put back
            continue
        for path in episode_paths(texts):
            if path in before and "delete" not in what and "set" not in what and "move stage" not in what:
                lost = _comments(before[path]) - _comments("".join(texts.values()))
                assert not lost, (what, lost)
            assert read_text(texts[path])


def _comments(text: str) -> set[str]:
    return {line.strip() for line in text.splitlines() if line.lstrip().startswith("#")}
