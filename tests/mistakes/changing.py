"""Plans as plain trees, and a small language of what people do wrong with them.

A change is one or more of these, with ``;`` between them:

    drop STEP                        the step is forgotten
    move STEP after|before STEP      it is done at another time, in another stage perhaps
    sides STEP side,side             it is done there only, and somebody said why
    rounds STEP n    turns STEP t    its rounds and turns
    kind STEP kind   piece STEP p    it is other work, or work on something else
    keep STEP key value              any other key
    pace "Stage" pace                how a stage is gone through
    add "id kind piece key: value" after|before STEP
"""

from __future__ import annotations

import copy
import json
import re
import shlex
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import yaml

ROOT = Path(__file__).parents[2]
PLANS = Path(__file__).parent / "plans"


class Plan(NamedTuple):
    """A build as plain values: build.yaml, its episodes, and numbers.yaml as text where there is one."""

    job: dict[str, Any]
    episodes: list[dict[str, Any]]
    numbers: str | None


class _Loader(yaml.CSafeLoader):
    """Plain scalars as the planner reads them: numbers, true, false and null; all else is a text."""


_Loader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("int", r"[-+]?(0|[1-9][0-9]*)", "-+0123456789"),
    ("float", r"[-+]?(0|[1-9][0-9]*)\.[0-9]+", "-+0123456789"),
    ("bool", r"true|false", "tf"),
    ("null", r"null|~|", ["n", "~", ""]),
):
    _Loader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(rf"^(?:{_pattern})$"), list(_first))


def _load(text: str) -> Any:
    return yaml.load(text, _Loader)  # a SafeLoader


def step_line(line: str) -> dict[str, Any]:
    """A step out of ``id kind piece key: value, key: value``; ``-`` for no kind, no piece."""
    name, kind, piece, *more = line.split(maxsplit=3)
    step: dict[str, Any] = {"step": name, "do": f"{name.replace('-', ' ')} ({kind} {piece})".capitalize()}
    step |= {key: value for key, value in (("kind", kind), ("piece", piece)) if value != "-"}
    if more:
        step |= _load("{" + more[0] + "}")
    return step


@cache
def read_plan(name: str) -> Plan:
    """A plan of the bench by its name, or a build by its folder under the repository; nobody changes it in place."""
    own = PLANS / f"{name}.plan"
    if not own.exists():
        folder = ROOT / name
        numbers = folder / "numbers.yaml"
        return Plan(
            _load((folder / "build.yaml").read_text(encoding="utf-8")),
            [_load(path.read_text(encoding="utf-8")) for path in sorted((folder / "episodes").glob("*.yaml"))],
            numbers.read_text(encoding="utf-8") if numbers.exists() else None,
        )
    head, *stages = re.split(r"(?m)^= ", own.read_text(encoding="utf-8"))
    made = []
    for text in stages:
        title, *lines = text.strip().splitlines()
        title, _, keys = title.partition(" | ")
        steps = [step_line(line) for line in lines if line.strip()]
        made.append({"stage": title, **_load("{" + keys + "}"), "steps": steps})
    job = {"format": 1, "build": name, **_load(head)}
    return Plan(job, [{"format": 1, "episode": 1, "title": name, "stages": made}], None)


def write_plan(plan: Plan, folder: Path) -> Path:
    """The plan as files; JSON is YAML."""
    (folder / "episodes").mkdir(parents=True)
    (folder / "build.yaml").write_text(json.dumps(plan.job, ensure_ascii=False), encoding="utf-8")
    for episode in plan.episodes:
        path = folder / "episodes" / f"{episode['episode']:02}-x.yaml"
        path.write_text(json.dumps(episode, ensure_ascii=False), encoding="utf-8")
    if plan.numbers is not None:
        (folder / "numbers.yaml").write_text(plan.numbers, encoding="utf-8")
    return folder


def bare(plan: Plan) -> Plan:
    """The plan by its kinds alone: what its author wrote of needs and after taken out."""
    plan = copy.deepcopy(plan)
    for episode in plan.episodes:
        for stage in episode["stages"]:
            for step in stage["steps"]:
                step.pop("needs", None)
                step.pop("after", None)
    plan.job.pop("on-camera", None)
    for kind in (plan.job.get("kinds") or {}).values():
        if isinstance(kind, dict):
            kind.pop("also-needs", None)
    return plan


def _find(plan: Plan, name: str) -> tuple[list[dict[str, Any]], int]:
    for episode in plan.episodes:
        for stage in episode["stages"]:
            for at, step in enumerate(stage["steps"]):
                if step["step"] == name:
                    return stage["steps"], at
    raise KeyError(f"there is no step {name}")


def _put(plan: Plan, step: dict[str, Any], where: str, other: str) -> None:
    steps, at = _find(plan, other)
    steps.insert(at + {"before": 0, "after": 1}[where], step)


def _drop(plan: Plan, name: str) -> dict[str, Any]:
    steps, at = _find(plan, name)
    return steps.pop(at)


def _forget(plan: Plan, name: str) -> None:
    """Take a step out, and what other steps say of it."""
    _drop(plan, name)
    for episode in plan.episodes:
        for stage in episode["stages"]:
            for step in stage["steps"]:
                if "after" in step:
                    step["after"] = [ref for ref in step["after"] if ref.partition("@")[0] != name]
        episode["stages"] = [stage for stage in episode["stages"] if stage["steps"]]


def changed(plan: Plan, change: str) -> Plan:
    """A copy of the plan with the change made; a word that it does not know is a KeyError."""
    plan = copy.deepcopy(plan)
    for part in re.split(r";\s*(?=(?:[^\"]*\"[^\"]*\")*[^\"]*$)", change):
        verb, *words = shlex.split(part)
        if verb == "drop":
            _forget(plan, words[0])
        elif verb == "move":
            _find(plan, words[2])
            _put(plan, _drop(plan, words[0]), words[1], words[2])
        elif verb == "add":
            _put(plan, step_line(words[0]), words[1], words[2])
        elif verb == "pace":
            for episode in plan.episodes:
                for stage in episode["stages"]:
                    if stage["stage"] == words[0]:
                        stage["pace"] = words[1]
        else:
            steps, at = _find(plan, words[0])
            if verb == "sides" and words[1] == "each":
                steps[at].pop("sides", None)
            elif verb == "sides":
                steps[at] |= {"sides": words[1].split(","), "why": "the other was to follow"}
            elif verb in ("rounds", "turns", "kind", "piece"):
                steps[at][verb] = int(words[1]) if words[1].isdecimal() else words[1]
            else:
                steps[at][{"keep": words[1]}[verb]] = _load(words[2])
    return plan
