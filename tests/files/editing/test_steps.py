"""Steps and stages: every edit with the text that comes of it, read back by the product."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from planner.files.editing import steps
from planner.files.editing.spots import Edit, Spot, applied, remove_at, set_at, spot_of
from planner.files.yaml.places import EditError, Value
from tests.files.editing import plans
from tests.files.editing.building import JOB, ONE, TWO, written


class Shop:
    """A build on the disk to edit."""

    def __init__(self, folder: Path, **files: str) -> None:
        self.folder = folder / "gate"
        self.texts = written(self.folder, **files)
        self.job, self.one, self.two = (
            str(self.folder / name) for name in ("build.yaml", "episodes/01-posts.yaml", "episodes/02-hang-it.yaml")
        )

    def take(self, edit: Edit) -> dict[str, str]:
        """Make the edit, read the build again, and return what changed by short name."""
        fresh, _ = plans.take(self.folder, self.texts, edit)
        self.texts = fresh
        return {Path(path).name: text or "" for path, text in edit.changes.items()}


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """The garden gate."""
    return Shop(tmp_path)


def test_a_step_is_found_without_parsing(shop: Shop) -> None:
    """From the build as it was read."""
    build = plans.read(shop.folder)
    assert spot_of(build, "finish") == Spot(shop.two, 0, 1)
    assert spot_of(build, "nowhere") is None


def test_add_a_step(shop: Shop) -> None:
    """Its keys in order, in the hand of the file."""
    step: dict[str, Value] = {"needs": ["post.plumb"], "do": "Sweep: all of it", "step": "sweep", "hands": 2}
    new = shop.take(steps.add_step(shop.texts, Spot(shop.one, 0), 1, step))
    assert new == {
        "01-posts.yaml": ONE.replace(
            "      - step: plumb\n",
            """\
      - step: sweep
        do: "Sweep: all of it"
        needs: [post.plumb]
        hands: 2
      - step: plumb
""",
        )
    }


def test_add_a_step_where_operations_are_listed(shop: Shop) -> None:
    """The list follows, behind the step before."""
    step = {"step": "oil", "do": "Oil it"}
    new = shop.take(steps.add_step(shop.texts, Spot(shop.two, 1), 1, dict(step)))
    assert new == {
        "02-hang-it.yaml": TWO.replace(
            "[latch@left, latch@right, strike]", "[latch@left, latch@right, oil@left, oil@right, strike]"
        ).replace("      - step: strike\n", "      - step: oil\n        do: Oil it\n      - step: strike\n")
    }


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ({"step": "dig", "do": "x"}, "there is a step dig already"),
        ({"step": "Dig in", "do": "x"}, "not an id for a step"),
        ({"do": "x"}, "not an id for a step"),
        ({"step": "dig-in"}, "needs do:"),
        ({"step": "dig-in", "do": "x", "neds": []}, "no key neds; did you mean needs"),
    ],
)
def test_a_step_that_cannot_be(shop: Shop, step: Mapping[str, str | list[str]], said: str) -> None:
    """Refused before anything changes."""
    with pytest.raises(EditError, match=said):
        steps.add_step(shop.texts, Spot(shop.one, 0), 0, dict(step))  # type: ignore[arg-type]


def test_add_a_stage(shop: Shop) -> None:
    """With steps, or none yet."""
    new = shop.take(steps.add_stage(shop.texts, shop.one, 1, {"stage": "Back-fill", "pace": "side-first"}))
    assert new == {"01-posts.yaml": ONE + "  - stage: Back-fill\n    pace: side-first\n    steps: []\n"}
    new = shop.take(steps.add_step(shop.texts, Spot(shop.one, 1), 0, {"step": "fill", "do": "Fill it"}))
    assert new == {
        "01-posts.yaml": ONE
        + "  - stage: Back-fill\n    pace: side-first\n    steps:\n      - step: fill\n        do: Fill it\n"
    }


def test_set_and_take_out_keys(shop: Shop) -> None:
    """Each in its place; the comment behind a value stays."""
    spot = Spot(shop.one, 0, 0)
    new = shop.take(steps.set_key(shop.texts, spot, "time", "1 h"))
    assert new == {"01-posts.yaml": ONE.replace("30 min", "1 h")}
    new = shop.take(steps.set_key(shop.texts, spot, "kind", "mark"))
    new = shop.take(steps.set_key(shop.texts, spot, "cautions", ["Call before you dig.", "Gloves, boots: on"]))
    assert new == {
        "01-posts.yaml": ONE.replace(
            "        do: Dig the hole\n        time: 30 min   # in clay\n",
            """\
        do: Dig the hole
        kind: mark
        time: 1 h   # in clay
        cautions: [Call before you dig., "Gloves, boots: on"]
""",
        )
    }
    for key in ("kind", "cautions"):
        shop.take(steps.set_key(shop.texts, spot, key, None))
    new = shop.take(steps.set_key(shop.texts, spot, "time", "30 min"))
    assert new == {"01-posts.yaml": ONE}
    assert steps.set_key(shop.texts, spot, "note", None) == Edit({})


def test_keys_of_stages_and_episodes(shop: Shop) -> None:
    """In the order of their own."""
    shop.take(steps.set_key(shop.texts, Spot(shop.one, 0), "pace", "side-first"))
    new = shop.take(steps.set_key(shop.texts, Spot(shop.one), "promises", ["A gate that closes"]))
    assert new == {
        "01-posts.yaml": ONE.replace("refers-to: [2]\n", "refers-to: [2]\npromises: [A gate that closes]\n").replace(
            "Set the posts\n", "Set the posts\n    pace: side-first\n"
        )
    }
    with pytest.raises(EditError, match="renumber"):
        steps.set_key(shop.texts, Spot(shop.one), "episode", 3)
    with pytest.raises(EditError, match="did you mean title"):
        steps.set_key(shop.texts, Spot(shop.one), "titel", "x")
    with pytest.raises(EditError, match="cannot be taken out"):
        steps.set_key(shop.texts, Spot(shop.one, 0, 0), "do", None)


def test_keys_that_decide_on_operations(shop: Shop) -> None:
    """The list of a stage follows: one side only, several rounds, and back."""
    latch = Spot(shop.two, 1, 0)
    shop.take(steps.set_key(shop.texts, latch, "why", "only there"))
    new = shop.take(steps.set_key(shop.texts, latch, "sides", ["left"]))
    assert "    sequence: [latch@left, strike]\n" in new["02-hang-it.yaml"]
    new = shop.take(steps.set_key(shop.texts, latch, "rounds", 2))
    assert "    sequence: [latch#1@left, latch#2@left, strike]\n" in new["02-hang-it.yaml"]
    new = shop.take(steps.set_key(shop.texts, latch, "sides", "each"))
    assert "[latch#1@left, latch#2@left, latch#1@right, latch#2@right, strike]\n" in new["02-hang-it.yaml"]
    new = shop.take(steps.set_key(shop.texts, latch, "rounds", None))
    assert "    sequence: [latch@left, latch@right, strike]\n" in new["02-hang-it.yaml"]
    new = shop.take(steps.set_key(shop.texts, Spot(shop.two, 1), "rounds", 2))
    assert "[latch#1@left, latch#1@right, latch#2@left, latch#2@right, strike#1, strike#2]" in new["02-hang-it.yaml"]


def test_a_list_in_an_order_of_its_own(tmp_path: Path) -> None:
    """What is listed stays where it is, under its new name; what is new comes behind the others of its step."""
    shop = Shop(tmp_path, two=TWO.replace("[latch@left, latch@right, strike]", "[latch@right, strike, latch@left]"))
    new = shop.take(steps.set_key(shop.texts, Spot(shop.two, 1, 0), "rounds", 2))
    assert "sequence: [latch#1@right, strike, latch#1@left, latch#2@left, latch#2@right]\n" in new["02-hang-it.yaml"]
    new = shop.take(steps.set_key(shop.texts, Spot(shop.two, 1, 0), "rounds", 1))
    assert "sequence: [latch@right, strike, latch@left]\n" in new["02-hang-it.yaml"]


def test_rounds_of_a_stage_and_of_its_steps(shop: Shop) -> None:
    """Not both: the build could not be read."""
    with pytest.raises(EditError, match="tack-hinge can have none of its own"):
        steps.set_key(shop.texts, Spot(shop.two, 0), "rounds", 2)
    shop.take(steps.set_key(shop.texts, Spot(shop.one, 0), "rounds", 2))
    with pytest.raises(EditError, match="tack-hinge can have none of its own"):
        steps.move_step(shop.texts, Spot(shop.two, 0, 0), Spot(shop.one, 0), 0)


def test_double_a_step(shop: Shop) -> None:
    """With its comments, and an id of its own."""
    edit = steps.duplicate_step(shop.texts, Spot(shop.one, 0, 0))
    assert edit.notes == ("the new step is dig-2",)
    assert shop.take(edit) == {
        "01-posts.yaml": ONE.replace(
            "      - step: plumb\n",
            """\
      # Mind the pipe.
      - step: dig-2
        do: Dig the hole
        time: 30 min   # in clay
      - step: plumb
""",
        )
    }
    edit = steps.duplicate_step(shop.texts, Spot(shop.two, 0, 1), "finish-all")
    assert (
        "after: [tack-hinge]}\n      - {step: finish-all, do: Finish the weld, needs"
        in shop.take(edit)["02-hang-it.yaml"]
    )
    assert steps.duplicate_step(shop.texts, Spot(shop.one, 0, 1)).notes == ("the new step is dig-3",)


def test_double_a_stage(shop: Shop) -> None:
    """Its steps get ids of their own, also where they name each other."""
    edit = steps.duplicate_stage(shop.texts, Spot(shop.two, 1))
    assert edit.notes == ("the copy of latch is latch-2", "the copy of strike is strike-2")
    assert shop.take(edit) == {
        "02-hang-it.yaml": TWO
        + """\
  - stage: Latch
    sequence: [latch-2@left, latch-2@right, strike-2]
    steps:
      - step: latch-2
        do: Fit the latch
      - step: strike-2
        do: Fit the strike
        sides: once
"""
    }
    new = shop.take(steps.duplicate_stage(shop.texts, Spot(shop.one, 0)))
    assert new["01-posts.yaml"].count("Mind the pipe") == 2
    assert new["01-posts.yaml"].endswith(
        "      - step: plumb-2\n        do: Set the post plumb\n        gives: [post.plumb]\n"
        "        after: [dig-2@own]\n"
    )


def test_take_a_step_out(shop: Shop) -> None:
    """And every link and list that names it, in every file."""
    edit = steps.delete_step(shop.texts, Spot(shop.one, 0, 0))
    assert edit.notes == ("plumb no longer comes after dig@own", "tack-hinge no longer comes after dig@own")
    assert shop.take(edit) == {
        "01-posts.yaml": ONE.replace(
            "      # Mind the pipe.\n      - step: dig\n        do: Dig the hole\n        time: 30 min   # in clay\n",
            "",
        ).replace("        after: [dig@own]\n", ""),
        "02-hang-it.yaml": TWO.replace("          - dig@own\n", ""),
    }
    new = shop.take(steps.delete_step(shop.texts, Spot(shop.two, 1, 1)))
    assert new["02-hang-it.yaml"].endswith(
        "    sequence: [latch@left, latch@right]\n    steps:\n      - step: latch\n        do: Fit the latch\n"
    )
    new = shop.take(steps.delete_step(shop.texts, Spot(shop.two, 1, 0)))
    assert new["02-hang-it.yaml"].endswith("  - stage: Latch\n    steps: []\n")


def test_take_a_stage_out(shop: Shop) -> None:
    """With all that names its steps."""
    edit = steps.delete_stage(shop.texts, Spot(shop.one, 0))
    assert shop.take(edit) == {
        "01-posts.yaml": ONE[: ONE.index("stages:")] + "stages: []\n",
        "02-hang-it.yaml": TWO.replace("        after:\n          - plumb\n          - dig@own\n", ""),
    }
    assert edit.notes == ("tack-hinge no longer comes after plumb, dig@own",)


def test_move_a_step_within_its_stage(shop: Shop) -> None:
    """Its comments come along."""
    new = shop.take(steps.move_step(shop.texts, Spot(shop.one, 0, 0), Spot(shop.one, 0), 1))
    head, tail = ONE.split("      # Mind the pipe.\n")
    dig, plumb = tail.split("      - step: plumb\n")
    assert new == {"01-posts.yaml": head + "      - step: plumb\n" + plumb + "      # Mind the pipe.\n" + dig}


def test_move_a_step_to_another_stage_and_file(shop: Shop) -> None:
    """As it is written; the lists of operations on both sides follow."""
    new = shop.take(steps.move_step(shop.texts, Spot(shop.two, 1, 1), Spot(shop.two, 0), 1))
    moved = "      - step: strike\n        do: Fit the strike\n        sides: once\n"
    assert new == {
        "02-hang-it.yaml": TWO.replace(moved, "")
        .replace(", strike]", "]")
        .replace("      - {step: finish", moved + "      - {step: finish")
    }
    new = shop.take(steps.move_step(shop.texts, Spot(shop.one, 0, 0), Spot(shop.two, 1), 0))
    assert sorted(new) == ["01-posts.yaml", "02-hang-it.yaml"]
    assert new["02-hang-it.yaml"].endswith(
        """\
  - stage: Latch
    sequence: [dig@left, dig@right, latch@left, latch@right]
    steps:
      # Mind the pipe.
      - step: dig
        do: Dig the hole
        time: 30 min   # in clay
      - step: latch
        do: Fit the latch
"""
    )


def test_move_a_stage(shop: Shop) -> None:
    """Within its episode and into another."""
    new = shop.take(steps.move_stage(shop.texts, Spot(shop.two, 1), shop.two, 0))
    head, rest = TWO.split("  - stage: Hinges\n")
    hinges, latch = rest.split("  - stage: Latch\n")
    assert new == {"02-hang-it.yaml": head + "  - stage: Latch\n" + latch + "  - stage: Hinges\n" + hinges}
    new = shop.take(steps.move_stage(shop.texts, Spot(shop.two, 0), shop.one, 1))
    assert new == {
        "01-posts.yaml": ONE + "  - stage: Latch\n" + latch,
        "02-hang-it.yaml": head + "  - stage: Hinges\n" + hinges,
    }


def test_keys_of_the_build(shop: Shop) -> None:
    """Any of them, with those around it made where they are not there, in their order."""
    new = shop.take(set_at(shop.texts, shop.job, ("shop", "timezone"), "Europe/Lisbon"))
    new = shop.take(set_at(shop.texts, shop.job, ("shop", "hours", "wed"), "19:00-22:00"))
    new = shop.take(set_at(shop.texts, shop.job, ("pieces", "hinge"), {"in": "post"}))
    assert new == {
        "build.yaml": JOB.replace(
            "sides: [left, right]\n",
            "sides: [left, right]\nshop: {timezone: Europe/Lisbon, hours: {wed: 19:00-22:00}}\n",
        ).replace("start: [arc.ready]\n", "start: [arc.ready]\n\npieces: {hinge: {in: post}}\n")
    }
    new = shop.take(remove_at(shop.texts, shop.job, ("pieces", "hinge")))
    new = shop.take(remove_at(shop.texts, shop.job, ("shop", "hours", "wed")))
    new = shop.take(remove_at(shop.texts, shop.job, ("shop", "timezone")))
    assert new == {"build.yaml": JOB}


def test_an_edit_changes_only_what_it_says(shop: Shop) -> None:
    """The texts that go in stay as they are."""
    before = dict(shop.texts)
    edit = steps.delete_step(shop.texts, Spot(shop.one, 0, 0))
    assert shop.texts == before
    assert applied(before, edit.changes) != before
