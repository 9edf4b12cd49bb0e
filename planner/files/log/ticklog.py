"""The tick log: one file a device, append only, each line on the disk before anybody is told it is done."""

from __future__ import annotations

import contextlib
import json
import os
import stat
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, BinaryIO

from planner.files.disk.folders import folder_to_disk
from planner.files.disk.locking import lock, to_disk, unlock
from planner.files.disk.plainfile import NotPlainError, open_plain
from planner.files.layout import LOG_FOLDER, is_log
from planner.files.log.line import EARLIEST, LATEST, MAX_N, VERSION, LogNotice, iso, merge, read_line
from planner.plan.ticks import Event

MAX_LOG = 256 * 1024 * 1024  # bytes of one file, some two million records: more is no log, or would fill the memory
_QUIET_NS = 100_000_000  # file systems stamp folders no finer than a few milliseconds
_SWAPS = 20  # how often a file may be replaced while we wait for its lock

_TORN = (
    "the last line is torn: the program or the machine stopped while writing it, so it was never acknowledged;"
    " it is skipped"
)
_PENDING = "the last line has not arrived whole; it is pending"
_FOREIGN = "is not a log and is left out; if it holds ticks, give it a name that ends in .jsonl, else move it away"


class NotWrittenError(Exception):
    """A tick could not be put on the disk; nothing was recorded."""


def _not_written(what: str | Path, error: OSError) -> NotWrittenError:
    return NotWrittenError(f"{what}: could not be written: {error.strerror or error}; nothing was recorded")


class _TooBigError(OSError):
    """A log is larger than any that was ever written."""


def _why(error: OSError | MemoryError) -> str:
    if isinstance(error, NotPlainError):
        return "it is not a plain file"
    if isinstance(error, _TooBigError):
        return f"it is larger than {MAX_LOG >> 20} MiB; move it away, or what is not a tick out of it"
    if isinstance(error, MemoryError):
        return "the memory does not hold it"
    return error.strerror or str(error)


class _File:
    """What has been read of one device's file."""

    __slots__ = (
        "at_lines",
        "events",
        "identity",
        "lines",
        "name",
        "notices",
        "open_end",
        "path",
        "read_to",
        "size_time",
        "tail",
        "too_big",
    )

    def __init__(self, path: Path) -> None:
        self.path = path
        self.name = str(path)
        self.forget()

    def forget(self) -> None:
        """Start over: the file was replaced, rewritten or cut."""
        self.read_to = 0  # bytes, up to the end of the last whole line
        self.lines = 0
        self.tail = b""  # the last bytes before read_to, to notice a file that was replaced in place
        self.open_end = False  # whether the last line lacks its end
        self.identity = (-1, -1)  # inode and disk
        self.size_time = (-1, -1)  # size and time of change when it was last read; (-1, -1): unknown
        self.events: list[Event] = []
        self.at_lines: list[int] = []  # of each event, where it stands in the file
        self.notices: list[LogNotice] = []
        self.too_big = False

    def is_rewritten(self, status: os.stat_result, stream: BinaryIO) -> bool:
        """Whether the file is not the one that was read so far, with or without more behind it."""
        size, changed = self.size_time
        if (
            (status.st_ino, status.st_dev) != self.identity
            or status.st_size < self.read_to
            or (status.st_size == size and status.st_mtime_ns != changed)
        ):
            return True
        stream.seek(self.read_to - len(self.tail))
        return stream.read(len(self.tail)) != self.tail


_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


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
        self._opened = (-1, -1)  # inode and disk of the open file
        self._largest = 0
        self._folder_name = str(self.folder)
        self._own = f"{device}.jsonl"
        self._own_name = str(self.folder / self._own)
        self._listed: Sequence[str] = []
        self._foreign: list[LogNotice] = []  # what else lies in the folder
        self._listed_at = -1
        self.version = 0  # changes when refresh() met something it did not know
        self.refresh()

    # Reading

    def refresh(self) -> bool:
        """Read what was appended since; whether there was anything new."""
        before = self.version
        self._refresh(None)
        return self.version != before

    def _refresh(self, held: os.stat_result | None) -> None:
        """Read what was appended since; ``held`` is our own file's state, where it was just asked for."""
        for name in self._names():
            file = self._files.get(name)
            if file is None:
                file = self._files[name] = _File(self.folder / name)
            self._read(name, file, held if name == self._own else None)

    def _names(self) -> Sequence[str]:
        """The log files there are. The folder is listed again only when it has changed.

        A folder changed within the clock's coarseness of the last listing may have changed again unseen, so
        it is listed until it has been quiet for a while.
        """
        try:
            changed = os.stat(self._folder_name).st_mtime_ns  # noqa: PTH116  # twice as fast as pathlib
            if changed == self._listed_at:
                return self._listed
            every = sorted(
                name
                for name in os.listdir(self._folder_name)  # noqa: PTH208
                if not name.startswith(".")  # some systems put files of their own there
            )
            names = [name for name in every if is_log(name)]
            self._foreign = [LogNotice(str(self.folder / name), 1, _FOREIGN) for name in every if not is_log(name)]
            self._listed_at = changed if time.time_ns() - changed > _QUIET_NS else -1
            self._pending.pop(".", None)
        except FileNotFoundError:
            names, self._listed_at, self._foreign = [], -1, []
            self._pending.pop(".", None)
        except OSError as error:  # what was read before still counts
            self._pending["."] = LogNotice(
                str(self.folder), 1, f"the folder cannot be read: {error.strerror or error}; ticks may be missing"
            )
            self._listed_at = -1
            return ()
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

    def _read(self, name: str, file: _File, status: os.stat_result | None = None) -> None:
        try:
            if status is None:
                status = os.stat(file.name)  # noqa: PTH116
            if (status.st_size, status.st_mtime_ns) == file.size_time and (
                status.st_ino,
                status.st_dev,
            ) == file.identity:
                return
            with os.fdopen(open_plain(file.name), "rb") as stream:
                status = os.fstat(stream.fileno())
                if file.read_to and file.is_rewritten(status, stream):
                    file.forget()
                    self._changed(None)
                file.too_big = status.st_size > MAX_LOG
                if file.too_big:
                    raise _TooBigError
                stream.seek(file.read_to)
                data = stream.read()
                if file.open_end and data[:1] not in (b"", b"\n"):
                    # More was put on the line that was taken for whole: it is another line now.
                    file.forget()
                    self._changed(None)
                    stream.seek(0)
                    data = stream.read()
        except (OSError, MemoryError) as error:
            says = _why(error)
            self._pending[name] = LogNotice(file.name, 1, f"cannot be read: {says}; ticks may be missing until it can")
            file.size_time = (-1, -1)
            return
        self._pending.pop(name, None)
        file.identity = (status.st_ino, status.st_dev)
        # What grew while it was read has a newer time by now, and must not look rewritten.
        grew = file.read_to + len(data) != status.st_size
        file.size_time = (-1, -1) if grew else (status.st_size, status.st_mtime_ns)
        self._take(name, file, data)

    def _take(self, name: str, file: _File, data: bytes) -> None:
        """Turn new bytes into events; a last line without its end stays for the next reading."""
        whole = data[: data.rfind(b"\n") + 1]
        rest = data[len(whole) :]
        if rest and isinstance(read_line(rest), Event):
            # All of the last line is there but its end. A record cannot be cut and still be one, so it counts.
            whole, rest = data, b""
        lines = whole.split(b"\n") if whole else []
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
            own = self.device is not None and name == self._own
            self._pending[name] = LogNotice(file.name, file.lines + 1, _TORN if own else _PENDING)

    def _line(self, file: _File, number: int, line: bytes) -> None:
        found = read_line(line)
        if isinstance(found, Event):
            file.events.append(found)
            file.at_lines.append(number)
            self._largest = max(self._largest, found.n)
            self._changed(found)
        else:
            file.notices.append(LogNotice(file.name, number, found))
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
        return [*found, *(notice for _, notice in sorted(self._pending.items())), *self._foreign]

    def place_of(self, event: Event) -> str:
        """``path:line`` of an event; the folder where no file holds it any more."""
        for _, file in sorted(self._files.items()):
            for line, each in zip(file.at_lines, file.events, strict=True):
                if each[:2] == event[:2]:  # by number and device: a renamed one is another value by now
                    return f"{file.name}:{line}"
        return str(self.folder)

    # Writing

    @contextlib.contextmanager
    def writing(self) -> Iterator[None]:
        """Hold this device's file, with everything others wrote read in.

        Raises NotWrittenError where the file cannot be opened or locked.
        """
        held = self._hold()
        try:
            self._refresh(held)
            own = self._files.get(self._own)
            if own is not None and own.too_big:
                raise NotWrittenError(f"{self._own_name}: cannot be read: {_why(_TooBigError())}; nothing was recorded")
            yield
        finally:
            if self._fd >= 0:
                unlock(self._fd)

    def _hold(self) -> os.stat_result:
        """Open and lock the file that carries our name now, whatever happened to it while we waited."""
        for _ in range(_SWAPS):
            fd = self._fd if self._fd >= 0 else self._open()
            try:
                lock(fd)
            except OSError as error:
                raise NotWrittenError(
                    f"{self._own_name}: could not be locked: {error.strerror or error}; nothing was recorded"
                ) from error
            status = self._still_there()
            if status is not None:
                return status
            unlock(fd)
            self.close()  # it was replaced or taken away under us
        raise NotWrittenError(f"{self._own_name}: keeps being replaced; nothing was recorded")

    def _still_there(self) -> os.stat_result | None:
        """The state of the open file, where it is still the one in the folder."""
        try:
            status = os.stat(self._own_name)  # noqa: PTH116
        except OSError:
            return None
        return status if (status.st_ino, status.st_dev) == self._opened else None

    def append(self, records: Sequence[Mapping[str, Any]], at: float, now: float | None = None) -> list[Event]:
        """Write records as lines and wait until the disk has them; only inside ``writing``.

        Each record is ``did``, ``op`` and what that needs; ``v``, ``n``, ``at`` and ``by`` are added here.
        ``at`` is when it happened in UTC seconds; ``now`` is the clock that orders it. Raises NotWrittenError,
        with the file as it was before.
        """
        assert self.device is not None  # noqa: S101  # nobody writes without a name
        clock = int((time.time() if now is None else now) * 1000)
        # Where a record leaves no number for the next, the last ones serve again, and time tells them apart.
        n = min(max(self._largest + 1, clock), MAX_N - len(records))
        if not EARLIEST <= at <= LATEST:
            raise NotWrittenError("the clock is in no year that a log can hold; nothing was recorded")
        at = int(at * 1000) / 1000  # what the stamp says, so that what is read back is the same
        stamp = iso(at)
        events = []
        for offset, record in enumerate(records):
            full = {"v": VERSION, "n": n + offset, "at": stamp, "by": self.device, **record}
            events.append(Event(n + offset, self.device, at, record.get("op"), record["did"], full))
        self._write(events)
        return events

    def _write(self, events: Sequence[Event]) -> None:
        fd, name = self._fd, self._own
        size = os.fstat(fd).st_size
        file = self._files.get(name)
        known = file is not None and file.read_to == size and not file.open_end
        # What is no letter at all (half a pair, from a broken keyboard or shell) becomes the escape that JSON has.
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
            raise _not_written(self.folder / name, error) from error
        status = self._still_there()
        if status is None:  # on the disk, but in a file that nobody will ever read
            raise NotWrittenError(f"{self._own_name}: was taken away while it was written; nothing was recorded")
        if file is None:
            file = self._files[name] = _File(self.folder / name)
        if size and not known:
            self._read(name, file)
            return
        file.identity = self._opened
        file.size_time = (status.st_size, status.st_mtime_ns)
        file.read_to += len(data)
        file.lines += len(events)
        file.tail = data[-64:]
        file.at_lines += range(file.lines - len(events) + 1, file.lines + 1)
        file.events += events
        for event in events:
            self._largest = max(self._largest, event.n)
            self._changed(event)

    def _open(self) -> int:
        if self.device is None:
            raise NotWrittenError("this device has no name; set PLANNER_DEVICE")
        path = self._own_name
        try:
            fresh = not os.path.exists(path)  # noqa: PTH110
            if fresh:
                if not self.folder.parent.is_dir():
                    raise NotWrittenError(f"{self.folder.parent}: the build is gone; nothing was recorded")
                self.folder.mkdir(exist_ok=True)
            flags = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
            fd = os.open(path, flags, 0o666)
            status = os.fstat(fd)
            if not stat.S_ISREG(status.st_mode):
                os.close(fd)
                raise NotWrittenError(f"{path}: is not a plain file; nothing was recorded")
            self._fd, self._opened = fd, (status.st_ino, status.st_dev)
            if status.st_size == 0:  # new, or left empty by a program that stopped before it came to this
                folder_to_disk(self.folder)
                folder_to_disk(self.folder.parent)
        except OSError as error:
            raise _not_written(path, error) from error
        return self._fd

    def close(self) -> None:
        """Let go of the file."""
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1


__all__ = ["LOG_FOLDER", "LogNotice", "NotWrittenError", "TickLog", "iso", "merge", "read_line"]
