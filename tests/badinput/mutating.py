"""Plan files spoilt by chance, as typing slips, bad merges and broken disks spoil them."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

#: What fingers and editors put in: marks with a meaning in YAML, words with one here, and letters of all sorts.
INSERTS: list[str] = [
    *"[]{}:,#&*!|>'\"%@`-?~=\t \n",
    ": ", "- ", "#", "<<: ", "*a", "&a ", "!!str ", "---\n", "...\n", "%YAML 1.1\n", "\r", "\r\n", "\ufeff", "\x1b[31m",
    "\u2028", "\x85", "\0", "é", "鋸", "\u202e", "🪚", "null", "true", "no", "012", "1e9", "99", "-1", "1.5",
    "@all", "@others", "@own", "@near", "#2", "rounds: 99\n", "rounds: ", "sides: once\n", "sides: [far]\n",
    "turns: [far, near]\n", "needs: [", "after: [mark, weld]\n", "rework: true\n", "sequence: [", "film: none\n",
    "kind: weld\n", "piece: gusset\n", "pace: side-first\n", "wait: 99999 days\n",
    "  - stage: x\n    steps: []\n", "      - step: weld\n        do: x\n",
    "[" * 40, "{a: " * 40, "- " * 40, "x" * 2000,
]  # fmt: skip


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True) or [""]


def delete_line(text: str, random: Random) -> str:
    lines = _lines(text)
    del lines[random.randrange(len(lines))]
    return "".join(lines)


def double_lines(text: str, random: Random) -> str:
    lines = _lines(text)
    start = random.randrange(len(lines))
    part = lines[start : start + random.randint(1, 6)]
    at = random.choice([start, random.randrange(len(lines) + 1)])
    return "".join([*lines[:at], *part, *lines[at:]])


def swap_lines(text: str, random: Random) -> str:
    lines = _lines(text)
    one, two = random.randrange(len(lines)), random.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return "".join(lines)


def indent(text: str, random: Random) -> str:
    """Move lines in or out, by spaces or a tab."""
    lines = _lines(text)
    start = random.randrange(len(lines))
    by = random.choice(["  ", " ", "\t", "-", "--"])
    for number in range(start, min(len(lines), start + random.randint(1, 5))):
        lines[number] = lines[number].removeprefix(" " * len(by)) if by[0] == "-" else by + lines[number]
    return "".join(lines)


def insert(text: str, random: Random) -> str:
    at = random.randrange(len(text) + 1)
    return text[:at] + random.choice(INSERTS) + text[at:]


def replace(text: str, random: Random) -> str:
    at = random.randrange(len(text) + 1)
    return text[:at] + random.choice(INSERTS) + text[at + random.randint(1, 12) :]


def cut(text: str, random: Random) -> str:
    start = random.randrange(len(text) + 1)
    return text[:start] + text[start + random.randint(1, 40) :]


def cut_off(text: str, random: Random) -> str:
    return text[: random.randrange(len(text) + 1)]


def splice(text: str, random: Random) -> str:
    """A piece of the file somewhere else in it, as a slip of the mouse does it."""
    start = random.randrange(len(text) + 1)
    part = text[start : start + random.randint(1, 200)]
    at = random.randrange(len(text) + 1)
    return text[:at] + part + text[at:]


def swap_words(text: str, random: Random) -> str:
    """A word where another one stood: keys, names and values change places."""
    words = text.split(" ")
    one, two = random.randrange(len(words)), random.randrange(len(words))
    words[one], words[two] = words[two], words[one]
    return " ".join(words)


def repeat(text: str, random: Random) -> str:
    """A stretch of it many times over."""
    start = random.randrange(len(text) + 1)
    part = text[start : start + random.randint(1, 60)]
    return text[:start] + part * random.randint(2, 300) + text[start:]


CHANGES: list[Callable[[str, Random], str]] = [
    delete_line, double_lines, swap_lines, indent, insert, insert, replace, cut, cut_off, splice, swap_words, repeat,
]  # fmt: skip


def mutate(text: str, random: Random) -> str:
    """A text with one to four things wrong with it."""
    for _ in range(random.choice([1, 1, 1, 2, 2, 3, 4])):
        text = random.choice(CHANGES)(text, random)
    return text


def mutate_bytes(data: bytes, random: Random) -> bytes:
    """A file after a bad disk: bits turned, bytes set, stretches zeroed, cut, doubled or from elsewhere."""
    spoilt = bytearray(data)
    for _ in range(random.randint(1, 4)):
        at = random.randrange(len(spoilt) + 1)
        length = random.choice([1, 1, 2, 7, 64, 512])
        how = random.randrange(6)
        if how == 0 and at < len(spoilt):
            spoilt[at] ^= 1 << random.randrange(8)
        elif how == 1:
            spoilt[at : at + length] = random.randbytes(length)
        elif how == 2:
            spoilt[at : at + length] = bytes(length)
        elif how == 3:
            del spoilt[at : at + length]
        elif how == 4:
            spoilt[at:at] = spoilt[at : at + length]
        else:
            start = random.randrange(len(spoilt) + 1)
            spoilt[at:at] = spoilt[start : start + length]
    return bytes(spoilt)
