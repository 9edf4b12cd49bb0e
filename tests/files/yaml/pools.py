"""Words, texts and values to make files and edits of."""

from __future__ import annotations

from random import Random
from typing import Any

WORDS = (
    "step", "do", "kind", "piece", "needs", "gives", "note", "time", "steps", "stage", "stages", "sides", "means",
    "on", "start", "conditions", "a.b", "x-1", "012", "cautions", "one-way", "hours", "say",
)  # fmt: skip
PLAIN = (
    "no", "on", "1:30", "012", "weld it", "it's", 'say "hi" twice', "20 min", "2027-02-13 17:00", "a-b", "-x",
    "housing.smooth@all", "yes", "0x1f", "1e5", "1_000", ".5", "+", "Ω ≈ 😀", "a  b", "x#y", "c:d", "=", "x?",
    "54-7/8\"", "end's near", "(half) done", "a * b", "50 %", "Null", "True", "NULL", "5.", "é",
)  # fmt: skip
ODD = (
    "", " ", " lead", "trail ", "true", "false", "null", "~", "1", "-5", "1.5", "+3", "-", "- x", "?", "? x", ":",
    ": x", "a: b", "x # y", "ends:", "#c", "@x", "`x", "%d", "&a", "*b", "!t", "|", ">", "[x", "]", "{x}", "}", ",",
    "a, b", "'q'", '"q"', "it's \"both\"", "back \\ slash", "tab\there", "---", "...", "--- x", "{narrow.first-line}",
    "<<", "a\tb", "x:\ty", "[a]: b", "\\n", "'", '"', "''",
)  # fmt: skip
LONG = (
    "one\ntwo", "one\ntwo\n", "one\n\nthree\n", "one\n  two\n", " lead\ntwo", "one \ntwo", "\n", "\none", "one\n\n",
    "a\n\n\nb", "# no comment\nnext\n", "key: value\n- item\n", "tab\t\n\tin", "x\n \ny", "only line\n", "a\n ",
    "long words that go on " * 8, ("long words that go on " * 8).strip() + "\nand more\n",
)  # fmt: skip
NOTES = ("# why", "# it's: a [note]", "#", "#no space", "# - step: no", '# "quoted', "# key: value  ", "## two")


def any_text(random: Random) -> str:
    """A text of any sort."""
    pool = random.choice((PLAIN, PLAIN, ODD, LONG))
    return random.choice(pool)


def any_value(random: Random, depth: int = 0) -> Any:
    """A value of any sort, for an edit to write."""
    roll = random.random()
    if roll < 0.55 or depth > 2:
        return any_text(random)
    if roll < 0.7:
        return random.choice((0, 1, -7, 42, 1.5, -0.25, True, False, None, 10**17))
    if roll < 0.86:
        return [any_value(random, depth + 1) for _ in range(random.randrange(4))]
    return {key: any_value(random, depth + 1) for key in random.sample(WORDS, random.randrange(4))}
