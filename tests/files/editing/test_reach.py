"""An edit of a large build parses the files it touches and no others."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from planner.files.build import stepkeys
from planner.files.build.job import _SHOP_KEYS, JOB_KEYS
from planner.files.editing import episodes as editing_episodes
from planner.files.editing import names as editing_names
from planner.files.editing import steps as editing_steps
from planner.files.editing import typed as editing_typed
from planner.files.editing.job import add_condition
from planner.files.editing.spots import BUILD_KEYS, EPISODE_KEYS, STAGE_KEYS, STEP_KEYS, Edit, Spot
from planner.files.plankeys import BUILD_ROWS, keys_in
from planner.files.yaml import places as editing_tree

FILES, STAGES, STEPS = 50, 10, 10


def _episode(number: int) -> str:
    lines = ["format: 1", f"episode: {number}", f"title: Part {number}", "stages:"]
    for stage in range(STAGES):
        lines += [f"  - stage: Stage {stage}", "    steps:"]
        for step in range(STEPS):
            lines += [
                f"      - step: s-{number}-{stage}-{step}",
                f"        do: Do thing {step}  # as said",
                "        needs: [a.b]",
                f"        after: [s-{number}-{stage}-{step - 1}]" if step else "        time: 20 min",
            ]
    return "\n".join(lines) + "\n"


TEXTS = {
    "b/build.yaml": "format: 1\nbuild: B\nsides: [left, right]\nconditions: {a.b: {on: job, means: x}}\n",
    **{f"b/episodes/{number:02d}-part.yaml": _episode(number) for number in range(1, FILES + 1)},
}
SPOT = Spot("b/episodes/25-part.yaml", 4, 3)
OTHER = Spot("b/episodes/26-part.yaml", 4)


@pytest.mark.parametrize(
    ("edit", "files"),
    [
        (lambda: editing_steps.set_key(TEXTS, SPOT, "note", "x"), 1),
        (lambda: editing_steps.add_step(TEXTS, SPOT, 2, {"step": "new", "do": "New"}), 1),
        (lambda: editing_steps.duplicate_step(TEXTS, SPOT), 1),
        (lambda: editing_steps.duplicate_stage(TEXTS, SPOT._replace(step=None)), 1),
        (lambda: editing_steps.delete_step(TEXTS, SPOT), 1),
        (lambda: editing_steps.move_step(TEXTS, SPOT, OTHER, 0), 2),
        (lambda: editing_names.rename_step(TEXTS, "s-25-4-3", "new"), 1),
        (lambda: editing_typed.put_in(TEXTS, SPOT, 0, editing_typed.parts_of("one\ntwo\nthree\n")), 1),
        (lambda: add_condition(TEXTS, "c.d", "job", "y"), 1),
        (lambda: editing_episodes.renumber(TEXTS, {25: 99}), 1),
        (lambda: editing_episodes.add_episode(TEXTS, "Last"), 1),
    ],
)
def test_only_what_is_touched_is_parsed(edit: Callable[[], Edit], files: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted: every file is read once before and once after, whatever the size of the build."""
    parsed: list[str] = []
    real = editing_tree._Builder.document

    def counting(self: editing_tree._Builder) -> editing_tree.Node:
        parsed.append(self.text)
        return real(self)

    monkeypatch.setattr(editing_tree._Builder, "document", counting)
    editing_tree.parse.cache_clear()
    changes = edit().changes
    before = [text for text in parsed if text in TEXTS.values()]
    assert len(before) == len(set(before)) == files
    assert len(parsed) - len(before) <= 2 * files  # the new text, and one between where two things change
    assert changes


def test_the_order_of_keys_knows_every_key() -> None:
    """What the reader reads, the editor can write, and nothing else."""
    assert set(BUILD_KEYS) == set(JOB_KEYS)
    assert set(keys_in(BUILD_ROWS, "shop")) == set(_SHOP_KEYS)
    assert set(EPISODE_KEYS) == set(stepkeys.EPISODE_KEYS)
    assert set(STAGE_KEYS) == set(stepkeys.STAGE_KEYS)
    assert set(STEP_KEYS) == set(stepkeys.STEP_KEYS)
