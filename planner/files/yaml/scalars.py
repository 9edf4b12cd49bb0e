"""Writing one value as YAML that reads back the same, with quotes only where they are needed.

A plain scalar is text unless it is a number, ``true``, ``false``, ``null``, ``~`` or nothing, as reading has it;
so ``no``, ``1:30`` and ``012`` stay plain and ``1``, ``true`` and ``~`` that are meant as text are quoted.
"""

from __future__ import annotations

import math
import re

from yaml.events import ScalarEvent

from planner.files.yaml.places import EditError
from planner.files.yaml.tree import Scalar, scalar

#: Cannot stand in a plan file at all, not even as an escape.
_REFUSED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_FIRST = frozenset(",[]{}#&*!|>'\"%@`?:")
_BREAKS = re.compile(r": |:$| #|[\t\n]")
_FLOW_BREAKS = re.compile(r"[,\[\]{}?]|:(?![^\W_])")  # 1:30 does no harm in brackets
_FOLD = re.compile(r"(?<=[^ ]) (?=[^ ])")
_WIDTH = 100


def inline(value: Scalar, inside: bool = False, like: str = "", quote: str = '"') -> str:
    """A value on one line.

    ``inside``: in brackets or braces, where commas and brackets end a plain text. ``like``: the quotes that
    the value before it had (kept where the new one is text), ``quote`` the file's own. Raises EditError for
    what no plan file can hold.
    """
    if not isinstance(value, str):
        return _bare(value)
    refuse_characters(value)
    if like not in ("'", '"') and is_plain(value, inside):
        return value
    return quoted(value, like if like in ("'", '"') else quote, like in ("'", '"'))


def _bare(value: float | bool | None) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if not math.isfinite(value):
        raise EditError(f"{value} is not a number that a plan file can hold")
    text = repr(value)
    if "e" in text:
        from decimal import Decimal  # only for the very small and the very large

        text = f"{Decimal(text):f}"
        text = text if "." in text else text + ".0"
    if float(text) != value or scalar(ScalarEvent(None, None, (True, False), text)) != value:
        raise EditError(f"{value} is too small or too large for a plan file")
    return text


def refuse_characters(value: str) -> None:
    """Raises EditError for a text with a character that no plan file can hold."""
    bad = _REFUSED.search(value)
    if bad is not None:
        raise EditError(f"the text holds the character U+{ord(bad.group()):04X}, which a plan file cannot; take it out")


def is_plain(value: str, inside: bool = False) -> bool:
    """Whether a text may stand without quotes and is still text."""
    if not value or value[0] in _FIRST or value[0] == " " or value[-1] == " ":
        return False
    if value[0] == "-" and (len(value) == 1 or value[1] in " -" or (inside and not value[1].isalnum())):
        return False
    if value.startswith("..."):
        return False
    if _BREAKS.search(value) or (inside and _FLOW_BREAKS.search(value)):
        return False
    return isinstance(scalar(ScalarEvent(None, None, (True, False), value)), str)


def quoted(value: str, quote: str = '"', keep: bool = False) -> str:
    """A text in quotes; in the other ones where that saves escapes, unless ``keep``."""
    needs_escapes = "\n" in value or "\t" in value
    if quote == '"' and not keep and not needs_escapes and ('"' in value or "\\" in value) and "'" not in value:
        quote = "'"
    if quote == "'" and not keep and "'" in value and not ('"' in value or "\\" in value):
        quote = '"'
    if quote == "'" and not needs_escapes:
        return "'" + value.replace("'", "''") + "'"
    value = value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{value}"'


def text_block(value: str, style: str = "|") -> tuple[str, list[str]] | None:
    """A text of several lines as a block scalar: its header and its lines, not yet indented.

    None where it cannot be one: nothing or only space in its first line, a first line that begins with
    space, more than one break at its end. ``style`` ``>`` folds long lines, where that reads back the same.
    """
    body = value.removesuffix("\n")
    lines = body.split("\n")
    if not lines[0].strip(" ") or lines[0][0] in " \t" or not lines[-1].strip(" \t"):
        return None
    chomp = "" if value.endswith("\n") else "-"
    if style == ">":
        if any(not line or line[0] in " \t" or line[-1] in " \t" for line in lines):
            return ("|" + chomp, lines) if len(lines) > 1 else None
        folded: list[str] = []
        for line in lines:
            folded += ([""] if folded else []) + _folded(line)
        return ">" + chomp, folded
    return "|" + chomp, lines


def _folded(line: str) -> list[str]:
    """A line cut at single spaces."""
    out: list[str] = []
    for word in _FOLD.split(line):
        if out and len(out[-1]) + 1 + len(word) <= _WIDTH:
            out[-1] += " " + word
        else:
            out.append(word)
    return out
