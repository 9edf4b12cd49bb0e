"""What the product says of a build and what the oracles say, set side by side."""

from __future__ import annotations

from collections import Counter
from typing import Any

import networkx

from tests.oracle import plain, simulated
from tests.oracle.plain import Ground
from tests.oracle.product import Answer, pairs_of
from tests.oracle.turning import broken_turns

LEVELS = {
    "never-given": "gap",
    "other-side": "trap",
    "given-later": "trap",
    "spoiled": "trap",
    "side-missed": "trap",
    "turn-broken": "trap",
    "after-broken": "trap",
    "cycle": "trap",
    "unused": "notice",
}
NEED_RULES = ("never-given", "other-side", "given-later", "spoiled")


def all_differences(plan: Ground, answer: Answer) -> list[str]:
    """Every difference, in words; none when the product is right."""
    found = [
        *_frame(plan, answer),
        *_pairs(plan, answer),
        *_explanations(plan, answer),
        *_grouping(plan, answer),
        *_turns(plan, answer),
        *_sides(plan, answer),
        *_unused(plan, answer),
        *_cycles(plan, answer),
    ]
    return [f"seed {plan.build.seed}: {words}" for words in found]


def _of_rule(answer: Answer, *rules: str) -> list[dict[str, Any]]:
    return [finding for finding in answer.findings if finding["rule"] in rules]


def _frame(plan: Ground, answer: Answer) -> list[str]:
    """Counts, levels, ids, exit code."""
    found = []
    levels = Counter(finding["level"] for finding in answer.findings)
    counts = {level: levels.get(level, 0) for level in ("trap", "gap", "notice")}
    if answer.data["counts"] != counts:
        found.append(f"counts {answer.data['counts']} of findings {counts}")
    if answer.data["operations"] != len(plan.planned):
        found.append(f"{answer.data['operations']} operations, expected {len(plan.planned)}")
    if answer.code != (1 if counts["trap"] else 0):
        found.append(f"exit {answer.code} with {counts}")
    ids = [finding["id"] for finding in answer.findings]
    if len(set(ids)) < len(ids):
        found.append(f"ids not unique: {ids}")
    for finding in answer.findings:
        if LEVELS.get(finding["rule"]) != finding["level"]:
            found.append(f"level {finding['level']} of {finding['rule']}")
        if finding["history"]:
            found.append(f"history without ticks: {finding['id']}")
    return found


def _pairs(plan: Ground, answer: Answer) -> list[str]:
    """The failing pairs, needs and after alike: the product's, the simulator's, the plain walk's."""
    plainly, _ = plain.failing_pairs(plan, plan.planned)
    stepped = simulated.failing_pairs(plan, plan.planned)
    said = Counter(pair for finding in answer.findings for pair in pairs_of(finding))
    found = [f"oracles differ in {sorted(plainly ^ stepped)}"] if plainly != stepped else []
    wanted = stepped - plain.circular(plan)  # those are said as circles
    if set(said) != wanted:
        found.append(f"missing pairs {sorted(wanted - set(said))}, invented pairs {sorted(set(said) - wanted)}")
    return found + [f"pair {pair} said {count} times" for pair, count in said.items() if count > 1]


def _explanations(plan: Ground, answer: Answer) -> list[str]:
    """Rule and cause of every failing need."""
    allowed = {}
    for failure in plain.walk(plan, plan.planned).needs:
        allowed[failure.operation, failure.condition] = failure.explanations
    found = []
    for finding in _of_rule(answer, *NEED_RULES):
        said = (finding["rule"], finding["cause"])
        found += [
            f"{pair} explained as {said}, expected {allowed[pair]}"
            for pair in sorted(pairs_of(finding))
            if pair in allowed and said not in allowed[pair]
        ]
    return found


def _grouping(plan: Ground, answer: Answer) -> list[str]:
    """One finding for each condition, rule and cause; the others are listed after it, in order."""
    place = {name: number for number, name in reversed(list(enumerate(plan.planned)))}
    found = []
    keys = Counter((f["condition"], f["rule"], f["cause"]) for f in _of_rule(answer, *NEED_RULES))
    found += [f"{key} in {count} findings" for key, count in keys.items() if count > 1]
    for finding in _of_rule(answer, *NEED_RULES, "after-broken"):
        listed = [finding["at"], *finding["also"]]
        if [place[name] for name in listed] != sorted(place[name] for name in listed):
            found.append(f"not in order: {listed}")
        one_way = [plan.operations[name].one_way for name in listed]
        if finding["one_way"] and not any(one_way):
            found.append(f"called one-way: {finding['id']}")
        if one_way[0] and not finding["one_way"]:
            found.append(f"not called one-way: {finding['id']}")
    found += [
        f"condition {f['condition']} in {f['id']}"
        for f in _of_rule(answer, "after-broken", "turn-broken")
        if f["condition"] is not None
    ]
    return found


def _turns(plan: Ground, answer: Answer) -> list[str]:
    """Steps whose turns are broken, where, and what should have come first."""
    found = []
    said: dict[str, dict[str, str | None]] = {}
    for finding in _of_rule(answer, "turn-broken"):
        for name in (finding["at"], *finding["also"]):
            said.setdefault(plan.operations[name].step, {})[name] = finding["cause"]
    given = {step.name for stage in plan.build.stages() if stage.sequence is not None for step in stage.steps}
    for step, turns in plan.turns.items():
        breaks = broken_turns(turns, plan.planned)
        here = said.pop(step, {}) if step in given else {}  # the planned order breaks no turns
        needed = set(breaks.certain) if turns.kind == "either" else breaks.first()
        if needed and not needed & set(here):
            found.append(f"turns of {step} broken at {list(breaks.certain)}, said {here}")
        for name, cause in here.items():
            if name not in breaks.possible:
                found.append(f"turns of {step} said broken at {name} by {cause}, possible {breaks.possible}")
            elif cause not in breaks.possible[name]:
                found.append(f"turns of {step} at {name}: cause {cause}, possible {breaks.possible[name]}")
    return found + [f"{step} has no turns to break, said {here}" for step, here in said.items()]


def _sides(plan: Ground, answer: Answer) -> list[str]:
    """Steps on some sides without a why; operations left out."""
    said = [name for f in _of_rule(answer, "side-missed") for name in (f["at"], *f["also"])]
    expected = plain.side_missed(plan)
    if set(said) == expected and len(said) == len(expected):
        return []
    return [f"side-missed at {sorted(said)}, expected {sorted(expected)}"]


def _unused(plan: Ground, answer: Answer) -> list[str]:
    """Conditions that no step, and nothing on camera, needs in any form."""
    words = [word for step in plan.build.steps() for word in step.needs] + list(plan.build.on_camera_needs)
    needed = {word.partition("@")[0] for word in words}
    said = sorted(name for f in _of_rule(answer, "unused") for name in (f["at"], *f["also"]))
    expected = sorted(set(plan.build.conditions) - needed)
    return [] if said == expected else [f"unused {said}, expected {expected}"]


def _cycles(plan: Ground, answer: Answer) -> list[str]:
    """Links in a circle, by PyPI `networkx`.

    Where operations wait for each other in a circle one must be named; where not even the steps do, none.
    Between the two lie links to `own` that a step's sides happen to leave without effect.
    """
    operations, steps = networkx.DiGraph(), networkx.DiGraph()
    for name, operation in plan.operations.items():
        operations.add_edges_from((name, first) for _, required in operation.after for first in required)
        steps.add_edges_from((operation.step, step) for step, _ in operation.after)
    said = bool(_of_rule(answer, "cycle"))
    knotted = plain.circular(plan)
    if not said and knotted & plain.failing_pairs(plan, plan.planned)[0]:
        return [f"no circle said, and there is one: {sorted(knotted)}"]
    if knotted:
        return []
    if said and networkx.is_directed_acyclic_graph(steps):
        return ["a circle of links, and there is none"]
    if not said and not networkx.is_directed_acyclic_graph(operations):
        return [f"no circle of links said: {networkx.find_cycle(operations)}"]
    return []
