"""Tables for spreadsheets: RFC 4180, and nothing in a cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from planner.telling.looks import literal

#: What a spreadsheet takes for the beginning of a formula; the wide forms too, which some turn into these.
_RUN = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def cell(value: object) -> str:
    """A value as the text of a cell, in one line; one that would be run is kept from it by an apostrophe.

    >>> cell(" =1+1"), cell("a\\nb"), cell(3), cell(None)
    ("'=1+1", 'a b', '3', '')
    """
    text = " ".join(literal("" if value is None else str(value)).split())
    return "'" + text if text.startswith(_RUN) else text


def table(rows: Iterable[Iterable[object]]) -> str:
    """Rows as a file: every cell in quotes, so that a program that parts cells otherwise cannot find another."""
    out = io.StringIO(newline="")
    csv.writer(out, quoting=csv.QUOTE_ALL).writerows([[cell(each) for each in row] for row in rows])
    return out.getvalue()
