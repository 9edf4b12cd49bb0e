"""A list in plain text turned into steps: how it is read, what is written, and by pasting and typing on the screen."""

from __future__ import annotations

from difflib import ndiff
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.events import Paste

from planner.app.draw.textbox import LONGEST, MOST, TextBox
from planner.commands import main
from planner.files.build.reading import read_build
from planner.files.disk.folders import read_texts
from planner.files.disk.saving import changes_of, save
from planner.files.editing.spots import Spot, applied, steps_in
from planner.files.editing.typed import Part, Typed, has_levels, id_of, parts_of, put_in, steps_of
from planner.files.yaml.places import EditError
from planner.plan.model import Build
from planner.plan.words import is_name
from planner.session.writing.choices import offered
from tests.app.support import BRACKETS, write
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled

LIST = """\
Cut and prepare:
  - [ ] Cut on the waste side (20 min)
  - Square both faces
      with a file, not a disc
  3. Bevel the edges (1 h 30 min)
Weld
\tTack it: opposite pairs
\tWeld [A] to [B] # slowly
Sweep up
"""


# --- how it is read -----------------------------------------------------------------------------


def test_outer_lines_are_stages_where_there_are_deeper_ones() -> None:
    assert parts_of(LIST) == [
        Part("Cut and prepare", (
            Typed("Cut on the waste side", "20 min"),
            Typed("Square both faces", "", ("with a file, not a disc",)),
            Typed("Bevel the edges", "1 h 30 min"),
        )),
        Part("Weld", (Typed("Tack it: opposite pairs"), Typed("Weld [A] to [B] # slowly"), Typed("Sweep up"))),
    ]  # fmt: skip
    assert has_levels(LIST)


def test_or_inner_lines_are_notes() -> None:
    (part,) = parts_of("Cut it\n  with care\n    very\nWeld it\n", stages=False)
    assert part == Part("", (Typed("Cut it", "", ("with care", "very")), Typed("Weld it")))


@pytest.mark.parametrize("stages", [True, False])
def test_a_colon_makes_a_stage_either_way(stages: bool) -> None:
    parts = [Part("Fit-up", (Typed("Clamp"), Typed("Tack"))), Part("Weld out", (Typed("Weld"),))]
    assert parts_of("Fit-up:\nClamp\nTack\n\nWeld out:\n- Weld\n", stages) == parts
    assert parts_of("Fit-up:\n  Clamp\n  Tack\nWeld out:\n  Weld\n", stages) == parts
    parts = [Part("Fit-up", (Typed("Clamp", "", ("gently",)), Typed("Tack")))]
    assert parts_of("Fit-up:\nClamp\n  gently\nTack", stages=False) == parts


def test_a_line_deeper_than_the_step_above_is_its_note() -> None:
    steps = (Typed("b"), Typed("c", "", ("d", "e")), Typed("f"))
    assert parts_of("A\n    b\n  c\n    d\n      e\n  f") == [Part("A", steps)]


@pytest.mark.parametrize(
    "text",
    ["one\ntwo\nthree", "  one\r\n  two\r\n\r\n  three\r\n", "- one\n* two\n• three", "1. one\n2) two\n(3) three",
     "[ ] one\n[x] two\n☐ three", "1. [ ] one\n2. [x] two\n3. three", "a) one\nb) two\nc. three",
     "\tone\n\ttwo\n\tthree"],
)  # fmt: skip
def test_marks_of_lists_are_left_out(text: str) -> None:
    assert parts_of(text) == [Part("", (Typed("one"), Typed("two"), Typed("three")))]
    assert not has_levels(text)


@pytest.mark.parametrize(
    ("line", "do", "time"),
    [
        ("Cut it (20 min)", "Cut it", "20 min"),
        ("Cut it [90 s]", "Cut it", "90 s"),
        ("Cut it (soon)", "Cut it (soon)", ""),
        ("(20 min)", "(20 min)", ""),
        ("Wait (2 days) and look", "Wait (2 days) and look", ""),
        ("-5 C at night", "-5 C at night", ""),
        ("1394 mm from the flange", "1394 mm from the flange", ""),
        ("54 7/8 in. is the width", "54 7/8 in. is the width", ""),
    ],
)
def test_a_duration_at_the_end_is_the_time(line: str, do: str, time: str) -> None:
    assert parts_of(line) == [Part("", (Typed(do, time),))]


def test_ids_are_made_of_words_that_say_something() -> None:
    assert id_of("Cut on the waste side of both lines") == "cut-waste-side"
    assert id_of("Überlänge prüfen") == "uberlange-prufen"
    assert id_of("The") == "the"
    assert id_of("狭い車軸") == "step-1"
    assert is_name(id_of("x" * 200))


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=200), st.booleans())
def test_any_text_gives_steps_that_can_be_read_back(text: str, stages: bool) -> None:
    """Whatever was on the clipboard: each step is written, read back to the letter, and breaks nothing."""
    parts = parts_of(text, stages)
    job, episode = "/x/build.yaml", "/x/episodes/01-on.yaml"
    texts = {job: BRACKETS["build.yaml"], episode: BRACKETS["episodes/01-on.yaml"]}
    if not parts:
        with pytest.raises(EditError):
            put_in(texts, Spot(episode, 0), 1, parts)
        return
    after = applied(texts, put_in(texts, Spot(episode, 0), 1, parts).changes)
    old = [step["step"] for _, step in steps_in(texts[episode])]
    new = [step for _, step in steps_in(after[episode]) if step["step"] not in old]
    assert [step["do"] for step in new] == [step.do for part in parts for step in part.steps]
    assert len({str(step["step"]) for step in new}) == len(new)
    assert all(is_name(str(step["step"])) for step in new)


def test_ids_of_one_list_differ() -> None:
    steps = steps_of({}, [Typed("Cut it"), Typed("Cut it"), Typed("Cut it!")])
    assert [step["step"] for step in steps] == ["cut", "cut-2", "cut-3"]


# --- what is written ----------------------------------------------------------------------------


def test_steps_and_stages_go_where_they_belong(brackets: Path) -> None:
    texts = read_texts(brackets)
    (path,) = [each for each in texts if each.endswith("01-on.yaml")]
    edit = put_in(texts, Spot(path, 0), 1, parts_of("Peer at it\n" + LIST))
    save(changes_of(texts, edit.changes))
    build = read_build(brackets).build
    assert build is not None
    (episode,) = build.episodes
    assert [stage.title for stage in episode.stages] == ["Jig", "Cut and prepare", "Weld", "Round", "Last look"]
    assert [step.id for step in episode.stages[0].steps] == ["set-jig", "peer", "clamp", "tacks"]
    assert [step.do for step in episode.stages[2].steps][-1] == "Sweep up"
    before = BRACKETS["episodes/01-on.yaml"].splitlines()
    after = (brackets / "episodes" / "01-on.yaml").read_text("utf-8").splitlines()
    assert not [line for line in ndiff(before, after) if line.startswith("- ")]  # lines came, and none went


async def test_typed_into_the_page(brackets: Path) -> None:
    async with opened(brackets, keys="w V") as (app, pilot):
        await pilot.press(*"Look twice", "enter", *"Measure (5 min)")
        text = screen_text(app)
        assert "2 steps" in text and "look-twice" in text and "5 min" in text
        await pilot.press("ctrl+t", "2")
        await settled(app, pilot)
        assert "2 steps added from a list" in " ".join(screen_text(app).split())
    assert "      - step: look-twice\n        do: Look twice\n" in (brackets / "episodes/01-on.yaml").read_text("utf-8")


async def test_pasted_over_the_plan(brackets: Path) -> None:
    """A paste is one event, however many lines it has; on the plan it opens the page with the text in it."""
    async with opened(brackets) as (app, pilot):
        app.post_message(Paste(LIST))
        await settled(app, pilot)
        text = screen_text(app)
        assert "6 steps in 2 new stages" in text and "outer lines are stages" in " ".join(text.split())
        await pilot.press("ctrl+l")
        await settled(app, pilot)
        assert "inner lines are notes" in " ".join(screen_text(app).split())
        await pilot.press("ctrl+l", "ctrl+t", "2")
        await settled(app, pilot)
        assert "6 steps added" in screen_text(app)
        await pilot.press("U")
        await settled(app, pilot)
    assert (brackets / "episodes" / "01-on.yaml").read_text("utf-8") == BRACKETS["episodes/01-on.yaml"]


async def test_pasted_into_the_text_it_is_there_once(brackets: Path) -> None:
    async with opened(brackets, keys="V") as (app, pilot):
        app.post_message(Paste("one\ntwo"))
        await settled(app, pilot)
        assert "2 steps" in screen_text(app)
        await pilot.press("tab")
        app.post_message(Paste("\nthree"))
        await settled(app, pilot)
        assert "3 steps" in screen_text(app)


async def test_nothing_in_it_is_said(brackets: Path) -> None:
    async with opened(brackets, keys="V ctrl+t") as (app, pilot):
        assert "there is no step in this text" in screen_text(app)
        await pilot.press("escape")
        await settled(app, pilot)
        assert screen_text(app).startswith(" plan")


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_it_looks_as_reviewed(size: tuple[int, int], brackets: Path) -> None:
    async with opened(brackets, size=size) as (app, pilot):
        app.post_message(Paste(LIST))
        await settled(app, pilot)
        same_as_golden(__file__, f"paste-{size[0]}x{size[1]}", screen_text(app))


def test_a_plan_made_of_a_list_alone_can_be_checked(tmp_path: Path) -> None:
    folder = write(tmp_path, "list", {
        "build.yaml": "format: 1\nbuild: From a list\nsides: [left, right]\n",
        "episodes/01-a.yaml": "format: 1\nepisode: 1\ntitle: A\nstages:\n  - stage: A\n    steps: []\n",
    })  # fmt: skip
    texts = read_texts(folder)
    (path,) = [each for each in texts if each.endswith("01-a.yaml")]
    save(changes_of(texts, put_in(texts, Spot(path, 0), 0, parts_of(LIST)).changes))
    assert main(["check", str(folder), "--strict"]) == 0


@pytest.mark.parametrize("text", ["x" * 5_000_000, "\x1b[31mCut\n" * 600_000, "Cut\n" + "y" * 1_000_000])
async def test_megabytes_that_are_pasted_are_taken_in_measure_and_said(tmp_path: Path, text: str) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    before = read_texts(folder)
    async with opened(folder) as (app, pilot):
        app.post_message(Paste(text))  # over the plan: opens the page
        await settled(app, pilot)
        area = app.screen.query_one(TextBox)
        assert len(area.text) <= MOST and max(map(len, area.text.split("\n"))) <= LONGEST
        left = len(text) - len(area.text)
        assert f"{left:,} characters were not taken in" in screen_text(app)
        area.text = "Cut it"
        await settled(app, pilot)
        app.post_message(Paste(text))  # into the text itself
        await settled(app, pilot)
        assert len(area.text) <= MOST and max(map(len, area.text.split("\n"))) <= 2 * LONGEST
        assert "characters were not taken in" in screen_text(app)
        await pilot.press("escape")
    assert read_texts(folder) == before


def test_a_piece_that_no_step_names_yet_is_offered_as_the_kind_says(brackets: Path) -> None:
    build = read_build(brackets).build
    assert build is not None
    for do, wanted in (
        ("Weld bracket", ("weld", "bracket")),
        ("Cut the housing on the waste side", ("cut", "housing")),
        ("Weld bracket foot to rail", ("weld-bracket", "foot")),
        ("Tack in opposite pairs", ("tack", "")),
        ("Look at the weld", ("", "")),
        ("Let the frame cool", ("cool", "frame")),
        ("Grind the ends clean", ("clean", "ends")),
    ):
        assert offered(build, do) == wanted


@pytest.mark.parametrize(
    ("keys", "given"),
    [
        ("ctrl+o ctrl+t", [("weld", "bracket-foot"), ("hold", None)]),
        ("ctrl+t 1", [("weld", "bracket-foot"), ("hold", None)]),
        ("ctrl+t 2", [(None, None)] * 2),
        ("ctrl+o ctrl+o ctrl+t", [(None, None)] * 2),
    ],
)
async def test_a_kind_and_a_piece_are_offered_and_taken_when_told_to(
    tmp_path: Path, keys: str, given: list[tuple[str | None, str | None]]
) -> None:
    pieces = "pieces:\n  bracket: {}\n  bracket-foot: {in: bracket}\n"
    folder = write(tmp_path, "brackets", {**BRACKETS, "build.yaml": BRACKETS["build.yaml"] + pieces})
    async with opened(folder, size=(120, 36), keys="V") as (app, pilot):
        app.screen.query_one(TextBox).insert("Weld the bracket foot on (20 min)\nHold what is welded to the light")
        await settled(app, pilot)
        assert "weld on bracket-foot?" in screen_text(app)
        for key in keys.split():
            await pilot.press(key)
            await settled(app, pilot)
    build = read_build(folder).build
    assert build is not None
    steps = {step.do: (step.kind, step.piece) for stage in build.episodes[0].stages for step in stage.steps}
    assert [steps["Weld the bracket foot on"], steps["Hold what is welded to the light"]] == given


async def test_whoever_types_a_list_and_takes_what_is_offered_is_told_of_the_trap_in_it(brackets: Path) -> None:
    lines = """Cut the posts
Deburr the posts
Clean the posts
Tack the posts
Weld the posts
Let the posts cool
Paint the posts
Weld the posts again where the hinge sits"""
    async with opened(brackets, size=(120, 36), keys="V") as (app, pilot):
        app.screen.query_one(TextBox).insert(lines)
        await settled(app, pilot)
        await pilot.press("ctrl+t")
        await settled(app, pilot)
        assert "A kind is offered for all of the steps" in screen_text(app)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "✓ 8 steps added from a list; traps 3 → " in screen_text(app)


async def test_what_a_line_is_offered_is_looked_for_once(brackets: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def offer(build: Build, do: str) -> tuple[str, str]:
        asked.append(do)
        return "", ""

    monkeypatch.setattr("planner.app.write.paste.offered", offer)
    async with opened(brackets, keys="V") as (app, pilot):
        app.screen.query_one(TextBox).insert("Cut it\nWeld it\nCut it")
        await settled(app, pilot)
        await pilot.press("enter", "N", "o")
        await settled(app, pilot)
    assert asked == ["Cut it", "Weld it", "N", "No"]
