"""What would be lost on leaving: edits that the disk refused, and numbers that were typed and never saved."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from planner.session.numbers.shelf import Shelf
    from planner.session.opened import Opened

EDIT, NUMBERS = "edit", "numbers"


class Loose(NamedTuple):
    """Something that is on no disk yet."""

    what: str  # EDIT or NUMBERS
    changes: int
    why: str  # why it is not on the disk
    again: Callable[[], bool] | None = None  # try once more to save it; whether it is on the disk now


def leaving(opened: Opened | None, shelf: Shelf | None = None) -> tuple[Loose, ...]:
    """What would be lost if the build were forgotten; with ``shelf``, if the app were left as well."""
    found = []
    if opened is not None and opened.desk is not None and opened.desk.unsaved:
        found.append(Loose(EDIT, 1, opened.desk.unsaved, lambda: _again(opened)))
    count = shelf.unsaved() if shelf is not None else 0
    if count:
        found.append(Loose(NUMBERS, count, ""))
    return tuple(found)


def _again(opened: Opened) -> bool:
    from planner.files.disk.saving import ChangedOutsideError

    desk = opened.desk
    if desk is None:
        return True
    try:
        return desk.save_again(opened)
    except ChangedOutsideError as error:
        desk.unsaved = f"{desk.short(error.path)} was changed outside; W on the plan shows both texts"
        return False
