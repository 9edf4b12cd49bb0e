"""The tick log: one file a device, append only, each line on the disk before anybody is told it is done."""

from __future__ import annotations

import contextlib
import json
import os
import time
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from planner.files.locking import lock, to_disk, unlock
from planner.plan.ticks import Event

VERSION = 1
LOG_FOLDER = "log"
_QUIET_NS = 100_000_000  # file systems stamp folders no finer than a few milliseconds
_MAX_N = 1 << 62  # orders a record; larger is damage, and would leave no room to count on


class LogNotice(NamedTuple):
    """Something in a log that is kept but not used: where, and why."""

    path: str
    line: int
    says: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.says}"


class NotWrittenError(Exception):
    """A tick could not be put on the disk; nothing was recorded."""


class _File:
    """What has been read of one device's file."""

    __slots__ = ("device", "events", "inode", "lines", "name", "notices", "open_end", "path", "read_to", "tail")

    def __init__(self, path: Path) -> None:
        self.path = path
        self.name = str(path)
        self.forget()

    def forget(self) -> None:
        """Start over: the file was replaced or cut."""
        self.read_to = 0  # bytes, up to the end of the last whole line
        self.lines = 0
        self.tail = b""  # the last bytes before read_to, to notice a file that was replaced in place
        self.open_end = False  # whether the last line lacks its end
        self.inode = -1
        self.device = -1
        self.events: list[Event] = []
        self.notices: list[LogNotice] = []


_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


def iso(seconds: float) -> str:
    """UTC seconds as ISO 8601."""
    return datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


class TickLog:
    """All logs of one build, merged, and the pen of this device.

    Reading never fails for what a log holds: a line that cannot be used is kept and reported.
    """

    def __init__(self, build_folder: str | os.PathLike[str], device: str | None = None) -> None:
        self.folder = Path(build_folder) / LOG_FOLDER
        self.device = device
        self._files: dict[str, _File] = {}
        self._merged: list[Event] | None = []
        self._pending: dict[str, LogNotice] = {}
        self._fd = -1
        self._largest = 0
        self._folder_name = str(self.folder)
        self._own_name = str(self.folder / f"{device}.jsonl")
        self._listed: Sequence[str] = []
        self._listed_at = -1
        self.version = 0  # changes when refresh() met something it did not know
        self.refresh()

    # Reading

    def refresh(self) -> bool:
        """Read what was appended since; whether there was anything new."""
        before = self.version
        for name in self._names():
            file = self._files.get(name)
            if file is None:
                file = self._files[name] = _File(self.folder / name)
            self._read(name, file)
        return self.version != before

    def _names(self) -> Sequence[str]:
        """The log files there are. The folder is listed again only when it has changed.

        A folder changed within the clock's coarseness of the last listing may have changed again unseen, so
        it is listed until it has been quiet for a while.
        """
        try:
            changed = os.stat(self._folder_name).st_mtime_ns  # noqa: PTH116  # twice as fast as pathlib
            if changed == self._listed_at:
                return self._listed
            names = sorted(name for name in os.listdir(self._folder_name) if name.endswith(".jsonl"))  # noqa: PTH208
            self._listed_at = changed if time.time_ns() - changed > _QUIET_NS else -1
            self._pending.pop(".", None)
        except FileNotFoundError:
            names, self._listed_at = [], -1
        except OSError as error:
            names, self._listed_at = [], -1
            self._pending["."] = LogNotice(
                str(self.folder), 1, f"the folder cannot be read: {error.strerror or error}; its ticks are missing"
            )
        for gone in set(self._files) - set(names):
            del self._files[gone]
            self._pending.pop(gone, None)
            self._changed(None)
        self._listed = names
        return names

    def _changed(self, event: Event | None) -> None:
        self.version += 1
        merged = self._merged
        if event is not None and merged is not None and (not merged or merged[-1][:2] < event[:2]):
            merged.append(event)  # the usual case: our own tick, newest of all
        else:
            self._merged = None

    def _read(self, name: str, file: _File) -> None:
        try:
            status = os.stat(file.name)  # noqa: PTH116
            if (
                status.st_size == file.read_to
                and status.st_ino == file.inode
                and status.st_dev == file.device
                and name not in self._pending
            ):
                return
            with file.path.open("rb") as stream:
                if file.read_to and (
                    status.st_size < file.read_to
                    or status.st_ino != file.inode
                    or status.st_dev != file.device
                    or not self._same_tail(stream, file)
                ):
                    file.forget()
                    self._changed(None)
                stream.seek(file.read_to)
                data = stream.read()
        except OSError as error:
            self._pending[name] = LogNotice(
                str(file.path), 1, f"cannot be read: {error.strerror or error}; its ticks are missing until it can"
            )
            return
        self._pending.pop(name, None)
        file.inode, file.device = status.st_ino, status.st_dev
        self._take(name, file, data)

    @staticmethod
    def _same_tail(stream: Any, file: _File) -> bool:
        stream.seek(file.read_to - len(file.tail))
        return bool(stream.read(len(file.tail)) == file.tail)

    def _take(self, name: str, file: _File, data: bytes) -> None:
        """Turn new bytes into events; a last line without its end stays for the next reading."""
        whole = data[: data.rfind(b"\n") + 1]
        rest = data[len(whole) :]
        if rest and isinstance(read_line(rest), Event):
            # All of the last line is there but its end. A record cannot be cut and still be one, so it counts.
            whole, rest = data, b""
        lines = whole.split(b"\n")
        if file.open_end and lines and not lines[0]:
            del lines[0]  # only the end that was lacking
        for line in lines[:-1] if whole.endswith(b"\n") else lines:
            file.lines += 1
            if line.strip():
                self._line(file, file.lines, line)
        file.read_to += len(whole)
        if whole:
            file.tail = (file.tail + whole)[-64:]
            file.open_end = not whole.endswith(b"\n")
        if rest.strip():
            own = self.device is not None and name == f"{self.device}.jsonl"
            says = (
                "the last line is torn: the program or the machine stopped while writing it, so it was never"
                " acknowledged; it is skipped"
                if own
                else "the last line has not arrived whole; it is pending"
            )
            self._pending[name] = LogNotice(str(file.path), file.lines + 1, says)

    def _line(self, file: _File, number: int, line: bytes) -> None:
        found = read_line(line)
        if isinstance(found, Event):
            file.events.append(found)
            self._largest = max(self._largest, found.n)
            self._changed(found)
        else:
            file.notices.append(LogNotice(str(file.path), number, found))
            self.version += 1

    @property
    def events(self) -> list[Event]:
        """All events of all devices in merged order, doubles dropped."""
        if self._merged is None:
            found = [event for file in self._files.values() for event in file.events]
            self._merged = merge(found)
        return self._merged

    @property
    def notices(self) -> list[LogNotice]:
        """What the logs hold that is not used, and why."""
        found = [notice for _, file in sorted(self._files.items()) for notice in file.notices]
        return [*found, *(notice for _, notice in sorted(self._pending.items()))]

    # Writing

    @contextlib.contextmanager
    def writing(self) -> Iterator[None]:
        """Hold this device's file, with everything others wrote read in.

        Raises NotWrittenError where the file cannot be opened.
        """
        fd = self._open()
        try:
            lock(fd)
            try:
                self.refresh()
                yield
            finally:
                unlock(fd)
        except OSError as error:  # a file system that cannot lock
            raise NotWrittenError(
                f"{self.folder}: could not be locked: {error.strerror or error}; nothing was recorded"
            ) from error

    def append(self, records: Sequence[Mapping[str, Any]], at: float, now: float | None = None) -> list[Event]:
        """Write records as lines and wait until the disk has them; only inside ``writing``.

        Each record is ``did``, ``op`` and what that needs; ``v``, ``n``, ``at`` and ``by`` are added here.
        ``at`` is when it happened in UTC seconds; ``now`` is the clock that orders it. Raises NotWrittenError,
        with the file as it was before.
        """
        assert self.device is not None  # noqa: S101  # nobody writes without a name
        clock = int((time.time() if now is None else now) * 1000)
        n = max(self._largest + 1, clock)
        at = int(at * 1000) / 1000  # what the stamp says, so that what is read back is the same
        stamp = iso(at)
        events = []
        for offset, record in enumerate(records):
            full = {"v": VERSION, "n": n + offset, "at": stamp, "by": self.device, **record}
            events.append(Event(n + offset, self.device, at, record.get("op"), record["did"], full))
        self._write(events)
        return events

    def _write(self, events: Sequence[Event]) -> None:
        fd = self._fd
        name = f"{self.device}.jsonl"
        size = os.fstat(fd).st_size
        file = self._files.get(name)
        known = file is not None and file.read_to == size and not file.open_end
        data = "".join([_encode(event.raw) + "\n" for event in events]).encode("utf-8", "backslashreplace")
        try:
            if size and not known:
                os.lseek(fd, size - 1, os.SEEK_SET)
                if os.read(fd, 1) != b"\n":
                    data = b"\n" + data  # a torn last line never damages the next
            written = os.write(fd, data)
            while written < len(data):
                written += os.write(fd, data[written:])
            to_disk(fd)
        except OSError as error:
            with contextlib.suppress(OSError):  # then what is left is a torn line, and reading copes with that
                os.ftruncate(fd, size)
            raise NotWrittenError(
                f"{self.folder / name}: could not be written: {error.strerror or error}; nothing was recorded"
            ) from error
        if file is None:
            file = self._files[name] = _File(self.folder / name)
        if size and not known:
            self._read(name, file)
            return
        if file.inode < 0:
            status = os.fstat(fd)
            file.inode, file.device = status.st_ino, status.st_dev
        file.read_to += len(data)
        file.lines += len(events)
        file.tail = data[-64:]
        file.events += events
        for event in events:
            self._largest = max(self._largest, event.n)
            self._changed(event)

    def _open(self) -> int:
        if self.device is None:
            raise NotWrittenError("this device has no name; set PLANNER_DEVICE")
        path = self._own_name
        try:
            if self._fd >= 0:
                mine = os.fstat(self._fd)
                try:
                    there = os.stat(self._own_name)  # noqa: PTH116
                    if there.st_ino == mine.st_ino and there.st_dev == mine.st_dev:
                        return self._fd
                except FileNotFoundError:
                    pass
                self.close()  # it was replaced or taken away under us
            fresh = not os.path.exists(path)  # noqa: PTH110
            if fresh:
                if not self.folder.parent.is_dir():
                    raise NotWrittenError(f"{self.folder.parent}: the build is gone; nothing was recorded")
                self.folder.mkdir(exist_ok=True)
            flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
            self._fd = os.open(path, flags, 0o666)
            if fresh:
                _folder_to_disk(self.folder)
                _folder_to_disk(self.folder.parent)
        except OSError as error:
            raise NotWrittenError(
                f"{path}: could not be written: {error.strerror or error}; nothing was recorded"
            ) from error
        return self._fd

    def close(self) -> None:
        """Let go of the file."""
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1


def _folder_to_disk(folder: Path) -> None:
    """Make a new file's name last too; not every system can, and then there is nothing to do."""
    try:
        fd = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(fd)
    except OSError:
        pass
    finally:
        os.close(fd)


def merge(events: Sequence[Event]) -> list[Event]:
    """Events of all devices ordered by (n, by), exact doubles dropped; the same for any order they come in."""
    out: list[Event] = []
    for event in sorted(events, key=lambda e: (e.n, e.by, json.dumps(e.raw, sort_keys=True))):
        if not out or out[-1] != event:
            out.append(event)
    return out


def read_line(line: bytes) -> Event | str:
    """One line as an event, or why it is not used."""
    try:
        raw = json.loads(line)
    except (ValueError, RecursionError):
        return "this line is damaged and is skipped; it stays in the file"
    if not isinstance(raw, dict):
        return "this line is not a record and is skipped; it stays in the file"
    version = raw.get("v")
    if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
        return f"this line was written by a newer planner (v {version}); it is kept and not used: update this one"
    n, by, did, op, at = raw.get("n"), raw.get("by"), raw.get("did"), raw.get("op"), raw.get("at")
    whole = isinstance(n, int) and not isinstance(n, bool) and 0 <= n < _MAX_N
    if version != VERSION or not whole or not isinstance(by, str) or not isinstance(did, str):
        return "this line lacks a usable v, n, by or did and is skipped; it stays in the file"
    if op is not None and not isinstance(op, str):
        return "this line's op is not an operation's name; it is skipped and stays in the file"
    try:
        when = datetime.fromisoformat(at if isinstance(at, str) else "")
        seconds = (when if when.tzinfo is not None else when.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return "this line's at is not a time; it is skipped and stays in the file"
    return Event(n, by, seconds, op, did, raw)  # type: ignore[arg-type]
