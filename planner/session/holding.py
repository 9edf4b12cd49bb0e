"""A reading at a hold point, judged: inside, outside, or cannot tell.

A hold point may be read at several places of the metal at once, each named: ``up 0.006 in, fore 0.011 in``. The worst
of them decides.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from planner.numbers.lengths import TextError
from planner.numbers.units import KINDS, parse_value
from planner.numbers.verdict import CANNOT_TELL, INSIDE, OUTSIDE, Verdict, settles, verdict
from planner.plan.model import Hold

_LAST = re.compile(r"(\d+)/(\d+)|(\d+(?:\.\d+)?|\.\d+)", re.ASCII)
_UNIT = re.compile(r"[^\d\s.][^\d]*$")

#: Where something is read, in words, or as a clock has it.
PLACES = (
    "up", "down", "fore", "aft", "top", "bottom", "front", "back", "rear", "left", "right", "inner", "outer", "middle",
)  # fmt: skip
_PLACE = re.compile(rf"({'|'.join(PLACES)}|(?:1[0-2]|[1-9]):[0-5]\d)\s+(\S.*)")
_SPREAD = re.compile(r"±|\+/-|\+-")

#: What the instruments of a small shop may be off (U), in the base unit of the kind. Common practice, no source.
INSTRUMENTS: Mapping[str, Mapping[str, float]] = {
    "length": {
        "a tape": 0.8,
        "a steel rule": 0.4,
        "a straight edge and feelers": 0.05,
        "a dial indicator": 0.01,
        "a micrometer": 0.004,
    },
    "angle": {"a protractor": 1.0, "a digital level": 0.2, "a dial indicator over a long arm": 0.02},
    "temperature": {"a contact thermometer": 2.0, "a thermometer checked in ice and in steam": 0.5},
}


class One(NamedTuple):
    """A reading at one place (None: the only one), as typed, and what is to be thought of it."""

    place: str | None
    typed: str
    found: Verdict


class Judged(NamedTuple):
    """A reading as it was typed, each part of it judged; values and doubts in the base unit of its kind."""

    typed: str
    parts: tuple[One, ...]
    hold: Hold

    @property
    def found(self) -> Verdict:
        """The verdict of the part that decides: the one with the least room in its answer."""
        order = (OUTSIDE, CANNOT_TELL, INSIDE)
        return min((part.found for part in self.parts), key=lambda each: (order.index(each.answer), each.room))

    @property
    def passes(self) -> bool:
        """Whether the operation is done by it."""
        return self.found.answer == INSIDE


def judge(hold: Hold, typed: str) -> Judged:
    """The verdict on a reading; TextError where it is no reading of what is held for.

    >>> hold = Hold("length", -0.254, 0.254, 0.1016, None, "limit 0.010 in")
    >>> [judge(hold, each).found.answer for each in ("0.006 in", "0.011 in", "-0.015 in", "0.011 in ± 0.0005")]
    ['inside', 'cannot tell', 'outside', 'outside']
    >>> judge(hold, "up .006, fore .011 in").found.answer
    'cannot tell'
    """
    written = typed.strip()
    return Judged(written, tuple([_judge(hold, place, text) for place, text in parts_of(written)]), hold)


def parts_of(written: str) -> list[tuple[str | None, str]]:
    """A reading as its parts, each with its place; one without places is one part. TextError where half of it is so.

    The unit may stand behind the last part alone, and a ± of its own behind all of them is that of each.

    >>> parts_of("up .006, fore .011 in; ± .004")
    [('up', '.006 in ± .004'), ('fore', '.011 in ± .004')]
    >>> parts_of("4' 6 7/8\\"")
    [(None, '4\\' 6 7/8"')]
    """
    pieces = [piece.strip() for piece in re.split(r"[,;]", written)]
    if _PLACE.match(pieces[0]) is None:
        return [(None, written)]
    spread = ""
    if len(pieces) > 1 and _SPREAD.match(pieces[-1]):
        spread = f" {pieces.pop()}"
    found: list[tuple[str | None, str]] = []
    last = _SPREAD.split(pieces[-1])[0].strip()
    unit = _UNIT.search(last)
    for piece in pieces:
        match = _PLACE.fullmatch(piece)
        if match is None:
            raise TextError(f"“{piece}” does not say where it was read; write up 0.006 in, fore 0.011 in")
        if any(match[1] == place for place, _ in found):
            raise TextError(f"{match[1]} is read twice; give each place once")
        value, sign, rest = _parted(match[2])
        if unit is not None and _UNIT.search(value) is None:
            value = f"{value} {unit.group().strip()}"
        found.append((match[1], f"{value}{sign}{rest}" if sign else f"{value}{spread}"))
    return found


def _parted(text: str) -> tuple[str, str, str]:
    match = _SPREAD.search(text)
    if match is None:
        return text, "", ""
    return text[: match.start()].strip(), " ± ", text[match.end() :].strip()


def _judge(hold: Hold, place: str | None, written: str) -> One:
    found = parse_value(hold.kind, written)
    if found.form == "range":
        raise TextError(f"“{written}” is a range; give what was read, with ±")
    if found.form == "half":
        doubt = float(found.width)
    else:
        doubt = hold.plus_minus if hold.plus_minus is not None else half_last_digit(hold.kind, written)
    return One(place, written, verdict(float(found.number), doubt, hold.least, hold.most))


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
    """The verdict in one line, in the unit that was typed.

    >>> hold = Hold("length", -0.254, 0.254, 0.1016, None, "limit 0.010 in")
    >>> told(judge(hold, "up .006, fore .011 in"))
    'up .006 in, fore .011 in; ± 0.004 in; limit 0.010 in: CANNOT TELL, read again with a dial indicator (± 0.0004 in)'
    >>> told(judge(Hold("temperature", None, 45.0, 1.0, None, "at most 45 C"), "50 C"))
    '50 C; ± 1 C; at most 45 C: OUTSIDE'
    """
    parts = ", ".join(
        [f"{part.place} {_bare(part.typed)}" if part.place else _bare(part.typed) for part in judged.parts]
    )
    head = f"{parts}; {_doubts(judged)}; {judged.hold.says}: {judged.found.answer.upper()}"
    if judged.found.answer != CANNOT_TELL:
        return head
    finer = settling(judged)
    if finer is None:
        return f"{head}, and no instrument of a small shop would settle it: work on it until it is well inside"
    name, doubt = finer
    return f"{head}, read again with {name} (± {in_unit(judged.hold.kind, doubt, judged.parts[-1].typed)})"


def settling(judged: Judged) -> tuple[str, float] | None:
    """The coarsest instrument that would settle every part that cannot be told, and its U; None where none would."""
    instruments = INSTRUMENTS.get(judged.hold.kind, {})
    names = [settles(part.found, instruments) for part in judged.parts if part.found.answer == CANNOT_TELL]
    found = [(instruments[name], name) for name in names if name is not None]
    if not found or len(found) < len(names):
        return None
    doubt, name = min(found)
    return name, doubt


def in_unit(kind: str, value: float, written: str) -> str:
    """A width in the unit in which a reading was typed, to two digits that count.

    >>> in_unit("length", 0.01, "0.011 in"), in_unit("temperature", 1.0, "113 F"), in_unit("number", 0.5, "3")
    ('0.0004 in', '1.8 F', '0.5')
    """
    unit = _UNIT.search(_bare(written))
    name = unit.group().strip() if unit is not None else KINDS[kind].base
    if kind == "length" and name not in ("mm", "cm", "m"):
        name = "in"
    one = float(parse_value(kind, f"1 {name}".strip()).number - parse_value(kind, f"0 {name}".strip()).number)
    shown = format(Decimal(f"{value / one:.1g}") if value / one < 1 else Decimal(f"{value / one:.2g}"), "f")
    return f"{shown} {name}".strip()


def _bare(written: str) -> str:
    return _SPREAD.split(written)[0].strip()


def _doubts(judged: Judged) -> str:
    doubts = list(dict.fromkeys(in_unit(judged.hold.kind, part.found.doubt, part.typed) for part in judged.parts))
    return ", ".join(f"± {each}" for each in doubts)
