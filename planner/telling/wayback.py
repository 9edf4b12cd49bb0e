"""The way back in words: stop, what comes first, what is put in, what it costs, and what comes behind it."""

from __future__ import annotations

from planner.plan.words import counted, show_duration
from planner.session.offorder import off_order
from planner.session.onebuild import OneBuild
from planner.session.wayback import Leg, Way
from planner.telling.finding import Row, sentence, shown_name
from planner.telling.looks import Line, line
from planner.telling.order import summary

_MOST = 12  # operations that are listed; what comes behind them follows one by one


def off_line(one: OneBuild, key: str) -> Line:
    """That the work is off the safe order, in one line; empty where it is not."""
    finding = off_order(one)
    if finding is None:
        return ()
    return line((f"✗ off the safe order at {shown_name(finding.at)}", "trap"), (f"   {key}: the way back", "strong"))


def cost_says(way: Way) -> str:
    """What the way costs: 35 min of work and 2 h of waiting."""
    parts = [f"{show_duration(round(way.worked))} of work"] if way.worked else []
    parts += [f"{show_duration(-(-way.waited // 60) * 60)} of waiting"] if way.waited else []
    return " and ".join(parts) or "no time is planned for it"


def way_lines(one: OneBuild, way: Way) -> list[Line]:
    """The way back, first step first."""
    finding, found = off_order(one), way.answer.found
    if found.order is None:
        return [line((summary(way.answer, rework=True), "strong"))]
    lines: list[Line] = []
    if finding is not None:
        lines += [line((f"STOP before {shown_name(finding.at)}", "trap"))]
    if not way.legs:
        return [*lines, line("Nothing has to be put right: go on as planned.")]
    put_in = sum(leg.put_in for leg in way.legs)
    proved = "the shortest there is" if found.proved else "the best found in time"
    rework = counted(put_in, "rework operation") if put_in else "no rework"
    lines.append(line((f"it costs {cost_says(way)}; {rework}; {proved}", "head")))
    for number, leg in enumerate(way.legs[:_MOST], 1):
        lines += _leg_lines(one, number, leg)
    if len(way.legs) > _MOST:
        lines.append(line((f"   and {len(way.legs) - _MOST} more", "dim")))
    elif way.then is not None:
        lines.append(line(("   then   ", "dim"), (shown_name(way.then.name), "strong"), f"  {one.said(way.then)}"))
    if finding is not None:
        lines += [(), line(("why  ", "head"), f"{sentence(one.plan, Row((finding,)))}.")]
    return lines


def _leg_lines(one: OneBuild, number: int, leg: Leg) -> list[Line]:
    lines = []
    if leg.wait:
        lines.append(line((f"   ◷ wait {show_duration(-(-leg.wait // 60) * 60)} first; it may be hot", "waits")))
    time = f"  {show_duration(leg.op.step.time)}" if leg.op.step.time else ""
    mark = ("  + rework, put in", "caution") if leg.put_in else ""
    lines.append(line((f"{number:>2} ", "mark"), (shown_name(leg.op.name), "strong"), mark, (time, "dim")))
    return [*lines, line(("   ", "mark"), one.said(leg.op))]
