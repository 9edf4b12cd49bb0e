"""Items that say more than a text, each typed in one line: what is shown and taken back unchanged is the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.files.build.reading import read_build
from planner.files.plankeys import EPISODE_FIELDS, STEP_FIELDS, Field
from planner.files.yaml.places import Value
from planner.plan.model import Build
from planner.session.writing.fields import as_typed, from_typed, shown
from planner.session.writing.items import SHAPES, item_line, item_of
from planner.session.writing.targets import Target, edit_key, located
from tests.support.builds import write_files

FIELDS = {field.key: field for field in (*STEP_FIELDS, *EPISODE_FIELDS)}
FILES = {
    "build.yaml": "format: 1\nbuild: Cart\nsides: [left, right]\nconditions: {box.open: {kept: job, means: open}}\n"
    "start: [box.open]\nshop: {timezone: UTC}\n",
    "episodes/01-a.yaml": "format: 1\nepisode: 1\ntitle: A\nstages:\n  - stage: S\n    steps:\n"
    "      - step: a       # mine\n        do: Do it\n",
    "episodes/02-b.yaml": "format: 1\nepisode: 2\ntitle: B  # stays\n"
    "stages:\n  - stage: T\n    steps: [{step: b, do: B}]\n",
}


def written(folder: Path, key: str, typed: str) -> tuple[Build | None, list[str]]:
    """The build once a key was typed over; and what its reader says against it."""
    reading = read_build(write_files(folder, FILES))
    assert reading.build is not None
    texts = {str(path): path.read_text() for path in folder.rglob("*.yaml")}
    step = key in {field.key for field in STEP_FIELDS}
    path = str(folder / f"episodes/{'01-a' if step else '02-b'}.yaml")
    target = located(Target("step", path, step="a") if step else Target("episode", path), reading.build)
    assert target is not None
    field = FIELDS[key]
    for name, text in edit_key(texts, target, field, from_typed(field, typed, None)).changes.items():
        assert text is not None
        assert "# mine" in text or "# stays" in text
        Path(name).write_text(text)
    again = read_build(folder)
    return again.build, [problem.message for problem in again.problems]


def test_pictures_that_say_more(tmp_path: Path) -> None:
    typed = "The roll | size wide | of the housing | length 12 s | speed 8 | needs box.open\nA plain one\n"
    typed += "Half \\| half | speed 0.5"
    build, problems = written(tmp_path, "shots", typed)
    assert build is not None and problems == []
    first, second, third = build.episodes[0].stages[0].steps[0].pictures
    assert (first.says, first.size, first.of, first.length, first.speed) == ("The roll", "wide", "the housing", 12, 8.0)
    assert [str(ref) for ref in first.needs] == ["box.open"]
    assert (second.says, third.says, third.speed) == ("A plain one", "Half | half", 0.5)


def test_an_episode_speaks_of_others(tmp_path: Path) -> None:
    build, problems = written(tmp_path, "corrects", "1 | says It was 40, not 14 | safety\n1 | says The saw | safety no")
    assert build is not None and problems == []
    assert [(each.says, each.safety) for each in build.episodes[1].series.corrects] == [
        ("It was 40, not 14", True),
        ("The saw", False),
    ]
    build, _ = written(tmp_path, "sponsors", "A mill | says The steel was given | from steel\nA shop")
    assert build is not None
    assert [(each.who, each.says, each.gave) for each in build.episodes[1].series.sponsors] == [
        ("A mill", "The steel was given", "steel"),
        ("A shop", None, None),
    ]
    build, _ = written(tmp_path, "refers-to", "1\n1 | says why it is in two halves\nthe radio")
    assert build is not None
    assert [(each.episode, each.says) for each in build.episodes[1].series.refers_to] == [
        (1, None),
        (1, "why it is in two halves"),
        (None, "the radio"),
    ]
    build, _ = written(tmp_path, "promises", "It rolls | by 2\nIt stops | by 2027-02-13\nIt stays")
    assert build is not None
    assert [(each.says, each.episode, each.day and each.day[0]) for each in build.episodes[1].series.promises] == [
        ("It rolls", 2, None),
        ("It stops", None, "2027-02-13"),
        ("It stays", None, None),
    ]


def test_a_hold_is_typed_a_limit_a_line(tmp_path: Path) -> None:
    build, problems = written(tmp_path, "hold", "least 1 in\nmost 2 in\nplus-minus 0.01 in")
    assert build is not None and problems == []
    hold = build.episodes[0].stages[0].steps[0].hold
    assert hold is not None and hold.says == "at least 1 in, at most 2 in" and hold.plus_minus == pytest.approx(0.254)
    old: Value = {"limit": 5, "plus-minus": 0.5}
    assert from_typed(FIELDS["hold"], as_typed(FIELDS["hold"], old), old) == old


@pytest.mark.parametrize(
    ("key", "typed", "says"),
    [
        ("shots", "X | size huge", "must be wide or medium"),
        ("shots", "X | sise wide", "sise"),
        ("corrects", "It was wrong", "a whole number"),
        ("corrects", "1", "lacks the key says"),
        ("sponsors", "| says Given", "lacks the key who"),
        ("hold", "limit soon", "cannot be read"),
    ],
)
def test_what_cannot_be_is_said_by_the_reader(tmp_path: Path, key: str, typed: str, says: str) -> None:
    build, problems = written(tmp_path, key, typed)
    assert build is None and any(says in each for each in problems), problems


WORDS = (
    st.text(st.sampled_from(list("ab|\\ 1:#{}é")), min_size=1, max_size=12)
    .map(lambda text: " ".join(text.split()))
    .filter(bool)
)
ITEMS = st.one_of(
    WORDS,
    st.fixed_dictionaries(
        {"shot": WORDS},
        optional={
            "size": st.sampled_from(["wide", "close"]),
            "of": WORDS,
            "length": st.just("12 s"),
            "speed": st.sampled_from([8, 0.5]),
        },
    ),
)


@given(st.lists(ITEMS, min_size=1, max_size=4))
def test_what_nobody_changes_stays_and_a_new_line_changes_no_other(items: list[Value]) -> None:
    field: Field = FIELDS["shots"]
    typed = as_typed(field, items)
    assert from_typed(field, typed, items) == items
    more = from_typed(field, f"{typed}\nOne more", items)
    assert isinstance(more, list) and more[:-1] == items and more[-1] == "One more"
    assert "{'" not in shown(items), "a line of a form is not a code"


@given(ITEMS.filter(lambda item: "\\" not in str(item)))
def test_a_line_is_read_as_it_was_written(item: Value) -> None:
    back = item_of(SHAPES["shots"], item_line(SHAPES["shots"], item))
    bare = item["shot"] if isinstance(item, dict) and set(item) == {"shot"} else item
    assert back == bare
