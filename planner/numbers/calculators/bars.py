"""Cutting plan: the fewest bars that yield every piece of a cut list, kerf included."""

from __future__ import annotations

import re
from typing import NamedTuple

from planner.numbers.calculator import Calculator, Given, Input, Item, Output, Sheet
from planner.numbers.calculators.barplan import BarPlan, fewest_bars
from planner.numbers.lengths import TextError, parse_length
from planner.numbers.quantity import Quantity, exact

_SEARCH = "relaxation of Gilmore & Gomory, Operations Research 9 (1961) 849-859, then branch and bound"
_PRACTICE = "common practice, no source"
#: Lengths are counted in ten-millionths of a millimetre: 1/128 in is a whole number of them.
_PER_MM = 10**7
_MOST_PIECES, _MOST_SIZES, _MOST_TEXT = 2000, 120, 20_000
_HELP = "write it as 30 1/2 in x 4, 812 mm x 2, or without units (millimetres) as 1380x22, 1520x25"
_PIECE = re.compile(r"(?P<length>.+?)(?:\s*[x×*]\s*(?P<count>\d{1,9}))?", re.ASCII)
_BARE = re.compile(r"[\d.]+", re.ASCII)


class _Size(NamedTuple):
    """One length of the cut list."""

    units: int  # in ten-millionths of a millimetre
    pieces: int

    @property
    def mm(self) -> float:
        return self.units / _PER_MM


def bars(given: Given, sheet: Sheet) -> None:
    """The fewest bars of stock that yield every piece, and how to cut each bar.

    A bar that is known to ± may be the short one, and a kerf the wide one: the plan uses those.

    Formula
        pieces n on a bar fit when sum(length) + (n - 1) kerf <= stock - trim; bars least;
        waste = bars stock - sum(length)
    Source
        Gilmore & Gomory, Operations Research 9 (1961) 849-859; trimming of ends: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("bars", {"stock": "100 mm", "kerf": "0 mm", "pieces": "60x1, 50x2, 40x1"})
    >>> found.value("bars"), found.value("waste")
    (2.0, 0.0)
    """
    stock, kerf, trim = given.need("stock"), given.default("kerf", 0.0), given.default("trim", 0.0)
    if not given.has("pieces"):
        sheet.refuse("pieces", f"is missing; {_HELP}, or give what cradle needs to yield it")
        return
    if not given.has("kerf"):
        sheet.warn("no kerf was given: nothing is allowed for the saw cuts")
    usable = stock.value - stock.plus_minus - trim.value - trim.plus_minus
    cut = kerf.value + kerf.plus_minus
    sheet.work("usable", exact(usable), "mm", "stock - trim, at the short end of their ±", _PRACTICE)
    sizes = _read(given.text("pieces"), stock.value, sheet)
    sheet.stop_if_refused()
    _judge(given, sheet, sizes, usable)
    sheet.stop_if_refused()
    kerf_units = round(cut * _PER_MM)
    bar_units = round(usable * _PER_MM) + kerf_units
    plan = fewest_bars([each.units + kerf_units for each in sizes], [each.pieces for each in sizes], bar_units)
    _give(sheet, stock, plan, sizes, (bar_units, kerf_units))


def _give(sheet: Sheet, stock: Quantity, plan: BarPlan, sizes: list[_Size], units: tuple[int, int]) -> None:
    bar, kerf = units
    total = sum(each.units * each.pieces for each in sizes) / _PER_MM
    sheet.work("pieces-together", exact(total), "mm", "sum(length x count)", "arithmetic")
    sheet.give("bars", exact(float(plan.bars)), "fewest bars that hold all pieces and cuts", _SEARCH)
    sheet.give("fewest-possible", exact(float(plan.at_least)), "lower bound from weights of the pieces", _SEARCH)
    sheet.give("waste", stock * plan.bars - total, "bars x stock - pieces-together", "arithmetic")
    sheet.give("used", total / (stock * plan.bars), "pieces-together / (bars x stock)", "arithmetic")
    rows: list[tuple[Item, ...]] = []
    longest = 0
    for pattern, count in plan.patterns:
        taken = sum(n * (each.units + kerf) for n, each in zip(pattern, sizes, strict=True))
        left = max(0, bar - kerf - taken)  # a piece that ends flush, or within the last cut, leaves nothing
        longest = max(longest, left)
        row: list[Item] = [count, "bar:" if count == 1 else "bars:"]
        for n, each in zip(pattern, sizes, strict=True):
            if n:
                row += [n, "x", exact(each.mm)]
        rows.append((*row, "left", exact(left / _PER_MM)))
    sheet.give("longest-left", exact(longest / _PER_MM), "the most that a bar leaves", "arithmetic")
    sheet.give("plan", tuple(rows), "bars cut alike together, longest pieces first", _SEARCH)
    if not plan.proved:
        sheet.warn(f"{plan.bars} bars is the best plan found, not proved the best: at least {plan.at_least} are needed")


def _read(text: str, stock: float, sheet: Sheet) -> list[_Size]:
    """The cut list, longest first, equal lengths together."""
    if len(text) > _MOST_TEXT:
        sheet.refuse("pieces", f"is a list of more than {_MOST_TEXT} characters; put equal lengths together")
        return []
    found: dict[int, int] = {}
    bare: list[int] = []
    for part in re.split(r"[,;\n]", text.strip().lower()):
        piece = part.strip()
        match = _PIECE.fullmatch(piece)
        if match is None:
            sheet.refuse("pieces", f"has an empty place in its list; {_HELP}")
            continue
        no_unit = _BARE.fullmatch(match["length"].strip()) is not None
        if no_unit and match["count"] is None:
            sheet.refuse("pieces", f"“{piece}” has neither unit nor count (decimals go behind a point); {_HELP}")
            continue
        try:
            typed = parse_length(match["length"], "mm" if no_unit else None)
        except TextError as error:
            sheet.refuse("pieces", str(error))
            continue
        units, count = round(typed.value * _PER_MM), int(match["count"] or 1)
        if typed.width:
            sheet.refuse("pieces", f"“{piece}”: a piece is cut to one length; leave out its ± or range")
        elif units <= 0 or not count:
            sheet.refuse("pieces", f"“{piece}” is nothing to cut; a length and a count are more than zero")
        else:
            found[units] = found.get(units, 0) + count
            bare += [units] if no_unit else []
    _judge_bare(sheet, bare, len(re.split(r"[,;\n]", text)), stock)
    return [_Size(units, found[units]) for units in sorted(found, reverse=True)]


def _judge_bare(sheet: Sheet, bare: list[int], parts: int, stock: float) -> None:
    """Pieces without a unit are millimetres, unless that is plainly not meant."""
    if not bare:
        return
    longest = max(bare) / _PER_MM
    if sheet.problems:
        return
    if len(bare) < parts:
        sheet.refuse("pieces", "are partly without a unit; write in or mm behind every length, or behind none (mm)")
    elif longest < stock / 20 and longest * 25.4 <= stock:
        says = f"without a unit are millimetres, and {longest:g} mm is tiny beside the stock; write in or mm"
        sheet.refuse("pieces", says)
    else:
        sheet.warn("pieces written without a unit are taken as millimetres")


def _judge(given: Given, sheet: Sheet, sizes: list[_Size], usable: float) -> None:
    """Too long for a bar, or too many to plan."""
    if usable <= 0:
        sheet.refuse("trim", "leaves nothing of the bar; it must be less than the stock")
        return
    for each in sizes:
        if each.units > round(usable * _PER_MM):
            piece, most = given.show.length(each.mm, "up"), given.show.length(usable, "down")
            sheet.refuse("pieces", f"a piece of {piece} cannot come from a bar; at most {most} can")
    many = sum(each.pieces for each in sizes)
    if many > _MOST_PIECES or len(sizes) > _MOST_SIZES:
        sheet.refuse(
            "pieces",
            f"are {many} of {len(sizes)} lengths; at most {_MOST_PIECES} of {_MOST_SIZES} lengths are planned at once",
        )


BARS = Calculator(
    "bars",
    "the fewest bars of stock for a cut list, and how to cut each",
    (
        Input("stock", "length", "length of one bar as bought", 100.0, 30_000.0, needed=True),
        Input("kerf", "length", "width of the saw cut, else nothing is allowed for it", 0.0, 20.0),
        Input("trim", "length", "taken off each bar to true its ends, else nothing", 0.0, 500.0),
        Input(
            "pieces",
            "text",
            "lengths and how many of each: 30 1/2 in x 4, 812 mm x 2",
            taken="cradle.pieces",
        ),
    ),
    (
        Output("bars", "", "bars to buy"),
        Output("fewest-possible", "", "no plan can do with fewer; equal to bars when the plan is proved best"),
        Output("waste", "mm", "all that is bought and is not a piece: saw cuts, trimmings and ends"),
        Output("used", "", "share of what is bought that ends up in pieces"),
        Output("longest-left", "mm", "the longest end left over"),
        Output("plan", "list", "how many bars are cut alike, what is cut from each, what is left of each"),
    ),
    bars,
)
