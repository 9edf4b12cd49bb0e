"""What a saving of several files was about to do, kept beside them meanwhile: a kill in between is mended.

The new texts and the old ones stand beside their places before the journal is written, and the journal goes last of
all. A folder that holds one belongs to a saving that was cut off: it is finished, or taken back where it was being
taken back or where somebody has changed one of its files since. A file that is not as the saving left it is left alone.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from planner.files.disk.folders import folder_to_disk, hold_folder
from planner.files.disk.locking import to_disk
from planner.files.disk.plainfile import read_plain
from planner.files.layout import EPISODES, MAX_BYTES

NAME = ".planner-saving"
_STRAY = re.compile(r"\.(.+)\.[0-9a-f]{8}\.(new|old|was)")
_MOST = 1 << 20
FORTH, BACK = "forth", "back"


class Entry(NamedTuple):
    """One file of a saving, by names from the journal's folder on."""

    target: str
    fresh: str | None  # the new text, until it is in its place; None: the file is taken out
    kept: str | None  # the old text; None: there was no file
    before: str | None  # what the old text sums to: what is kept may be the same file, written into since
    after: str | None  # what the new text sums to


def sum_of(body: bytes | None) -> str | None:
    """The sum by which a text is known again."""
    return None if body is None else hashlib.sha256(body).hexdigest()


def write_journal(folder: Path, way: str, entries: Sequence[Entry]) -> None:
    """Put the journal on the disk, whole or not at all. Raises OSError."""
    fresh = folder / f"{NAME}.{secrets.token_hex(4)}.new"
    body = json.dumps({"v": 1, "way": way, "files": entries}).encode()
    fd = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        os.write(fd, body)
        to_disk(fd)
    finally:
        os.close(fd)
    os.replace(fresh, folder / NAME)  # noqa: PTH105
    folder_to_disk(folder)


def drop_journal(folder: Path) -> None:
    """The saving is over, whichever way."""
    with suppress(OSError):
        (folder / NAME).unlink(missing_ok=True)
        folder_to_disk(folder)


def _read(path: Path) -> tuple[str, list[Entry]] | None:
    try:
        raw = json.loads(read_plain(path, _MOST))
        entries = [Entry(*each) for each in raw["files"]]
        way = raw["way"]
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return None
    return (way, entries) if all(_ours(each) for each in entries) else None


def _ours(entry: Entry) -> bool:
    """Whether an entry names nothing but a file of the build and what stands beside it."""
    head, _, name = str(entry.target).rpartition("/")
    beside = [each for each in (entry.fresh, entry.kept) if each is not None]
    return head in ("", EPISODES) and all(
        str(each).rpartition("/")[0] == head
        and (found := _STRAY.fullmatch(str(each).rpartition("/")[2])) is not None
        and found[1] == name
        for each in beside
    )


def mend(folder: str | os.PathLike[str]) -> list[tuple[str, str]]:
    """Finish or take back a saving that was cut off, and take away what was left over; where, and what was done.

    Costs two listings where there is nothing to mend. Where the disk refuses, everything stays for the next time.
    """
    home = Path(folder)
    places = [home, home / EPISODES]
    if not any(_left(place) for place in places):
        return []
    says: list[tuple[str, str]] = []
    with suppress(OSError), alone(places):
        for place in places:
            journal = place / NAME
            if journal.exists():
                found = _read(journal)
                if found is None:
                    says.append((str(journal), "cannot be used and is left where it is"))
                else:
                    says.append((str(place), _mend(place, *found)))
        for place in places:
            for path in _left(place):
                _take_away(path)
    return says


def _left(place: Path) -> list[Path]:
    try:
        names = os.listdir(place)  # noqa: PTH208  # names only: every opening pays for it
    except OSError:
        return []
    return [place / name for name in names if name[:1] == "." and (name == NAME or _STRAY.fullmatch(name))]


def _take_away(path: Path) -> None:
    """What never was in its place, or stands there as well."""
    found = _STRAY.fullmatch(path.name)
    if found is None:
        return
    if found[2] == "old" and _body(path) != _body(path.with_name(found[1])):
        return  # a text that could not be put back: it is the person's
    with suppress(OSError):
        path.unlink()


def _body(path: Path) -> bytes | None:
    try:
        return read_plain(path, 4 * MAX_BYTES)
    except OSError:
        return None


def _mend(place: Path, way: str, entries: Sequence[Entry]) -> str:
    """Go on in the way it went; back as well where a file that is not in its place yet was changed since."""
    names = ", ".join(each.target for each in entries)
    if way == FORTH and all(_may_go_on(place, each) for each in entries):
        write_journal(place, FORTH, entries)
        for each in entries:
            _forth(place, each)
        done = f"a saving of {names} was cut off; it is finished now"
    else:
        write_journal(place, BACK, entries)
        for each in entries:
            _back(place, each)
        done = f"a saving of {names} was cut off; it was taken back"
    for each in entries:
        for name in (each.fresh, each.kept):
            if name is not None:
                (place / name).unlink(missing_ok=True)
    drop_journal(place)
    return done


def _may_go_on(place: Path, entry: Entry) -> bool:
    if entry.fresh is not None and not (place / entry.fresh).exists():
        return True  # it was done; somebody may have gone on from there
    return sum_of(_body(place / entry.target)) in (entry.before, entry.after)


def _forth(place: Path, entry: Entry) -> None:
    target = place / entry.target
    if entry.fresh is None:
        if entry.kept is not None and (place / entry.kept).exists():
            target.unlink(missing_ok=True)
    elif (place / entry.fresh).exists():
        (place / entry.fresh).replace(target)


def _back(place: Path, entry: Entry) -> None:
    target = place / entry.target
    if sum_of(_body(target)) != entry.after:
        return  # it was not in its place yet, or somebody has changed it since
    if entry.kept is None:
        target.unlink(missing_ok=True)
    elif (place / entry.kept).exists():
        (place / entry.kept).replace(target)


@contextmanager
def alone(places: Sequence[Path]) -> Iterator[None]:
    """Hold folders for this program alone, as far as the disk can. Raises OSError where another does not let go."""
    held: list[int] = []
    try:
        held += [hold_folder(place) for place in sorted(set(places)) if place.is_dir()]
        yield
    finally:
        for fd in held:
            if fd >= 0:
                os.close(fd)  # the lock goes with it
