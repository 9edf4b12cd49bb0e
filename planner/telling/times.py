"""Times as they are said. Pure."""

from __future__ import annotations


def clock_words(seconds: float) -> str:
    """Time left as ``4:05`` or ``1:04:05``, rounded up so that it never says 0:00 too early."""
    left = max(0, int(-(-seconds // 1)))
    hours, rest = divmod(left, 3600)
    minutes, secs = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{secs:02}" if hours else f"{minutes}:{secs:02}"
