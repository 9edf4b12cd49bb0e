"""A lock on an open file that the system drops when the program dies, and putting it on the disk for good."""

from __future__ import annotations

import os
import sys

if sys.platform == "win32":
    import msvcrt
    import time

    _FAR = 1 << 40  # Windows locks bytes and keeps others from reading them: lock one nobody reads

    def lock(fd: int) -> None:
        """Hold the file for this program alone; waits until it can."""
        while True:
            os.lseek(fd, _FAR, os.SEEK_SET)
            try:
                msvcrt.locking(fd, msvcrt.LK_NBLCK, 1)
                return
            except OSError:
                time.sleep(0.01)

    def unlock(fd: int) -> None:
        """Let the file go."""
        os.lseek(fd, _FAR, os.SEEK_SET)
        msvcrt.locking(fd, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def lock(fd: int) -> None:
        """Hold the file for this program alone; waits until it can."""
        fcntl.flock(fd, fcntl.LOCK_EX)

    def unlock(fd: int) -> None:
        """Let the file go."""
        fcntl.flock(fd, fcntl.LOCK_UN)


def to_disk(fd: int) -> None:
    """Return when the disk has everything written to fd."""
    os.fsync(fd)
    if sys.platform == "darwin":  # there fsync stops at the drive's own cache
        fcntl.fcntl(fd, fcntl.F_FULLFSYNC)
