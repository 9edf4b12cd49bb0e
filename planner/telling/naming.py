"""Numbers called by words: ``narrow.first-line`` is for files, ``first line`` for people."""

from __future__ import annotations

import re

#: Calculators whose name is no thing of which the number could be: it is left out.
_VERBS = frozenset({"narrow", "fit", "shrink", "sees", "pull"})
_SYMBOL = re.compile(r"^[A-Za-z]\d?'?, ")  # of a formula, in front of what an output is


def title_of(name: str) -> str:
    """What a number is called; a name that is no calculator's stays as it is.

    >>> title_of("narrow.first-line"), title_of("cradle.contact-angle"), title_of("x.y")
    ('first line', 'cradle contact angle', 'x.y')
    """
    section, _, key = name.partition(".")
    if _about(name) is None:
        return name
    words = key.replace("-", " ")
    return words if section in _VERBS else f"{section} {words}"


def words_of(name: str) -> str:
    """What a number is called, and what it is, where its calculator says so.

    >>> words_of("narrow.first-line")
    'first line (from the present plate face to the first line)'
    """
    about = _about(name)
    return f"{title_of(name)} ({about})" if about else title_of(name)


def _about(name: str) -> str | None:
    """What the calculator says of an output, without the formula's symbol and what stands aside; None: no output."""
    from planner.numbers.registry import CALCULATORS, calculator

    section, _, key = name.partition(".")
    if section not in CALCULATORS:
        return None
    found = next((each.doc for each in calculator(section).outputs if each.key == key), None)
    return None if found is None else _SYMBOL.sub("", found).partition(";")[0].partition(": ")[0]
