"""A lock on an open file that the system drops when the program dies, and putting it on the disk for good."""

from __future__ import annotations

import errno
import os
import sys
import time

PATIENCE = 15.0  # seconds; a tick holds the lock for as long as the disk takes, a stopped program for ever
_STEP = 0.001

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 40  # Windows locks bytes and keeps others from reading them: lock one nobody reads

    def _try(fd: int) -> bool:
        os.lseek(fd, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def unlock(fd: int) -> None:
        """Let others in."""
        os.lseek(fd, _FAR, os.SEEK_SET)
        msvcrt.locking(fd, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _try(fd: int) -> bool:
        try:
            fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def unlock(fd: int) -> None:
        """Let others in."""
        fcntl.flock(fd, fcntl.LOCK_UN)


def lock(fd: int, patience: float = PATIENCE) -> None:
    """Hold the file for this program alone.

    Waits while another program has it; raises OSError when that takes longer than ``patience``, or where the file
    system cannot lock.
    """
    if _try(fd):
        return
    until = time.monotonic() + patience
    while not _try(fd):
        if time.monotonic() > until:
            raise OSError(errno.EDEADLK, "another program holds it and does not let go")
        time.sleep(_STEP)


def to_disk(fd: int) -> None:
    """Return when the disk has everything written to fd."""
    os.fsync(fd)
    if sys.platform == "darwin":  # there fsync stops at the drive's own cache
        fcntl.fcntl(fd, fcntl.F_FULLFSYNC)
