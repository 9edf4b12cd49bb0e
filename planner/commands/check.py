"""``planner check``: every trap, gap and notice, with its cause and a repair that was walked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, EXIT_TRAPS, print_json, say, show, wrap
from planner.commands.places import open_build, parser
from planner.plan.fates import checked_steps
from planner.plan.fill import said
from planner.plan.findings import graver_first
from planner.plan.names import is_passing
from planner.telling.finding import by_word, rows_of
from planner.telling.looks import few_checked

if TYPE_CHECKING:
    from planner.plan.model import Finding
    from planner.plan.repairs import Repair, Repairs
    from planner.session.onebuild import OneBuild
    from planner.telling.finding import Row

_EXAMPLE = """  planner check dunlin-pickup
  planner check dunlin-pickup --json --strict

A trap is a wrong order, or something that viewers were told and that is not so; a gap something that no step
provides; a notice worth knowing. Findings on operations that are ticked already are history: they are shown and do not
count. Exit code 1 when traps stand; with --strict gaps too."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("check", "Find every ordering trap and every forgotten side, and propose repairs.", _EXAMPLE)
    made.add_argument("--strict", action="store_true", help="gaps fail the check too")
    made.add_argument("--plan", action="store_true", help="judge the plan as written, without the ticks")
    made.add_argument("--no-repairs", action="store_true", help="do not look for repairs")
    args = made.parse_args(argv)
    build = open_build(args)
    findings = [*build.findings(ignore_ticks=args.plan)]
    repairs = None if args.no_repairs else build.repairs(findings, ignore_ticks=args.plan)
    from planner.session.story import told, told_as_written

    now = build.clock()
    findings += told_as_written(build.plan, now) if args.plan else told(build.live, build.ticks, now)
    findings = graver_first(findings)
    standing = {"trap": 0, "gap": 0, "notice": 0}
    for finding in findings:
        if not finding.history:
            standing[finding.level] += 1
    if args.json:
        print_json(as_json(build, findings, standing, repairs))
    else:
        show(as_text(build, findings, standing, repairs))
    for notice in build.notices():
        say(str(notice))
    if repairs is not None and repairs.stopped:
        say("planner: the search for repairs stopped after two seconds; findings without one may still have one")
    return EXIT_TRAPS if standing["trap"] or (args.strict and standing["gap"]) else EXIT_FINE


def finding_json(finding: Finding, repairs: Sequence[dict[str, Any]] = ()) -> dict[str, Any]:
    """A finding as programs read it."""
    return {
        "id": finding.id,
        "rule": finding.rule,
        "level": finding.level,
        "at": finding.at,
        "condition": finding.condition,
        "cause": finding.cause,
        "also": list(finding.also),
        "one_way": finding.one_way,
        "history": finding.history,
        "where": None if finding.place is None else str(finding.place),
        "says": finding.says,
        "parts": list(finding.parts),
        "group": finding.group,
        "repair": repairs[0] if repairs else None,
        "repairs": list(repairs[1:]),
    }


def repair_json(build: OneBuild, finding: Finding, repair: Repair) -> dict[str, Any]:
    """A repair as programs read it."""
    from planner.telling.change import repair_says, why_says

    return {
        "kind": repair.kind,
        "says": repair_says(build.plan, finding, repair),
        "why": why_says(finding, repair),
        "partial": repair.partial,
        "order": [name for name in repair.order if not is_passing(name)],
    }


def as_json(
    build: OneBuild, findings: Sequence[Finding], standing: Mapping[str, int], repairs: Repairs | None
) -> dict[str, Any]:
    """The whole answer as programs read it."""
    found: dict[str, list[dict[str, Any]]] = {}
    for finding in findings if repairs is not None else ():
        best = repairs.by_finding.get(finding.id) if repairs is not None else None
        if repairs is not None and best is not None:
            offered = (best, *repairs.further.get(finding.id, ()))
            found[finding.id] = [repair_json(build, finding, each) for each in offered]
    return {
        "build": build.plan.build.name,
        "operations": len(build.plan.operations),
        "ticked": build.ticked(),
        "counts": dict(standing),
        "findings": [finding_json(finding, found.get(finding.id, ())) for finding in findings],
        "repairs_stopped": repairs is not None and repairs.stopped,
    }


def as_text(
    build: OneBuild, findings: Sequence[Finding], standing: Mapping[str, int], repairs: Repairs | None
) -> list[str]:
    """The whole answer as people read it."""
    counts = ", ".join(f"{count} {level}{'' if count == 1 else 's'}" for level, count in standing.items())
    lines = [
        build.plan.build.name,
        f"{len(build.plan.operations)} operations, {build.ticked()} ticked: {counts}",
    ]
    checked, steps = checked_steps(build.plan)
    if not standing["trap"] and not standing["gap"] and checked < steps:
        says = few_checked(checked, steps)
        lines += wrap(says[0].upper() + says[1:], "")
    for row in rows_of(findings):
        lines += _row_lines(build, row, repairs)
    return lines


def _row_lines(build: OneBuild, row: Row, repairs: Repairs | None) -> list[str]:
    """What is alike but for its side once, with all its operations and ids; one repair where one serves."""
    finding = row.first
    level = finding.level.upper() if not finding.history else f"HISTORY ({finding.level})"
    op = build.plan.by_name.get(finding.at)
    do = "" if op is None else f": {said(build.plan.build, op.step, op.side)}"
    lines = ["", f"{level}: {', '.join(dict.fromkeys(each.at for each in row.findings))}{do}"]
    for each in by_word(row):
        lines += _cure_lines(build, each, repairs)
    place = "" if finding.place is None else f", {finding.place}"
    lines.append(f"  {finding.rule} {' '.join(each.id for each in row.findings)}{place}")
    return lines


def _cure_lines(build: OneBuild, row: Row, repairs: Repairs | None) -> list[str]:
    """What is wrong in findings of one word, and what to do."""
    finding = row.first
    same = "" if len(row.findings) == 1 else f" The same of {_others(row)}."
    offered = {} if repairs is None else {each.id: repairs.by_finding.get(each.id) for each in row.findings}
    found = [(each, offered[each.id]) for each in row.findings if offered.get(each.id) is not None]
    if not found:
        lines = wrap(f"{finding.says}{same}")
        if repairs is not None and repairs.searched(finding):
            lines.append("  No single change of the plan cures this; the advice above may take several.")
        return lines
    from planner.telling.change import repair_says, why_says

    lines = wrap(f"{finding.told()}{same}")  # a repair was walked, so it says better what to do
    said_already = set()
    for each, repair in found:
        if repair is not None:
            says = f"Repair ({repair.kind}): {repair_says(build.plan, each, repair)} {why_says(each, repair)}"
            if says not in said_already:
                lines += wrap(says)
            said_already.add(says)
    return lines


def _others(row: Row) -> str:
    """What else a row tells of: conditions, else operations."""
    first, *more = (
        (each.condition if each.condition != row.first.condition else None) or each.at for each in row.findings
    )
    return ", ".join(dict.fromkeys(name for name in more if name != first))
