"""The lines on one side of a housing: first and second line, saw edges, waste, and what stands in the way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.numbers.calculator import NOTHING, Given, Sheet
from planner.numbers.calculators.keepouts import Bans, KeepOut, bans, nearest_lines, parse_keep_outs
from planner.numbers.calculators.narrowform import INPUTS
from planner.numbers.lengths import DOWN, UP, TextError, marks
from planner.numbers.quantity import Quantity

AGAIN, NEW = "again", "new"
_BY_NAME = "by definition of the readings"
_PRACTICE = "common practice, no source"
#: How far one place of a tube may be off its nominal size: part of it, and at least so many millimetres.
_MADE_TO = {"tube": (0.01, 0.5), "wall": (0.1, 0.2)}
_TUBE = "tube is made to 1 %, its wall to 10 %: EN 10219-2, from memory"
_NEAR_POCKET = 25.4  # a shorter stub carries the heat of the weld into the pocket


class Cut(NamedTuple):
    """What is known of a side before its lines are drawn."""

    side: str
    present: Quantity  # h, pinion line to the present plate face
    shorten: Quantity  # R


class _Lines(NamedTuple):
    """The lines of a side: where the new or kept end begins to count, and where the centre's tube ends."""

    first: Quantity  # x1, or the joint face of a new end
    second: Quantity
    between: Quantity
    ends_new: bool


def cut_side(given: Given, sheet: Sheet, cut: Cut, cuts: Sequence[Cut]) -> None:
    """Everything about the cuts on one side of all ``cuts``; nothing when there is nothing to cut."""
    side = cut.side
    try:
        keep_outs = parse_keep_outs(given.text("keep-out", side))
    except TextError as error:
        sheet.refuse("keep-out", str(error), side if given.is_sided("keep-out") else None)
        return
    if abs(cut.shorten.value) <= NOTHING and not _ends_new(given, side):
        sheet.warn(f"nothing to cut on the {side} side: shorten is nothing there")
        _bracket(given, sheet, cut, None)
        return
    lines = _lines(given, sheet, cut)
    if lines is None:
        return
    _stepped(given, sheet, side)
    _bridged(given, sheet, side)
    _on_the_tube(given, sheet, cut, keep_outs)
    _judge_lines(given, sheet, cut, cuts, lines, keep_outs)
    dressing = given.default("dressing", 0.0, side)
    sheet.give("second-line", lines.second, _second_formula(lines), _BY_NAME, side)
    sheet.give("saw-second", lines.second - dressing, "second-line - dressing", _PRACTICE, side)
    if not lines.ends_new:
        sheet.give("first-line", lines.first, "as decided", "decision", side)
        sheet.give("between", lines.between, "shorten + gap - shrinkage", _BY_NAME, side)
        sheet.give("saw-first", lines.first + dressing, "first-line + dressing", _PRACTICE, side)
        _waste(given, sheet, side, lines.between, dressing)
    else:
        sheet.warn(f"{side} side: a new end goes on; all of the old end outward of the second line comes off")
    _stub_and_tube(given, sheet, cut, lines)
    _bracket(given, sheet, cut, lines)


def _second_formula(lines: _Lines) -> str:
    return "shorten + joint-face + gap - shrinkage" if lines.ends_new else "first-line + between"


def _lines(given: Given, sheet: Sheet, cut: Cut) -> _Lines | None:
    """The two lines; None when an input that they need was refused."""
    side = cut.side
    between = _between(given, cut)
    for key, what in (("gap", "measure it after tacking"), ("shrinkage", "weld a coupon and measure it")):
        if not given.has(key):
            sheet.warn(f"{key} is not given and taken as nothing; {what}")
    ends_new = _ends_new(given, side)
    key = "joint-face" if ends_new else "first-line"
    first = given.get(key, side)
    if first is None:
        what = "from the new end's plate face to its joint face" if ends_new else "where the end is cut off"
        sheet.refuse(key, f"is missing: {what}; measured inward from the plate face")
        return None
    if not ends_new and not _kerf_fits(given, sheet, cut, between):
        return None
    return _Lines(first, first + between, between, ends_new)


def _kerf_fits(given: Given, sheet: Sheet, cut: Cut, between: Quantity) -> bool:
    """Whether one cut at least finds room between the lines."""
    side = cut.side
    kerf = given.get("kerf", side)
    if kerf is None:
        sheet.refuse("kerf", "is missing: how wide the saw or disc cuts; measure a trial cut")
        return False
    if between.value >= kerf.value - NOTHING:
        return True
    more = kerf.value - cut.shorten.value + given.default("shrinkage", 0.0, side).value
    says = f"the lines on the {side} side are nearer to each other than one kerf, so any cut takes too much:"
    least = next(each.low for each in INPUTS if each.key == "kerf") or 0.0
    if marks(between.value, given.show.step, DOWN) * given.show.step >= least:
        says += f" a kerf of at most {given.show.length(between.value, DOWN)} would do, or"
    elif between.value > NOTHING:
        says += f" no saw kerf is as narrow as {given.show.limit(between.value)}: dress that much off instead, or take"
    says += f" a root gap of at least {given.show.length(more, UP)}, or other pads"
    sheet.refuse("kerf", says, side if given.is_sided("kerf") else None)
    return False


def _stepped(given: Given, sheet: Sheet, side: str) -> None:
    """The same tube must be met at both lines, or the ends cannot be butted."""
    for what in ("tube", "wall"):
        at_first, at_second = given.get(f"{what}-first", side), given.get(f"{what}-second", side)
        if at_first is None or at_second is None:
            if what == "tube":
                sheet.warn("tube diameter at both lines is not given: make sure that the tube has no step or taper")
            continue
        step = at_first - at_second
        part, floor = _MADE_TO[what]
        allowed = max(step.plus_minus, 2 * max(part * max(at_first.value, at_second.value), floor))
        told = (
            f"{what} {given.show.length(at_first.value)} at the first line and"
            f" {given.show.length(at_second.value)} at the second"
        )
        if abs(step.value) > allowed + NOTHING:
            says = (
                f"the tube is stepped on the {side} side: {told}; a stepped tube cannot be butted. Two places on one"
                f" tube differ by at most {given.show.length(allowed, DOWN)} ({_TUBE}): choose both lines on one"
                f" {what}, or order ends to match"
            )
            sheet.refuse(f"{what}-second", says, side if given.is_sided(f"{what}-second") else None)
        elif abs(step.value) > max(step.plus_minus, NOTHING):
            sheet.warn(f"{side} side: {told}: tube is made no better ({_TUBE}), but feel for a step between the lines")


def _bridged(given: Given, sheet: Sheet, side: str) -> None:
    """A root gap wider than the wall is no root gap: no bead bridges it soundly."""
    gap = given.get("gap", side)
    walls = [(each, key) for key in ("wall-first", "wall-second") if (each := given.get(key, side)) is not None]
    if gap is None or not walls:
        return
    wall, key = min(walls, key=lambda pair: pair[0].value)
    if gap.value > wall.value + NOTHING:
        says = (
            f"on the {side} side is wider than the wall ({key} {given.show.length(wall.value)}): a gap is at most the"
            " wall (common practice, no source): fit the ends closer, and measure it again"
        )
        sheet.refuse("gap", says, side if given.is_sided("gap") else None)


def _on_the_tube(given: Given, sheet: Sheet, cut: Cut, keep_outs: Sequence[KeepOut]) -> None:
    """What stands off the tube keeps nothing off it: it was read from somewhere else, or in another unit."""
    end = cut.present - given.default("to-centre", 0.0, cut.side)
    for each in keep_outs:
        if each.low >= end.value + end.plus_minus - NOTHING:
            says = (
                f"{cut.side} side: the {each.what} begins {given.show.length(each.low)} inward of the plate face, and"
                f" the tube ends at {given.show.length(end.value)}: measure it from this side's plate face, and check"
                " the unit"
            )
            sheet.refuse("keep-out", says, cut.side if given.is_sided("keep-out") else None)


def _judge_lines(
    given: Given, sheet: Sheet, cut: Cut, cuts: Sequence[Cut], lines: _Lines, keep_outs: tuple[KeepOut, ...]
) -> None:
    """Lines in keep-outs, keep-outs swallowed, too little tube on either side of the joint."""
    side = cut.side
    wrong = []
    if not lines.ends_new:
        inside = [each.what for each in keep_outs if each.holds(lines.first.value)]
        wrong += [f"the first line lies in the keep-out {what}" for what in inside]
        wrong += [
            f"the keep-out {each.what} lies whole between the lines and would go with the waste"
            for each in keep_outs
            if each.lies_between(lines.first.value, lines.second.value)
        ]
    inside = [each.what for each in keep_outs if each.holds(lines.second.value)]
    wrong += [f"the second line lies in the keep-out {what}" for what in inside]
    stub = lines.first - given.default("pocket", 0.0, side)
    least = given.default("stub-least", 0.0, side).value
    if stub.value < max(least - NOTHING, NOTHING):
        short = f"the stub outward of the joint is too short: {given.show.length(stub.value, DOWN)}"
        wrong.append(f"{short}, at least {given.show.length(least, UP)} is wanted" if least else short)
    if _tube_left(given, cut, lines).value <= NOTHING:
        wrong.append("the second line lies where the tube has already entered the centre")
    if wrong:
        key = "joint-face" if lines.ends_new else "first-line"
        row = side if given.is_sided(key) else None
        sheet.refuse(key, f"{side} side: {'; '.join(wrong)}. {_would_do(given, cuts, cut, lines)}", row)
        return
    for each in keep_outs:
        if lines.ends_new and each.high <= lines.second.value:
            sheet.warn(f"{side} side: the {each.what} comes off with the old end")
        for name, line in (("first", lines.first), ("second", lines.second)):
            close = min(abs(line.value - each.low), abs(line.value - each.high))
            if close < line.plus_minus and not (lines.ends_new and name == "first"):
                sheet.warn(f"{side} side: the {name} line is within its own doubt of the {each.what}; mark it and look")


def _would_do(given: Given, cuts: Sequence[Cut], cut: Cut, lines: _Lines) -> str:
    """The nearest first line (or joint face of a new end) that would do, rounded to the safe side.

    A line given once for all sides must do on all of them.
    """
    step = given.show.step
    shared = not given.is_sided("joint-face" if lines.ends_new else "first-line")
    concerned = [each for each in cuts if each.side == cut.side or (shared and each.shorten.value > NOTHING)]
    limits = [_limits(given, each, step) for each in concerned if _ends_new(given, each.side) == lines.ends_new]
    below, above = nearest_lines(lines.first.value, limits, step)
    what = "joint face" if lines.ends_new else "first line"
    found = [
        f"at {'most' if word is DOWN else 'least'} {given.show.length(line, word)}"
        for line, word in ((below, DOWN), (above, UP))
        if line is not None
    ]
    where = f" on {' and '.join(each.side for each in concerned)} alike" if len(limits) > 1 else ""
    if not found:
        apart = "; give each side its own" if len(limits) > 1 else ", or move what stands there"
        return f"No {what} would do{where}: choose other pads{apart}"
    return f"A {what} of {' or '.join(found)} would do{where}"


def _limits(given: Given, cut: Cut, step: float) -> Bans:
    """Where the first line (or the joint face of a new end) may lie on one side."""
    side = cut.side
    between = _between(given, cut).value
    low = given.default("pocket", 0.0, side).value + max(given.default("stub-least", 0.0, side).value, step)
    high = cut.present.value - given.default("to-centre", 0.0, side).value - between - step
    try:
        keep_outs = parse_keep_outs(given.text("keep-out", side))
    except TextError:  # told where that side is judged
        keep_outs = ()
    if not _ends_new(given, side):
        return bans(keep_outs, between, low, high)
    # The old end goes whole, so only the second line must keep out.
    return Bans(low, high, tuple((each.low - between, each.high - between) for each in keep_outs))


def _ends_new(given: Given, side: str) -> bool:
    return given.text("ends", side, default=AGAIN) == NEW


def _between(given: Given, cut: Cut) -> Quantity:
    return cut.shorten + given.default("gap", 0.0, cut.side) - given.default("shrinkage", 0.0, cut.side)


def _tube_left(given: Given, cut: Cut, lines: _Lines) -> Quantity:
    return cut.present - lines.second - given.default("to-centre", 0.0, cut.side)


def _waste(given: Given, sheet: Sheet, side: str, between: Quantity, dressing: Quantity) -> None:
    """The piece that falls out between two saw cuts, or what to do when there is no room for two."""
    kerf = given.need("kerf", side)
    waste = between - 2.0 * dressing - 2.0 * kerf
    sheet.give("waste", waste, "between - 2 dressing - 2 kerf", _PRACTICE, side)
    if waste.value < -NOTHING:
        rest = between - kerf
        says = (
            f"{side} side: there is no room for two cuts. Make one cut between the lines and dress both faces back to"
            f" their lines: {given.show.length(rest.value)} in all comes off by dressing"
        )
        if between.value - 2.0 * dressing.value < kerf.value:
            says += f"; the dressing of {given.show.length(dressing.value)} a face cannot be left, so cut with care"
        sheet.warn(says)


def _stub_and_tube(given: Given, sheet: Sheet, cut: Cut, lines: _Lines) -> None:
    side = cut.side
    pocket = given.get("pocket", side)
    if pocket is None:
        sheet.warn("pocket is not given: whether the joint keeps clear of bearing and seal is not checked")
    else:
        stub = lines.first - pocket
        sheet.give("stub", stub, f"{'joint-face' if lines.ends_new else 'first-line'} - pocket", _BY_NAME, side)
        if NOTHING < stub.value < _NEAR_POCKET:
            sheet.warn(f"{side} side: the stub is short, so the weld's heat reaches the pocket; measure its bore after")
    if given.has("to-centre"):
        formula = "present half - second-line - to-centre"
        sheet.give("tube-left", _tube_left(given, cut, lines), formula, _BY_NAME, side)
    else:
        sheet.warn("to-centre is not given: whether tube is left between joint and centre is not checked")


def _bracket(given: Given, sheet: Sheet, cut: Cut, lines: _Lines | None) -> None:
    """Where a bracket comes to lie from the new plate face."""
    side = cut.side
    bracket = given.get("bracket", side)
    if bracket is None:
        return
    if lines is not None and bracket.value < lines.second.value:
        if lines.ends_new or bracket.value > lines.first.value:
            sheet.warn(f"{side} side: the bracket stands in what comes off; it must be made again")
            return
        sheet.give("bracket-to-plate", bracket, "bracket, which stays with the end", _BY_NAME, side)
        sheet.warn(f"{side} side: the bracket stands outward of the first line and stays with the end")
        return
    sheet.give("bracket-to-plate", bracket - cut.shorten, "bracket - shorten", _BY_NAME, side)
