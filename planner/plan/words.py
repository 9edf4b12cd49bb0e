"""Names, references and durations as they are written in a plan."""

from __future__ import annotations

import re

_NAME = re.compile(r"[a-z0-9-]+")
_CONDITION = re.compile(r"[a-z0-9-]+(?:\.[a-z0-9-]+)*")
_DURATION = re.compile(r"(?:(\d{1,5}) days?)?(?: ?\b(\d{1,5}) h)?(?: ?\b(\d{1,6}) min)?(?: ?\b(\d{1,7}) s)?", re.ASCII)


def is_name(text: str) -> bool:
    """Whether text may name a step, a side, a kind or a piece: lower-case letters, digits, hyphens."""
    return _NAME.fullmatch(text) is not None


def is_condition_name(text: str) -> bool:
    """Whether text may name a condition: words of lower-case letters, digits, hyphens, joined by dots."""
    return _CONDITION.fullmatch(text) is not None


def parse_duration(text: str) -> int | None:
    """Seconds in a duration such as ``90 s``, ``20 min``, ``1 h 30 min``, ``21 days``; None when it is not one.

    >>> parse_duration("1 h 30 min"), parse_duration("21 days"), parse_duration("1.5 h")
    (5400, 1814400, None)
    """
    found = _DURATION.fullmatch(text)
    if found is None or not text or text[0] == " ":
        return None
    days, hours, minutes, seconds = (int(part or 0) for part in found.groups())
    return ((days * 24 + hours) * 60 + minutes) * 60 + seconds


def show_duration(seconds: float) -> str:
    """A duration in the words of a plan, days down to the largest two units that are not zero.

    >>> show_duration(5400), show_duration(1814400), show_duration(0), show_duration(90)
    ('1 h 30 min', '21 days', '0 s', '1 min 30 s')
    """
    left = int(seconds)
    parts = []
    for size, unit in ((86400, "day"), (3600, "h"), (60, "min"), (1, "s")):
        count, left = divmod(left, size)
        if count:
            parts.append(f"{count} {unit}{'s' if unit == 'day' and count > 1 else ''}")
    return " ".join(parts[:2]) or "0 s"


def nearest(word: str, known: object) -> str | None:
    """The known spelling closest to word, or None when nothing is close."""
    import difflib  # only when there is a problem to report

    names: list[str] = sorted(known)  # type: ignore[call-overload]
    begun = [
        name for name in names if len(name) > 2 and len(word) > 2 and (word.startswith(name) or name.startswith(word))
    ]
    if begun:
        return min(begun, key=lambda name: abs(len(name) - len(word)))
    found = difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    return found[0] if found else None


def counted(number: int, word: str) -> str:
    """A number of things.

    >>> counted(1, "trap"), counted(2, "trap")
    ('1 trap', '2 traps')
    """
    return f"{number} {word}{'' if number == 1 else 's'}"
