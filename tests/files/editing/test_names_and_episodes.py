"""Names changed everywhere, conditions declared, episodes added, moved and renumbered: the text that comes of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.editing import episodes
from planner.files.editing.job import add_condition
from planner.files.editing.names import rename_condition, rename_step
from planner.files.editing.spots import Edit, Spot
from planner.files.editing.steps import set_key
from planner.files.yaml.places import EditError
from tests.files.editing import plans
from tests.files.editing.building import JOB, ONE, TWO, written
from tests.files.editing.test_steps import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """The garden gate."""
    return Shop(tmp_path)


def test_rename_a_step(shop: Shop) -> None:
    """In itself, in after: of every file, with @own or without; a number in braces is none of it."""
    shop.take(set_key(shop.texts, Spot(shop.one, 0, 1), "do", "Set {wrap.dig} and dig on"))
    new = shop.take(rename_step(shop.texts, "dig", "dig-hole"))
    assert new == {
        "01-posts.yaml": ONE.replace("step: dig\n", "step: dig-hole\n")
        .replace("[dig@own]", "[dig-hole@own]")
        .replace(
            "do: Set the post plumb",
            "do: Set {wrap.dig} and dig on",
        ),
        "02-hang-it.yaml": TWO.replace("- dig@own", "- dig-hole@own"),
    }


def test_rename_a_step_that_is_listed(shop: Shop) -> None:
    """In sequence with rounds and sides; through the key of the step too."""
    shop.take(set_key(shop.texts, Spot(shop.two, 1, 0), "rounds", 2))
    edit = set_key(shop.texts, Spot(shop.two, 1, 0), "step", "bolt")
    new = shop.take(edit)
    assert "    sequence: [bolt#1@left, bolt#1@right, bolt#2@left, bolt#2@right, strike]\n" in new["02-hang-it.yaml"]
    new = shop.take(rename_step(shop.texts, "strike", "keep"))
    assert "bolt#2@right, keep]\n" in new["02-hang-it.yaml"]
    assert "      - step: keep\n" in new["02-hang-it.yaml"]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("dig", "plumb", "already"),
        ("dig", "Dig", "not an id"),
        ("nowhere", "x", "no step nowhere"),
        ("dig", "", "not an id"),
    ],
)
def test_a_step_that_cannot_be_renamed(shop: Shop, old: str, new: str, said: str) -> None:
    """Refused before anything changes."""
    with pytest.raises(EditError, match=said):
        rename_step(shop.texts, old, new)


def test_rename_a_condition(shop: Shop) -> None:
    """Where it is declared, at the start, on camera, and in needs, gives and spoils with and without a side."""
    new = shop.take(rename_condition(shop.texts, "post.plumb", "post.true"))
    assert new == {
        "build.yaml": JOB.replace("post.plumb", "post.true"),
        "01-posts.yaml": ONE.replace("post.plumb", "post.true"),
        "02-hang-it.yaml": TWO.replace("post.plumb", "post.true"),
    }
    new = shop.take(rename_condition(shop.texts, "arc.ready", "welder.on"))
    assert new["build.yaml"].endswith("\nstart: [welder.on]\non-camera: {needs: [welder.on]}\n")
    assert "needs: [post.true@all, welder.on]" in new["02-hang-it.yaml"]


def test_a_condition_that_a_kind_brings_too(tmp_path: Path) -> None:
    """What the kind brings is named by piece and word, and without: means that one."""
    job = JOB.replace("  rig.square", "  gate.cleaned: {on: side, means: clean}\n  rig.square")
    one = ONE.replace(
        "        after: [dig@own]\n",
        "        kind: weld\n        piece: gate\n        without: [gate.cleaned]\n        needs: [gate.cleaned]\n",
    )
    shop = Shop(tmp_path, job=job, one=one)
    edit = rename_condition(shop.texts, "gate.cleaned", "gate.bright")
    assert edit.notes == ("without: of plumb still names gate.cleaned, which its kind brings",)
    new = shop.take(edit)
    assert "        without: [gate.cleaned]\n        needs: [gate.bright]\n" in new["01-posts.yaml"]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("post.plum", "x", "did you mean post.plumb"),
        ("post.plumb", "rig.square", "already"),
        ("post.plumb", "Post", "not a name for a condition"),
    ],
)
def test_a_condition_that_cannot_be_renamed(shop: Shop, old: str, new: str, said: str) -> None:
    """Refused before anything changes."""
    with pytest.raises(EditError, match=said):
        rename_condition(shop.texts, old, new)


def test_declare_a_condition(shop: Shop) -> None:
    """As the others are declared."""
    new = shop.take(add_condition(shop.texts, "gate.hung", "side", "the gate hangs, and swings free", at_start=True))
    line = '  gate.hung: {kept: side, means: "the gate hangs, and swings free"}\n'
    assert new == {
        "build.yaml": JOB.replace("gas open}\n", "gas open}\n" + line).replace(
            "start: [arc.ready]", "start: [arc.ready, gate.hung]"
        )
    }
    for name, on, means, said in (
        ("gate.hung", "side", "x", "already"),
        ("Gate", "side", "x", "not a name"),
        ("gate.b", "both", "x", "side or job"),
        ("gate.b", "job", " ", "means"),
    ):
        with pytest.raises(EditError, match=said):
            add_condition(shop.texts, name, on, means)


def test_declare_the_first_condition(tmp_path: Path) -> None:
    """The key goes where the order of keys has it; a start that lists nothing is begun."""
    job = "format: 1\nbuild: Bench\nsides: [left, right]\nconditions: {}\n# none yet\nstart:\n"
    plain = "format: 1\nepisode: 1\ntitle: T\nstages: []\n"
    (tmp_path / "bench").mkdir()
    texts = written(tmp_path / "bench" / "gate", job=job, one=plain, two=plain.replace("1\nt", "2\nt"))
    path = str(tmp_path / "bench" / "gate" / "build.yaml")
    edit = add_condition(texts, "bench.level", "job", "the bench is level", at_start=True)
    assert edit == Edit(
        {
            path: "format: 1\nbuild: Bench\nsides: [left, right]\nconditions:\n"
            "  bench.level: {kept: job, means: the bench is level}\n"
            "# none yet\nstart: [bench.level]\n"
        }
    )
    bare = {path: job.replace("conditions: {}\n# none yet\nstart:\n", "")}
    assert (
        add_condition(bare, "a", "job", "b").changes[path] == bare[path] + "conditions:\n  a: {kept: job, means: b}\n"
    )


def test_add_an_episode(shop: Shop) -> None:
    """The last by default; named after its number and title."""
    new = shop.take(episodes.add_episode(shop.texts, "Paint: the gate's end"))
    assert new == {
        "03-paint-the-gates-end.yaml": 'format: 1\nepisode: 3\ntitle: "Paint: the gate\'s end"\nstages: []\n'
    }
    assert [number for number, _ in plans.outline(plans.read(shop.folder))] == [1, 2, 3]


def test_add_an_episode_in_between(shop: Shop) -> None:
    """Those behind go up by one, and what refers to them follows."""
    edit = episodes.add_episode(shop.texts, "Über den Zaun", 2, {"film": "left"})
    assert edit.notes == ("episode 2 becomes 3",)
    assert shop.take(edit) == {
        "02-hang-it.yaml": "",
        "02-uber-den-zaun.yaml": "format: 1\nepisode: 2\ntitle: Über den Zaun\nfilm: left\nstages: []\n",
        "03-hang-it.yaml": TWO.replace("episode: 2", "episode: 3"),
        "01-posts.yaml": ONE.replace("refers-to: [2]", "refers-to: [3]"),
    }
    with pytest.raises(EditError, match="title"):
        episodes.add_episode(shop.texts, " ")


def test_double_an_episode(shop: Shop) -> None:
    """The next number, and ids of its own."""
    edit = episodes.duplicate_episode(shop.texts, shop.one)
    assert edit.notes == ("episode 2 becomes 3", "the copy of dig is dig-2", "the copy of plumb is plumb-2")
    new = shop.take(edit)
    assert new["02-posts.yaml"] == ONE.replace("episode: 1", "episode: 2").replace("step: dig", "step: dig-2").replace(
        "step: plumb", "step: plumb-2"
    ).replace("[dig@own]", "[dig-2@own]")
    assert new["01-posts.yaml"] == ONE.replace("[2]", "[3]")


def test_the_copy_of_an_episode_has_no_date(tmp_path: Path) -> None:
    """Two films at one moment would be a slip."""
    shop = Shop(
        tmp_path,
        job=JOB + "shop: {timezone: Europe/Lisbon}\n",
        one=ONE.replace("refers-to", "publish: 2027-02-13 17:00  # a Saturday\nrefers-to"),
    )
    edit = episodes.duplicate_episode(shop.texts, shop.one)
    assert "the copy has no publish date; give it one of its own" in edit.notes
    assert "publish" not in shop.take(edit)["02-posts.yaml"]


def test_take_an_episode_out(shop: Shop) -> None:
    """With every link to its steps; the last one stays."""
    edit = episodes.delete_episode(shop.texts, shop.one)
    assert edit.notes == (
        "tack-hinge no longer comes after plumb, dig@own",
        "episode 2 still refers to episode 1",
    )
    assert shop.take(edit) == {
        "01-posts.yaml": "",
        "02-hang-it.yaml": TWO.replace("        after:\n          - plumb\n          - dig@own\n", ""),
    }
    with pytest.raises(EditError, match="at least one"):
        episodes.delete_episode(shop.texts, shop.two)


def test_renumber_an_episode(shop: Shop) -> None:
    """The key, the file's name and every reference; texts among the references stay."""
    new = shop.take(episodes.renumber(shop.texts, {1: 12}))
    assert new == {
        "01-posts.yaml": "",
        "12-posts.yaml": ONE.replace("episode: 1", "episode: 12"),
        "02-hang-it.yaml": TWO.replace("refers-to: [1, the first talk]", "refers-to: [12, the first talk]"),
    }
    with pytest.raises(EditError, match="two episodes"):
        episodes.renumber(shop.texts, {12: 2})
    with pytest.raises(EditError, match="no episode 7"):
        episodes.renumber(shop.texts, {7: 8})
    with pytest.raises(EditError, match="1 to 9999"):
        episodes.renumber(shop.texts, {2: 10000})
    assert episodes.renumber(shop.texts, {2: 2}) == Edit({})


def test_move_an_episode(shop: Shop) -> None:
    """Numbers are shared out anew; files with one name but the number change places."""
    shop.take(episodes.add_episode(shop.texts, "Posts"))
    new = shop.take(episodes.move_episode(shop.texts, str(Path(shop.one).with_name("03-posts.yaml")), 0))
    assert new == {
        "01-posts.yaml": "format: 1\nepisode: 1\ntitle: Posts\nstages: []\n",
        "02-posts.yaml": ONE.replace("episode: 1", "episode: 2").replace("[2]", "[3]"),
        "03-hang-it.yaml": TWO.replace("episode: 2", "episode: 3").replace("[1, the", "[2, the"),
        "02-hang-it.yaml": "",
        "03-posts.yaml": "",
    }
