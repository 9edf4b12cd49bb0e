"""A copy that a file sync left: named, compared, taken over part by part, put away; nothing else is touched."""

from __future__ import annotations

from pathlib import Path

from planner.app.frame.choose import Choose
from tests.app.frame.test_outside import plan_file
from tests.app.write.support import settle
from tests.support.screens import opened, screen_text

NAME = "01-on (conflicted copy).yaml"


def with_copy(folder: Path) -> Path:
    copy = plan_file(folder).with_name(NAME)
    text = plan_file(folder).read_text(encoding="utf-8")
    changed = text.splitlines(keepends=True)
    at = next(index for index, each in enumerate(changed) if "do:" in each)
    changed[at] = changed[at].rstrip("\n") + ", slowly\n" if "{" not in changed[at] else changed[at]
    copy.write_text("".join(changed) + "# from the laptop\n", encoding="utf-8")
    return copy


async def test_a_copy_is_compared_and_one_part_taken_over(brackets: Path) -> None:
    copy = with_copy(brackets)
    before = plan_file(brackets).read_text(encoding="utf-8")
    said = copy.read_text(encoding="utf-8")
    async with opened(brackets, keys="exclamation_mark") as (app, pilot):
        assert "1 thing in the files cannot be used" in screen_text(app)
        assert NAME in screen_text(app)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, Choose)
        assert "part 1 of 2" in screen_text(app) and ", slowly" in screen_text(app)
        await pilot.press("1")  # leave it
        await settle(pilot)
        assert "part 2 of 2" in screen_text(app) and "# from the laptop" in screen_text(app)
        await pilot.press("2")  # take it
        await settle(pilot)
        assert plan_file(brackets).read_text(encoding="utf-8") == before + "# from the laptop\n"
        assert "part 1 of 1" in screen_text(app)
        await pilot.press("3")  # put the copy away
        await settle(pilot)
        app.second()  # that it is gone is no change from outside
        await settle(pilot)
        assert "the copy lies in copies/" in screen_text(app)
        assert "everything can be read" in screen_text(app)
        await pilot.press("p", "U")
        await settle(pilot)
    assert not copy.exists()
    assert (brackets / "copies" / NAME).read_text(encoding="utf-8") == said
    assert plan_file(brackets).read_text(encoding="utf-8") == before


async def test_what_would_break_the_plan_is_not_taken(brackets: Path) -> None:
    before = plan_file(brackets).read_text(encoding="utf-8")
    copy = plan_file(brackets).with_name(NAME)
    copy.write_text(before + "nonsense: [\n", encoding="utf-8")
    async with opened(brackets, keys="exclamation_mark") as (app, pilot):
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("2")
        await settle(pilot)
        assert "not written" in screen_text(app) and "part 1 of 1" in screen_text(app)
        await pilot.press("escape")
        await settle(pilot)
    assert plan_file(brackets).read_text(encoding="utf-8") == before and copy.exists()


async def test_a_copy_that_is_no_text_is_left(brackets: Path) -> None:
    copy = plan_file(brackets).with_name(NAME)
    copy.write_bytes(b"\xff\xfe\x00")
    async with opened(brackets, keys="exclamation_mark") as (app, pilot):
        await pilot.press("enter")
        await settle(pilot)
        assert "cannot be read as text" in screen_text(app)
    assert copy.read_bytes() == b"\xff\xfe\x00"
