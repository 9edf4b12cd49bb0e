"""What stands against a tick, asked of the live state. Nothing is recorded here, and no clock is read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from planner.plan.expand import Operation
from planner.plan.live import Live
from planner.plan.model import GAP, TRAP, Finding
from planner.plan.ticks import AGAIN, DONE, LATE, READING, UNDONE
from planner.plan.words import counted
from planner.session.results import Reason, Refusal

Remarks = Sequence[Mapping[str, Any]]


class Held(NamedTuple):
    """What a hold point makes of a tick: the remarks with the verdict, and why the operation is not done."""

    remarks: Remarks
    refusal: Refusal | None = None
    recorded: bool = False  # the reading is kept although the operation is not done


def does(live: Live, op: Operation, did: str) -> bool:
    """Whether a record does an operation: not one that takes it back, or says of a done one that it was not filmed."""
    return did in (DONE, AGAIN) or (did == LATE and op.name not in live.times)


def at_once(live: Live, op: Operation, did: str) -> Refusal | None:
    """Why a record makes no sense, whatever the plan says."""
    done = op.name in live.times
    if did == DONE and not live.is_open(op):
        return Refusal(op.name, f"{op.name} is done already", (), None, Reason.DONE_ALREADY)
    if did == UNDONE and not done:
        says = f"{op.name} is not done, so there is nothing to take back"
        return Refusal(op.name, says, (), None, Reason.NOTHING_TO_UNDO)
    if did == AGAIN and not done:
        return Refusal(op.name, f"{op.name} is not done yet", (), None, Reason.NOT_DONE_YET)
    return None


def unreadable(op: Operation, remarks: Remarks) -> Refusal | None:
    """A reading has the form of its number; nothing is recorded of one that has not."""
    reads = op.step.reads
    typed = [str(each.get("value", "")) for each in remarks if each.get("did") == READING]
    if reads is None or not typed:
        return None
    from planner.numbers.readings import why_no_reading

    why = next((why for text in typed if (why := why_no_reading(reads.name, text))), None)
    return None if why is None else Refusal(op.name, why, (), None, Reason.NO_READING)


def is_cooling(op: Operation) -> bool:
    """Whether a reading of what was done says how hot it is: its wait is for that, and nothing else is read there."""
    return op.step.cool_to is not None and op.step.hold is None and op.step.reads is None


def held(live: Live, op: Operation, did: str, remarks: Remarks) -> Held:
    """A hold point wants a reading among the remarks that is shown to lie within its limits."""
    hold = op.step.hold
    if hold is None or not does(live, op, did):
        return Held(remarks)
    readings = [str(each["value"]) for each in remarks if each["did"] == READING]
    if not readings:
        says = f"{op.name} is a hold point: it is done with a reading, {hold.says}"
        return Held(remarks, Refusal(op.name, says, (), None, Reason.HOLD))
    from planner.numbers.lengths import TextError
    from planner.numbers.verdict import OUTSIDE
    from planner.session.holding import judge, told

    judged = []
    for typed in readings:
        try:
            judged.append(judge(hold, typed))
        except TextError as error:
            says = f"{op.name}: that is not a reading of what it holds for: {error}"
            return Held(remarks, Refusal(op.name, says, (), None, Reason.HOLD))
    found = iter(judged)
    kept = [
        {**each, "limit": hold.says, "verdict": next(found).found.answer} if each["did"] == READING else each
        for each in remarks
    ]
    failing = [each for each in judged if not each.passes]
    if not failing:
        return Held(kept)
    worst = next((each for each in failing if each.found.answer == OUTSIDE), failing[0])
    judgement = told(worst)
    says = f"{op.name}: {judgement}"
    return Held(kept, Refusal(op.name, says, (), None, Reason.HOLD, worst.found.answer, judgement), True)


def recovers(live: Live, op: Operation, when: float) -> str | None:
    """Rework on the piece that did not pass, else what can be done safely."""
    tree = live.plan.build.pieces

    def near(piece: str | None) -> int | None:
        """How far up from a piece that of the hold point is; None: it is no part of it."""
        for steps in range(len(tree) + 1):
            if piece == op.step.piece:
                return steps
            piece = tree[piece].inside if piece is not None and piece in tree else None
        return None

    mine = [each for each in live.plan.reworks.values() if each.side in (op.side, None)]
    ranked = [(far, each) for each in mine if (far := near(each.step.piece)) is not None]
    ways = [each for _, each in sorted(ranked, key=lambda row: row[0])]
    found = next((each for each in ways if not live.would_find(each, when)), None)
    found = found or live.safe_instead(op, when)
    return None if found is None else found.name


def refused(live: Live, op: Operation, did: str, found: Sequence[Finding], when: float) -> Refusal:
    """A tick that would bring these findings, and what could be done instead."""
    instead = None if did == UNDONE else live.safe_instead(op, when)
    says = _springs(f"taking {op.name} back", found) if did == UNDONE else _says(op, found)
    return Refusal(op.name, says, tuple(found), instead.name if instead else None)


def _springs(what: str, found: Sequence[Finding], when: str = "") -> str:
    """How many traps and gaps something would bring; empty where none."""
    counts = {level: sum(finding.level == level for finding in found) for level in (TRAP, GAP)}
    parts = [counted(count, level) for level, count in counts.items() if count]
    return f"{what} would spring {' and '.join(parts)}{when}" if parts else ""


def _says(op: Operation, found: Sequence[Finding]) -> str:
    springs = _springs(op.name, found, " now")
    if not any(finding.rule == "ahead" for finding in found):
        return springs
    begins = "begin its stage ahead of open work"
    return f"{springs}, and {begins}" if springs else f"{op.name} would {begins} now"
