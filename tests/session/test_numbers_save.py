"""Writing what was changed into its own lines of numbers.yaml."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.editing.spots import Spot
from planner.files.editing.steps import delete_step
from planner.files.yaml.places import EditError
from planner.files.yaml.tree import Problems
from planner.session.loose import leaving
from planner.session.numbers.draft import Draft, Typed, put, put_all
from planner.session.numbers.file import Now, edited, read_now, save_task
from planner.session.opened import Opened, open_build
from planner.session.writing.desk import Outcome, Task, desk_of, no_edit
from planner.session.writing.desk import now_of as where_it_stands
from tests.app.numbers.support import NUMBERS, SIDES, axle
from tests.support.clock import Clock


def changed(draft: Draft, *changes: tuple[str, str, Typed]) -> Draft:
    for name, key, value in changes:
        draft = put_all(draft, name, key, value)
    return draft


def lines_that_differ(before: str, after: str) -> list[tuple[str, str]]:
    old, new = before.splitlines(), after.splitlines()
    assert len(old) == len(new)
    return [(a, b) for a, b in zip(old, new, strict=True) if a != b]


def now_of(folder: Path) -> Draft:
    return Draft(read_now(folder, SIDES, "inch 1/32").sections)


@pytest.mark.parametrize(
    ("key", "side", "text", "line"),
    [
        ("kerf", None, "3/32 in", "  kerf: 3/32 in"),
        ("plate-to-plate", None, "53 31/32 in ± 1/32", '  plate-to-plate: "53 31/32 in ± 1/32"'),
        ("first-line", None, "4' 6 7/8\"", "  first-line: 4' 6 7/8\""),
        ("shaft", "passenger", "27 1/2 in", "    passenger: 27 1/2 in"),
        (
            "pinion-to-flange", "driver", "31 1/32 in ± 1/32",
            "  pinion-to-flange: {driver: 31 1/32 in ± 1/32, passenger: 29 in ± 1/32}   # never twice the one",
        ),
        (
            "keep-out", "driver", "9..11 in perch; 12..13 in vent",
            '  keep-out: {driver: "9..11 in perch; 12..13 in vent", passenger: none}',
        ),
        ("shrinkage", None, "0.030..0.060 in", "  shrinkage: 0.030..0.060 in"),
    ],
)  # fmt: skip
def test_only_its_line_changes(tmp_path: Path, key: str, side: str | None, text: str, line: str) -> None:
    draft = put(now_of(axle(tmp_path)), "narrow", key, text, side, SIDES)
    after = edited(NUMBERS, draft.unsaved())
    differences = lines_that_differ(NUMBERS, after)
    assert [new for _, new in differences] == [line]
    folder = axle(tmp_path / "again", after)
    assert now_of(folder).sections() == draft.sections()


@pytest.mark.parametrize(
    ("change", "wanted"),
    [
        (("narrow", "dressing", "1/32 in"), "  dressing: 1/32 in\n"),
        (("narrow", "hat", {"driver": "1/4 in", "passenger": "3/8 in"}), "passenger: 3/8 in"),
        (("cradle", "uprights", "3"), "  uprights: 3\n"),
        (("tyre", "size", "205/55R16"), "tyre:\n  size: 205/55R16\n"),
        (("shaft", "pitch", "24/48"), "shaft:\n  pitch: 24/48\n"),
        (("shaft", "teeth", "30"), "shaft:\n  teeth: 30\n"),
        (("wrap", "positions", "030"), "wrap:\n  positions: "),
    ],
)
def test_a_new_input_is_put_where_it_belongs(tmp_path: Path, change: tuple[str, str, Typed], wanted: str) -> None:
    draft = changed(now_of(axle(tmp_path)), change)
    after = edited(NUMBERS, draft.unsaved())
    assert wanted in after
    assert all(line in after for line in NUMBERS.splitlines() if "hat" not in line)
    assert now_of(axle(tmp_path / "again", after)).sections() == draft.sections()


def test_a_new_input_stands_behind_the_one_before_it(tmp_path: Path) -> None:
    draft = changed(now_of(axle(tmp_path)), ("narrow", "dressing", "1/32 in"))
    lines = edited(NUMBERS, draft.unsaved()).splitlines()
    assert lines.index("  dressing: 1/32 in") == lines.index("  kerf: 1/8 in") + 1


def test_an_input_is_taken_out_and_its_comment_stays(tmp_path: Path) -> None:
    draft = now_of(axle(tmp_path))
    plain = edited(NUMBERS, changed(draft, ("narrow", "gap", None)).unsaved())
    assert plain == NUMBERS.replace("  gap: 1/16 in\n", "")
    noted = edited(NUMBERS, changed(draft, ("wheel", "backspacing", "")).unsaved())
    assert "# on the wheel itself" in noted
    assert "backspacing" not in now_of(axle(tmp_path / "again", noted)).sections()["wheel"]


def test_a_section_may_become_empty_and_full_again(tmp_path: Path) -> None:
    draft = changed(now_of(axle(tmp_path)), ("bars", "stock", None))
    empty = edited(NUMBERS, draft.unsaved())
    folder = axle(tmp_path / "again", empty)
    assert now_of(folder).sections()["bars"] == {}, "steps that name its numbers still find the section"
    full = edited(empty, changed(now_of(folder), ("bars", "stock", "100 in")).unsaved())
    assert now_of(axle(tmp_path / "once more", full)).sections() == now_of(axle(tmp_path / "third")).sections()


def build_of(folder: Path) -> Opened:
    found = open_build(folder, Clock())
    assert isinstance(found, Opened)
    return found


def saved(build: Opened, now: Now, *changes: tuple[str, str, Typed]) -> Outcome:
    """What comes of saving changes over what was read, on the desk of the build that is open."""
    task = save_task(build.folder, now, changed(Draft(now.sections), *changes).unsaved())
    return done(build, task)


def done(build: Opened, task: Task) -> Outcome:
    desk = desk_of(build)
    outcome = desk.work_out(task, where_it_stands(build))
    if outcome.good:
        desk.keep(outcome, build)
    return outcome


def read(folder: Path, text: str | None = None) -> Now:
    return read_now(folder, SIDES, "inch 1/32", text)


def test_a_file_is_made_where_there_is_none_and_undone_it_is_gone(tmp_path: Path) -> None:
    folder = axle(tmp_path, None)
    build, now = build_of(folder), read(folder)
    assert now.text is None
    saved(build, now, ("narrow", "kerf", "2 mm"), ("wheel", "width", "7 in"))
    assert (folder / "numbers.yaml").read_text("utf-8").startswith("format: 1\n")
    assert now_of(folder).sections() == {"wheel": {"width": "7 in"}, "narrow": {"kerf": "2 mm"}}
    done(build, Task("undone", no_edit, step=-1))
    assert not (folder / "numbers.yaml").exists()


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_line_ends_and_a_byte_order_mark_stay(tmp_path: Path, newline: str) -> None:
    folder = axle(tmp_path)
    path = folder / "numbers.yaml"
    path.write_bytes(("\ufeff" + NUMBERS.replace("\n", newline)).encode("utf-8"))
    before = path.read_bytes()
    build = build_of(folder)
    saved(build, read(folder), ("narrow", "kerf", "3/32 in"), ("narrow", "dressing", "0.5 mm"))
    text = path.read_bytes().decode("utf-8")
    assert text.startswith("\ufeff# Taken")
    assert text.count("\n") == text.count(newline)
    assert text.replace(newline, "\n").replace("  dressing: 0.5 mm\n", "").replace("3/32", "1/8") == "\ufeff" + NUMBERS
    done(build, Task("undone", no_edit, step=-1))
    assert path.read_bytes() == before
    done(build, Task("redone", no_edit, step=1))
    assert path.read_bytes().decode("utf-8") == text


def test_edits_of_plan_and_numbers_are_undone_in_one_order(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    build, plan_file = build_of(folder), folder / "episodes/01-lines.yaml"
    plan = plan_file.read_text("utf-8")
    saved(build, read(folder), ("narrow", "kerf", "3/32 in"))
    done(build, Task("deleted", lambda texts: delete_step(texts, Spot(str(plan_file), 0, 1))))
    saved(build, read(folder), ("narrow", "gap", "1/8 in"))
    assert plan_file.read_text("utf-8") != plan
    states = []
    for _ in range(3):
        done(build, Task("undone", no_edit, step=-1))
        numbers = (folder / "numbers.yaml").read_text("utf-8")
        states.append(("gap: 1/8" in numbers, plan_file.read_text("utf-8") == plan, numbers == NUMBERS))
    assert states == [(False, False, False), (False, True, False), (False, True, True)]


def test_the_steps_take_their_numbers_from_what_was_saved_and_undone(tmp_path: Path) -> None:
    build = build_of(axle(tmp_path))

    def line() -> str:
        return build.one.plan.build.numbers["narrow.second-line"]["driver"][1]

    before = line()
    saved(build, read(build.folder), ("narrow", "first-line", "4 1/4 in"))
    assert line().startswith("7 1/4 in") and not before.startswith("7 1/4 in")
    done(build, Task("undone", no_edit, step=-1))
    assert line() == before


def test_somebody_elses_change_is_never_written_over(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    build, now = build_of(folder), read(folder)
    theirs = NUMBERS.replace("1/8 in", "1/4 in")
    (folder / "numbers.yaml").write_text(theirs, encoding="utf-8")
    outcome = saved(build, now, ("narrow", "kerf", "3/32 in"))
    assert not outcome.good and "save once more" in outcome.refused
    assert (folder / "numbers.yaml").read_text("utf-8") == theirs


def test_what_the_disk_refuses_is_held_and_read_from_there(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    path = folder / "numbers.yaml"
    build, desk = build_of(folder), desk_of(build_of(folder))
    assert desk.held(str(path)) is None
    desk = desk_of(build)
    path.chmod(0o444)
    saved(build, read(folder), ("narrow", "kerf", "3/32 in"))
    assert "read-only" in desk.unsaved
    assert path.read_text("utf-8") == NUMBERS
    assert not [each for each in folder.iterdir() if each.name.startswith(".")]
    held = desk.held(str(path))
    assert read(folder, held).sections["narrow"]["kerf"] == "3/32 in"
    assert [each.what for each in leaving(build)] == ["edit"]
    path.chmod(0o644)
    assert desk.save_again(build)
    assert path.read_text("utf-8") == held and desk.held(str(path)) is None


@pytest.mark.parametrize(
    "text",
    [
        "1/4 in # not a comment", "1/4 in: no key", "[1/4 in", "{a: b}", "'", '"', "- x", "*a", "&a", "!t", "|", ">",
        "no", "null", "1:30", "~", "%", "@", "`", "\u200b1 in", "a\tb", "ü", "x" * 180,
    ],
)  # fmt: skip
def test_nasty_words_are_read_back_as_typed(tmp_path: Path, text: str) -> None:
    draft = changed(now_of(axle(tmp_path)), ("narrow", "keep-out", text), ("tyre", "size", text))
    try:
        after = edited(NUMBERS, draft.unsaved())
    except EditError:  # a refusal is fine, a wrong text is not
        return
    found = read_after(tmp_path, after)
    assert found["tyre"]["size"] == text.strip()
    assert "".join(after.splitlines(keepends=True)[:2]) == "".join(NUMBERS.splitlines(keepends=True)[:2])


def read_after(tmp_path: Path, text: str) -> dict[str, dict[str, object]]:
    """The sections of a text, whatever its keep-outs may say."""
    from planner.files.build.numbers import read_numbers
    from planner.files.yaml.tree import parse

    problems = Problems()
    tree = parse(text, "numbers.yaml", problems)
    assert tree is not None, problems.found
    file = read_numbers(tmp_path / "numbers.yaml", tree, SIDES, problems)
    assert not problems.found
    return {name: dict(section) for name, section in file.sections.items()}


def test_a_file_with_problems_has_no_numbers(tmp_path: Path) -> None:
    folder = axle(tmp_path, NUMBERS.replace("kerf: 1/8 in", "kurf: 1/8 in"))
    now = read_now(folder, SIDES, "inch 1/32")
    assert now.sections == {}
    assert now.outcomes == {}
    assert "kurf" in str(now.problems[0])
