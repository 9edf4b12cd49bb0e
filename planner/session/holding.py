"""A reading at a hold point, judged: inside, outside, or cannot tell."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from planner.numbers.lengths import TextError
from planner.numbers.units import KINDS, parse_value
from planner.numbers.verdict import INSIDE, Verdict, verdict
from planner.plan.model import Hold

_LAST = re.compile(r"(\d+)/(\d+)|(\d+(?:\.\d+)?|\.\d+)", re.ASCII)


class Judged(NamedTuple):
    """A reading as it was typed, and what is to be thought of it; value and doubt in the base unit of its kind."""

    typed: str
    found: Verdict
    hold: Hold

    @property
    def passes(self) -> bool:
        """Whether the operation is done by it."""
        return self.found.answer == INSIDE


def judge(hold: Hold, typed: str) -> Judged:
    """The verdict on a reading; TextError where it is no reading of what is held for.

    >>> hold = Hold("length", -0.254, 0.254, 0.1016, None, "within 0.010 in of nothing")
    >>> [judge(hold, each).found.answer for each in ("0.006 in", "0.011 in", "-0.015 in", "0.011 in ± 0.0005")]
    ['inside', 'cannot tell', 'outside', 'outside']
    """
    written = typed.strip()
    found = parse_value(hold.kind, written)
    if found.form == "range":
        raise TextError(f"“{written}” is a range; give what was read, with ±")
    doubt = hold.plus_minus if hold.plus_minus is not None else half_last_digit(hold.kind, written)
    if found.form == "half":
        doubt = float(found.width)
    return Judged(written, verdict(float(found.number), doubt, hold.least, hold.most), hold)


def half_last_digit(kind: str, written: str) -> float:
    """Half of what the last digit of a reading stands for, or half of its fraction.

    >>> round(half_last_digit("length", "0.011 in") / 25.4, 9), half_last_digit("temperature", "45 C")
    (0.0005, 0.5)
    >>> half_last_digit("length", "54 7/8 in") * 16 / 25.4
    1.0
    """
    last = list(_LAST.finditer(written))[-1]
    unit = written[last.end() :]
    if last[2]:
        one = f"1/{last[2]}{unit}"
        return float(parse_value(kind, one).number) / 2
    exponent = Decimal(last[3]).as_tuple().exponent
    one = format(Decimal(1).scaleb(int(exponent)), "f")
    nothing = format(Decimal(0).scaleb(int(exponent)), "f")
    return float(parse_value(kind, f"{one}{unit}").number - parse_value(kind, f"{nothing}{unit}").number) / 2


def told(judged: Judged) -> str:
    """The verdict in one line, in the unit of its kind.

    >>> told(judge(Hold("temperature", None, 45.0, 1.0, None, "at most 45 C"), "45.5 C"))
    'CANNOT TELL: 45.5 C, ± 1 C, at most 45 C; read again with a finer instrument'
    """
    found = judged.found
    doubt = f"± {found.doubt:.3g} {KINDS[judged.hold.kind].base}".rstrip()
    head = f"{found.answer.upper()}: {judged.typed}, {doubt}, {judged.hold.says}"
    if found.answer == "cannot tell":
        return f"{head}; read again with a finer instrument"
    return head
