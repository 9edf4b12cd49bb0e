"""Putting edited plan files on the disk: all of an edit or nothing of it, and never over somebody else's work.

Every file is written beside its place under a name that reading passes over, brought to the disk, and then put
in its place in one move; the file before is kept at hand until all are in place, and put back when one fails.
"""

from __future__ import annotations

import os
import secrets
import shutil
import stat
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from planner.files.disk.folders import folder_to_disk
from planner.files.disk.journal import BACK, FORTH, Entry, alone, drop_journal, sum_of, write_journal
from planner.files.disk.locking import to_disk
from planner.files.disk.plainfile import NotPlainError, read_plain
from planner.files.layout import EPISODES, MAX_BYTES


class NotSavedError(Exception):
    """The disk refused; every file is as it was. Says which file and why."""


class ChangedOutsideError(Exception):
    """A file is not as it was when it was read; nothing was saved. Both texts are here to choose from.

    ``mine`` is what would have been saved (None: the file taken out), ``theirs`` what is there now (None: no
    file), ``before`` what was read.
    """

    def __init__(self, path: str, mine: bytes | None, theirs: bytes | None, before: bytes | None) -> None:
        super().__init__(f"{path} was changed outside since it was read; nothing was saved")
        self.path = path
        self.mine = mine
        self.theirs = theirs
        self.before = before


class Change(NamedTuple):
    """One file: its bytes as they were read, and as they shall be (None: no file)."""

    before: bytes | None
    after: bytes | None


class _Draft:
    """What has been done for one file so far."""

    def __init__(self, path: str, change: Change) -> None:
        self.path = path
        self.change = change
        self.target = Path(os.path.realpath(path))  # through links, which stay
        self.fresh: Path | None = None  # the new text, beside its place
        self.kept: Path | None = None  # the old text, beside its place
        self.placed = False
        self.ending = "old"  # of what is kept: of an only file it is of no use after a kill, and called otherwise


def changes_of(texts: Mapping[str, str], changes: Mapping[str, str | None]) -> dict[str, Change]:
    """An edit of texts as bytes before and after."""
    return {path: Change(_bytes(texts.get(path)), _bytes(after)) for path, after in changes.items()}


def _bytes(text: str | None) -> bytes | None:
    return text.encode("utf-8") if text is not None else None


def save(changes: Mapping[str, Change]) -> None:
    """Save all of some files or none, also through a kill. Raises ChangedOutsideError and NotSavedError."""
    drafts = [_Draft(path, change) for path, change in changes.items() if change.before != change.after]
    try:
        with alone([draft.target.parent for draft in drafts]):  # two programs saving one file lose neither edit
            _save(drafts)
    except OSError as error:
        raise NotSavedError(f"nothing was saved: {error.strerror or error}") from error


def _save(drafts: list[_Draft]) -> None:
    for draft in drafts:
        _check(draft)
        draft.ending = "was" if len(drafts) == 1 else "old"
    path, home = "", None
    try:
        for draft in drafts:
            path = draft.path
            _prepare(draft)
        home = _journal(drafts)
        for draft in drafts:
            path = draft.path
            _check(draft)  # once more, a moment before
            _place(draft)
        for folder in {draft.target.parent for draft in drafts}:
            folder_to_disk(folder)
    except BaseException as error:
        if home is not None:
            with suppress(OSError):
                write_journal(home, BACK, _entries(home, drafts))
        left = _undo(drafts)
        if not isinstance(error, OSError):
            raise
        why = error.strerror or str(error)
        says = "; every file is as it was" if not left else f"; the text before is kept in {', '.join(left)}"
        raise NotSavedError(f"{path}: could not be saved: {why}{says}") from error
    finally:
        for draft in drafts:
            _tidy(draft)
        if home is not None:
            drop_journal(home)


def _journal(drafts: list[_Draft]) -> Path | None:
    """Write down what is about to be done; the folder where it stands. One file goes into its place in one move."""
    if len(drafts) < 2:
        return None
    parents = {draft.target.parent for draft in drafts}
    home = min(parents, key=lambda folder: len(folder.parts))
    if not all(folder == home or (folder.parent == home and folder.name == EPISODES) for folder in parents):
        return None  # files that are links to elsewhere: each is still put in its place in one move
    for folder in parents:
        folder_to_disk(folder)
    write_journal(home, FORTH, _entries(home, drafts))
    return home


def _entries(home: Path, drafts: list[_Draft]) -> list[Entry]:
    def name(path: Path | None) -> str | None:
        return None if path is None else path.relative_to(home).as_posix()

    return [
        Entry(
            name(each.target) or "",
            name(each.fresh),
            name(each.kept),
            sum_of(each.change.before),
            sum_of(each.change.after),
        )
        for each in drafts
    ]


def _check(draft: _Draft) -> None:
    """Raises ChangedOutsideError for a file that is not as it was read, NotSavedError for one that is locked."""
    there = _on_disk(draft)
    if there != draft.change.before:
        raise ChangedOutsideError(draft.path, draft.change.after, there, draft.change.before)
    if there is not None and not draft.target.stat().st_mode & 0o222:
        raise NotSavedError(f"{draft.path} is read-only; nothing was saved. Make it writable first")
    if there is not None and not os.access(draft.target, os.W_OK):
        raise NotSavedError(f"{draft.path} may not be written by you; nothing was saved. Check its permissions")


def _on_disk(draft: _Draft) -> bytes | None:
    try:
        return read_plain(draft.target, (len(draft.change.before or b"") or MAX_BYTES) + MAX_BYTES)
    except FileNotFoundError:
        return None
    except NotPlainError as error:
        raise NotSavedError(f"{draft.path} is not a plain file; nothing was saved") from error
    except OSError as error:
        raise NotSavedError(f"{draft.path}: cannot be read: {error.strerror or error}; nothing was saved") from error


def _prepare(draft: _Draft) -> None:
    """Put the new and the old text beside the place: from here on no room is needed on the disk."""
    target = draft.target
    mark = secrets.token_hex(4)
    if draft.change.after is not None:
        target.parent.mkdir(parents=True, exist_ok=True)
        draft.fresh = target.with_name(f".{target.name}.{mark}.new")
        mode = stat.S_IMODE(target.stat().st_mode) if draft.change.before is not None else 0o666
        _write(draft.fresh, draft.change.after, mode)
        if draft.change.before is not None:
            draft.fresh.chmod(mode)
            with suppress(OSError):  # only the owner's own group, or an administrator, may
                _keep_owner(draft.fresh, target)
    if draft.change.before is not None:
        draft.kept = target.with_name(f".{target.name}.{mark}.{draft.ending}")
        try:
            os.link(target, draft.kept)
        except OSError:  # a disk without links
            shutil.copy2(target, draft.kept)


def _keep_owner(fresh: Path, target: Path) -> None:
    if hasattr(os, "chown"):
        was = target.stat()
        now = fresh.stat()
        if (was.st_uid, was.st_gid) != (now.st_uid, now.st_gid):
            os.chown(fresh, was.st_uid, was.st_gid)


def _write(path: Path, body: bytes, mode: int) -> None:
    fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    try:
        view = memoryview(body)
        while view:
            view = view[os.write(fd, view) :]
        to_disk(fd)
    finally:
        os.close(fd)


def _place(draft: _Draft) -> None:
    target = draft.target
    if draft.fresh is None:
        target.unlink()
        draft.placed = True
        return
    if draft.kept is None:  # a new file: never over one that has come meanwhile
        try:
            os.link(draft.fresh, target)
        except FileExistsError:
            raise ChangedOutsideError(draft.path, draft.change.after, _on_disk(draft), None) from None
        except OSError:  # a disk without links
            draft.fresh.replace(target)
        draft.placed = True
        return
    draft.fresh.replace(target)
    draft.placed = True
    kept = draft.kept.read_bytes()
    if kept != draft.change.before:  # written into between the look and the move
        raise ChangedOutsideError(draft.path, draft.change.after, kept, draft.change.before)


def _undo(drafts: list[_Draft]) -> list[str]:
    """Put every file back that was put in its place; returns where old texts are that could not be."""
    left: list[str] = []
    for draft in reversed(drafts):
        if not draft.placed:
            continue
        try:
            if draft.kept is not None:
                draft.kept.replace(draft.target)
            else:
                draft.target.unlink(missing_ok=True)
            draft.placed = False
        except OSError:
            if draft.kept is not None:
                left.append(str(draft.kept))
                draft.kept = None  # it stays
    return left


def _tidy(draft: _Draft) -> None:
    for path in (draft.fresh, draft.kept):
        if path is not None:
            with suppress(OSError):
                path.unlink(missing_ok=True)
