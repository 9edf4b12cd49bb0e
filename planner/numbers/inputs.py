"""Judging inputs one by one: known, complete, readable, within their range."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from planner.numbers.calculator import Arriving, Calculator, Input, Output, RefusedError, Show, TypedValue
from planner.numbers.lengths import DOWN, LENGTH_HELP, UP, TextError, Typed, decimals, finest, marks
from planner.numbers.quantity import Quantity, marked, reading
from planner.numbers.units import KINDS, allowed, parse_value

_LONGEST_TEXT = 50_000
_parse = lru_cache(maxsize=1024)(parse_value)


def parse_input(each: Input, text: str) -> Typed | None:
    """What was typed for an input, None for words; raises TextError when it is not what the input wants.

    Judges the writing alone, not whether the value makes sense.
    """
    if each.kind == "text":
        if len(text) > _LONGEST_TEXT:
            raise TextError(f"is longer than {_LONGEST_TEXT} characters; shorten it")
        if each.choices and text not in each.choices:
            about = f"; {each.doc}" if each.choices[0][0].isdigit() else ""  # numbers alone say little
            raise TextError(f"“{text}” is not one of {', '.join(each.choices)}{about}")
        return None
    typed = _parse(each.kind, text)
    if typed.form == "range" and not each.ranged:
        raise TextError(f"“{text}” is a range; give one value, with ± for what it may be off")
    return typed


def read_inputs(
    calculator: Calculator, typed: Mapping[str, Arriving], sides: Sequence[str]
) -> dict[str, TypedValue | Mapping[str, TypedValue]]:
    """Every input as a value, or RefusedError with everything that is wrong with any of them."""
    problems: list[tuple[str, str]] = []
    missing: list[str] = []
    known = {each.key: each for each in calculator.inputs}
    for key in typed:
        if key not in known:
            problems.append((key, f"{calculator.name} has no input {key}{_near(key, known)}"))
    values: dict[str, TypedValue | Mapping[str, TypedValue]] = {}
    for each in calculator.inputs:
        arriving = typed.get(each.key)
        if arriving is None or arriving == "":
            if each.needed:
                problems.append((each.key, _missing(each)))
                missing.append(each.key)
        elif isinstance(arriving, Mapping):
            found = _per_side(calculator, each, arriving, sides, problems, missing)
            if found is not None:
                values[each.key] = found
        else:
            value = _one(calculator, each, arriving, None, problems)
            if value is not None:
                values[each.key] = value
    if problems:
        raise RefusedError(problems, missing)
    return values


def describe_input(each: Input, show: Show | None = None) -> str:
    """An input in one line, as docstrings and help have it: kind, range, whether it is needed.

    >>> describe_input(Input("width", "length", "the rim", 75.0, 500.0, True))
    'length, 75 mm to 500 mm, needed'
    >>> describe_input(Input("width", "length", "the rim", 75.0, 500.0, True), Show(16))
    'length, 75 mm to 500 mm (2.953 in to 19.685 in), needed'
    """
    parts = [each.kind if each.kind != "text" or not each.choices else " | ".join(each.choices)]
    if each.low is not None or each.high is not None:
        parts.append(span_text(each, show))
    parts.append("needed" if each.needed else f"needed unless {each.unless}" if each.unless else "optional")
    if each.taken:
        parts.append(f"else {each.taken}")
    if each.ranged:
        parts.append("lo..hi allowed")
    if each.sided:
        parts.append("per side")
    return ", ".join(parts)


def describe_output(each: Output) -> str:
    """An output in one line, as docstrings and help have it.

    >>> describe_output(Output("shorten", "mm", "what the side loses", True))
    'mm, per side'
    """
    return ", ".join([each.unit or "plain number", *(["per side"] if each.sided else [])])


def _near(word: str, known: Mapping[str, object]) -> str:
    import difflib  # only when there is something to report

    found = difflib.get_close_matches(word, sorted(known), n=1, cutoff=0.6)
    return f"; did you mean {found[0]}?" if found else f"; it has {', '.join(known)}"


def _missing(each: Input) -> str:
    how = f"write one of {', '.join(each.choices)}" if each.choices else ""
    if not how:
        how = "write it in text" if each.kind == "text" else allowed(each.kind)
    taken = f", or give what {each.taken.partition('.')[0]} needs to yield it" if each.taken else ""
    return f"is missing: {each.doc}; {how}{_span(each)}{taken}"


def _span(each: Input) -> str:
    """The range of an input, behind what is said of how it is written; empty where there is none."""
    if each.kind == "text" or (each.low is None and each.high is None):
        return ""
    return f"; what is allowed is {_range(each)}"


def _per_side(
    calculator: Calculator,
    each: Input,
    arriving: Mapping[str, TypedValue],
    sides: Sequence[str],
    problems: list[tuple[str, str]],
    missing: list[str],
) -> dict[str, TypedValue] | None:
    if not each.sided:
        problems.append((each.key, f"{each.key} is one value for the whole job; it is not given per side"))
        return None
    good = True
    for side in arriving:
        if side not in sides:
            problems.append((f"{each.key}.{side}", f"there is no side {side}; the sides are {', '.join(sides)}"))
            good = False
    out: dict[str, TypedValue] = {}
    for side in sides:
        if side not in arriving or arriving[side] == "":
            if each.one_by_one:
                continue
            others = ", ".join(name for name in arriving if name in sides) or "no side"
            says = f"is missing: {each.key} is given for {others} only; give {side} too"
            problems.append((f"{each.key}.{side}", says))
            missing.append(f"{each.key}.{side}")
            good = False
            continue
        value = _one(calculator, each, arriving[side], side, problems)
        if value is None:
            good = False
        else:
            out[side] = value
    return out if good and out else None


def judged(calculator: Calculator, each: Input, arriving: TypedValue, side: str | None) -> TypedValue:
    """One value of an input; RefusedError where it cannot be used."""
    problems: list[tuple[str, str]] = []
    found = _one(calculator, each, arriving, side, problems)
    if found is None:
        raise RefusedError(problems)
    return found


def _one(
    calculator: Calculator, each: Input, arriving: TypedValue, side: str | None, problems: list[tuple[str, str]]
) -> TypedValue | None:
    name = each.key if side is None else f"{each.key}.{side}"
    if isinstance(arriving, Quantity):
        says = _outside(each, arriving.value, None)
        value = arriving
    else:
        arriving = arriving.strip()
        try:
            typed = parse_input(each, arriving)
        except TextError as error:
            problems.append((name, f"{error}{_span(each)}"))
            return None
        if typed is None:
            return arriving
        value = reading(f"{calculator.name}.{name}", typed.number, typed.deviation)
        if each.kind == "length" and typed.form != "range" and finest(typed.number) > 1:
            value = marked(value, typed.number)
        says = _outside(each, value.value, (arriving, typed))
        if says is None and typed.form == "range":
            half = typed.width / 2.0
            says = _outside(each, value.value - half, None) or _outside(each, value.value + half, None)
        if says is None and typed.form == "half" and typed.width > max(abs(value.value), 50.0) * 0.5:
            says = f"“{arriving}” may be off by half of itself or more; check the ±"
    if says is not None:
        problems.append((name, says))
        return None
    return value


def _outside(each: Input, value: float, typed: tuple[str, Typed] | None) -> str | None:
    """What to say of a value outside its range, or None."""
    low, high = each.low, each.high
    slack = 1e-12 * abs(value)  # a limit typed in the other system is still the limit
    if (low is None or value >= low - slack) and (high is None or value <= high + slack):
        return None
    told = f"“{typed[0]}”" if typed is not None else _with_unit(each, value)
    says = f"{told} is outside what is allowed, {_range(each)}"
    if each.kind == "length" and typed is not None:
        other = value / 25.4 if typed[1].inches else value * 25.4
        if (low is None or other >= low) and (high is None or other <= high) and value:
            meant = "mm" if typed[1].inches else "in"
            return f"{says}; was {meant} meant, and not {'in' if typed[1].inches else 'mm'}? Check the unit"
    return f"{says}; measure again or check the unit"


def span_text(each: Input, show: Show | None = None) -> str:
    """The range of an input; of a length also in inches where they are shown, on the safe side of both limits.

    >>> span_text(Input("kerf", "length", "of a saw", 0.2, 12.0), Show(64))
    '0.2 mm to 12 mm (0.008 in to 0.472 in)'
    """
    low, high = each.low, each.high
    if each.kind != "length" or show is None or not show.denominator or low is None or high is None:
        return _range(each)
    inches = [f"{marks(mm, 0.0254, way) / 1000:.10g} in" for mm, way in ((low, UP), (high, DOWN))]
    return f"{_range(each)} ({inches[0]} to {inches[1]})"


def _range(each: Input) -> str:
    if each.low is None:
        return f"at most {_with_unit(each, each.high or 0.0)}"
    if each.high is None:
        return f"at least {_with_unit(each, each.low)}"
    return f"{_with_unit(each, each.low)} to {_with_unit(each, each.high)}"


def _with_unit(each: Input, value: float) -> str:
    unit = KINDS[each.kind].base
    digits = decimals(value, 3).rstrip("0").rstrip(".") if value != int(value) else str(int(value))
    return f"{digits} {unit}".rstrip()


__all__ = ["LENGTH_HELP", "describe_input", "describe_output", "judged", "parse_input", "read_inputs", "span_text"]
