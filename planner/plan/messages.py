"""What a finding says to the person: the operation, the side, the condition, the cause and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.fill import Moved
from planner.plan.model import Condition, Kind, Ref, Step
from planner.plan.names import at, read_at, step_of
from planner.plan.words import show_duration


def split_grounded(name: str) -> tuple[str, str | None]:
    """The condition and the side in a grounded name."""
    return at(name)


def meaning(plan: Plan, grounded: str) -> str:
    """The condition in its own words, with its side and its name."""
    part = plan.parts.get(grounded)  # a fact of a condition kept part by part is told as the condition
    grounded = grounded if part is None else part.condition
    name, side = split_grounded(grounded)
    where = f" on the {side} side" if side else ""
    return f"“{plan.build.conditions[name].means}”{where} ({grounded})"


class Said(NamedTuple):
    """What is wrong, and what to do about it."""

    told: str
    todo: str

    def __str__(self) -> str:
        return f"{self.told} {self.todo}"


def _more(ops: Sequence[Operation], indexes: Sequence[int]) -> str:
    names = list(dict.fromkeys(ops[i].name for i in indexes))[1:]
    if not names:
        return ""
    shown = ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
    return f" This also blocks: {shown}."


def no_way_back(ops: Sequence[Operation], indexes: Sequence[int]) -> str:
    """The words that come first where an operation cannot be undone."""
    names = list(dict.fromkeys(ops[i].name for i in indexes if ops[i].step.one_way))
    if not names:
        return ""
    return f"{names[0]} cannot be undone. "


def need(
    plan: Plan,
    ops: Sequence[Operation],
    indexes: Sequence[int],
    condition: str,
    rule: str,
    cause: int | None,
    givers: Sequence[int],
    facts: Sequence[str] = (),
) -> Said:
    """A need that fails: never given, given too late, or spoiled.

    ``givers`` are those that really give it, ``facts`` what of it is open.
    """
    op = ops[indexes[0]]
    head = f"{no_way_back(ops, indexes)}{op.name} needs {meaning(plan, condition)}"
    facts = facts or (condition,)
    pieces = [plan.parts[fact].piece for fact in facts if fact in plan.parts]
    if pieces and split_grounded(condition)[0].rpartition(".")[0] not in pieces:  # else all of it is open
        head += f", still open at {_list(pieces)}"
    if rule == "other-side" and cause is not None:
        side = split_grounded(condition)[1]
        told = f"{head}, which {ops[cause].name} provides on another side only.{_more(ops, indexes)}"
        return Said(told, f"Do the same on the {side} side before {op.name}.")
    more = _more(ops, indexes)
    if rule == "never-given" or cause is None:
        rework = [name for name, item in plan.reworks.items() if not (item.gives | item.job_gives).isdisjoint(facts)]
        if rework:
            told = f"{head}, and only the rework {rework[0]} provides it.{more}"
            return Said(told, f"Put {rework[0]} in before it.")
        return Said(
            f"{head}, and no step provides it.{more}",
            f"Add a step that gives {split_grounded(condition)[0]}{_kinds_for(plan, condition)}, or write it under"
            " start: if it holds from the beginning.",
        )
    other = ops[cause].name
    if rule == "given-later":
        if cause != indexes[0]:
            return Said(f"{head}, which comes only later, with {other}.{more}", f"Do {other} before {op.name}.")
        later = [i for i in givers if i > cause and ops[i].name != op.name]
        first = f"do {ops[later[0]].name} first" if later else "add a step before it that gives it"
        return Said(
            f"{head}, which does not hold before this operation itself gives it.{more}",
            f"Take it out of its needs, or {first}.",
        )
    if rule == "gone-off":
        lasted = show_duration(ops[cause].step.lasts or 0)
        return Said(f"{head}, which {other} gave and which lasted only {lasted}.{more}", f"Do {other} again first.")
    hold = read_at(other)
    if hold is not None:
        ways = [name for name, item in plan.reworks.items() if _recovers(item, ops[cause])]
        first = f"Do the rework {ways[0]}, then read" if ways else "Work on it, then read"
        return Said(f"{head}, but the reading at {hold} did not pass.{more}", f"{first} {hold} again.")
    todo = _way_back(plan, ops, condition, cause, indexes[0], givers, facts)
    return Said(f"{head}, but {other} undid that.{more}", f"{todo}.")


def _recovers(rework: Operation, failed: Operation) -> bool:
    """Whether rework is on the piece and the side of a hold point whose reading did not pass."""
    return rework.step.piece == failed.step.piece and rework.side in (failed.side, None)


def _kinds_for(plan: Plan, condition: str) -> str:
    """The kinds of work that would give a condition, for those who plan with kinds alone."""
    piece, _, word = split_grounded(condition)[0].rpartition(".")
    kinds = plan.kinds_giving.get(word)
    if not piece or not kinds or not plan.build.conditions[f"{piece}.{word}"].by_kind:
        return ""
    meant = [name for name in kinds if _is_for(plan.build.kinds.get(name), word)]
    meant = meant if kinds[0] in meant else list(kinds)
    return f", such as one of kind {' or '.join(meant[:3])} with piece: {piece}"


def _way_back(
    plan: Plan,
    ops: Sequence[Operation],
    condition: str,
    cause: int,
    failing: int,
    givers: Sequence[int],
    facts: Sequence[str],
) -> str:
    """What to do about a spoiled condition: bring it back in between, or keep the two apart."""
    for name, op in plan.reworks.items():
        if not (op.gives | op.job_gives).isdisjoint(facts) and _for_it(plan, op.step, condition):
            return f"Put the rework {name} in between, which brings it back"
    if ops[cause].step.id == ops[failing].step.id:
        return f"Bring it back between {ops[cause].name} and {ops[failing].name}{_kinds_for(plan, condition)}"
    # what relies on the failing operation (a weld on its tacks) cannot go ahead of it
    given = ops[failing].gives | ops[failing].job_gives
    later = [
        i for i in givers if i > failing and given.isdisjoint(ops[i].needs) and _for_it(plan, ops[i].step, condition)
    ]
    piece = ops[failing].step.piece
    earlier = [i for i in givers if i < cause and ops[i].step.piece == piece and _for_it(plan, ops[i].step, condition)]
    episode = plan.stages[ops[failing].stage][0].number
    near = [i for i in later if plan.stages[ops[i].stage][0].number == episode]
    if near:
        return f"{ops[near[0]].name} brings it back: do that in between"
    if earlier:
        return f"Do {ops[earlier[-1]].name} after {ops[cause].name} instead"
    if later:
        return f"{ops[later[0]].name} brings it back: do that in between"
    kinds = _kinds_for(plan, condition)
    if kinds:
        return f"Put a step in between that brings it back{kinds}"
    return f"Bring it back in between, or do {ops[failing].name} before {ops[cause].name}"


def _is_for(kind: Kind | None, word: str) -> bool:
    """Whether work of a kind is done for a word: the first that it gives, or it spoils little besides.

    A punch is for the marks; a fit-up and a tack, which use them up, give the same word on their way to more.
    """
    return kind is None or len(kind.spoils) <= 2 or kind.gives[:1] == (Ref(word),)


def _for_it(plan: Plan, step: Step, condition: str) -> bool:
    word = split_grounded(condition)[0].rpartition(".")[2]
    return _is_for(plan.build.kinds.get(step.kind or ""), word)


def after(ops: Sequence[Operation], indexes: Sequence[int], step: str) -> Said:
    """A step that should have been complete first."""
    op = ops[indexes[0]]
    told = f"{no_way_back(ops, indexes)}{op.name} comes after {step}, which is not complete by then."
    return Said(told + _more(ops, indexes), f"Finish {step} first.")


def turn(ops: Sequence[Operation], indexes: Sequence[int], cause: str) -> Said:
    """An operation out of its turn."""
    op = ops[indexes[0]]
    one_way = [ops[i].name for i in indexes if ops[i].step.one_way]
    lead = (
        f"{op.name} cannot be undone, and it" if one_way[:1] == [op.name] else f"{no_way_back(ops, indexes)}{op.name}"
    )
    told = f"{lead} is out of turn: {cause} should have come first."
    return Said(told + _more(ops, indexes), f"Do {cause} before {op.name}, or change the turns of {op.step.id}.")


def too_soon(
    plan: Plan, op: Operation, conditions: Sequence[str], cause: str, short: str, *, done: bool, full: bool
) -> Said:
    """An operation whose wait is not over (``short`` is left of it), before it is ticked or after.

    ``full``: it is none that waits, but work that takes its whole time after the cause.
    """
    if full:
        verb = "was" if done else "is"
        told = f"{op.name} {verb} {short} too soon: it takes its full time after {cause}."
        return Said(told, f"Stay with it {short} more." if not done else f"Do {op.name} again, for its full time.")
    what = "its next round" if step_of(cause) == op.step.id else f"{op.step.id}, which comes after it,"
    what = " and ".join(meaning(plan, name) for name in conditions) if conditions else what
    if not done:
        told = f"{no_way_back([op], [0])}{op.name} is {short} too soon: the wait of {cause} for {what} is not over."
        return Said(told, f"Wait {short} more.")
    told = f"{op.name} came {short} too soon: the wait of {cause} for {what} was not over."
    if op.step.one_way:
        return Said(told, "It cannot be undone: look closely at what had to settle or cool before going on.")
    return Said(told, f"Look at what had to settle or cool, and do {op.name} again if it had not.")


def ahead(op: Operation, stage: str, first: Operation) -> Said:
    """An operation that would begin its stage while work of earlier stages is open."""
    told = f"{op.name} would begin “{stage}” while earlier work is open, the first of it {first.name}."
    return Said(told, f"Do {first.name} first, or go on if you mean to work ahead.")


def moved_number(op: str, number: Moved) -> Said:
    """A number that is something else than what an operation was done to."""
    told = f"{op} was done to {number.name} = {number.then.shown}, and that is {number.now.shown} now."
    return Said(
        told,
        "Find out which is right before going on, on the other sides too; then put the number back or do it again.",
    )


def left_behind(stage: str, op: Operation, ahead: str) -> Said:
    """A stage that one side has not finished while another has begun a later one."""
    told = f"{stage}: the {op.side} side is not finished ({op.name} is open), and the {ahead} side has gone on."
    return Said(told, f"Finish {op.name} before it is forgotten.")


def side_missed(step: Step, missing: Sequence[str]) -> Said:
    """A step that names some sides and does not say why."""
    told = f"{step.id} is planned on {_list(step.sides)} only; nothing is planned on {_list(missing)}."
    return Said(told, f"Add {_list(missing)}, or give the reason in the step's `why` line.")


def left_out(op: Operation, stage: str) -> Said:
    """An operation that its stage's sequence does not list."""
    drop = (
        "give the step fewer rounds"
        if op.step.rounds > 1
        else "take the step out"
        if op.side is None
        else "take the side out of the step and say why"
    )
    return Said(f"{op.name} is left out by the sequence of “{stage}”.", f"Put {op.name} into the sequence, or {drop}.")


def circle(steps: Sequence[str], *, by_need: bool) -> Said:
    """A circle of steps that wait for one another, by needs that only one step gives or by ``after`` links alone."""
    if by_need and len(steps) == 1:
        told = f"{steps[0]} needs what only {steps[0]} itself gives, so it can never start."
        return Said(told, "Take the need out, or let another step give it.")
    if by_need:
        waiting = ", which waits for ".join([*steps, steps[0]])
        told = f"These steps need what only the next of them gives, so none can start: {waiting}."
        return Said(told, "Give one of these needs up, or let another step give it.")
    if len(steps) == 1:
        told = f"{steps[0]} comes after itself, so it can never start."
        return Said(told, f"Take {steps[0]} out of its own after:.")
    round_ = ", which comes after ".join([*steps, steps[0]])
    return Said(
        f"These steps wait for one another, so none can start: {round_}.", "Take one of these after: links out."
    )


def unused(condition: Condition) -> Said:
    """A declared condition that nothing needs."""
    told = f"“{condition.means}” ({condition.name}) is declared, but no step needs it."
    return Said(told, "Name it in the needs of the step that relies on it, or take it out.")


def other_number(step: Step, names: Sequence[str], sides: Sequence[str]) -> Said:
    """A step with a number that is not the same on every side."""
    verb = "differs" if len(names) == 1 else "differ"
    told = f"{_list(names)} in {step.id} {verb} between {_list(sides)}: do not carry the number of one side across."
    return Said(told, "Read it anew on each side.")


def _list(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def left_open(plan: Plan, condition: str, parts: Sequence[str], cause: str | None, at: str) -> Said:
    """What was opened and is not closed when it is due."""
    when = "at the end of the build" if at == "(end)" else f"by {at}"
    if at.startswith("(end "):
        when = f"at the end of episode {at[5:-1]}"
    whole = condition.partition("@")[0].rpartition(".")[0]
    which = "" if not parts or whole in parts else f", open at {_list(parts)}"
    why = "nothing has made it so" if cause is None else f"{cause} undid it and nothing closes it again"
    told = f"{meaning(plan, condition)}{which} does not hold {when}: {why}."
    return Said(told, f"Add a step that gives {condition.partition('@')[0]}{_kinds_for(plan, condition)}.")


def not_counted(plan: Plan, op: Operation, says: Said) -> Said:
    """A finding after work that was done and gave nothing, since what it counts on did not hold."""
    names = [plan.parts[fact].condition if fact in plan.parts else fact for fact in sorted(op.counts_when)]
    lacking = _list(list(dict.fromkeys(f"“{plan.build.conditions[at(name)[0]].means}”" for name in names)))
    told = f"{says.told} {op.name} did not count: it proves nothing where {lacking} does not hold."
    return Said(told, f"Do {op.name} when that holds.")


def lopsided(at: str, step: Step, least: int | None) -> Said:
    """Work that pulls and is not shared out between the sides."""
    if least is not None:
        told = f"{at} pulls, and is done in fewer than {least} rounds, one side wholly after another."
        return Said(told, f"Give it rounds: {least}, in turns between {_list(step.sides)}.")
    told = f"{at} puts its side more than a round ahead of another, and this work pulls."
    return Said(told, f"Let the rounds of {step.id} alternate between {_list(step.sides)}.")


def idle(plan: Plan, rule: str, step: Step) -> Said:
    """A step whose piece, kind or wait comes to nothing."""
    if rule == "loose-piece":
        from planner.plan.words import nearest

        near = nearest(step.piece or "", plan.build.pieces)
        told = f"{step.id} works on {step.piece}, which pieces: does not know; what is done to it reaches nothing else."
        hint = f"Write {near} if that is meant, or " if near else "Write "
        return Said(told, f"{hint}{step.piece}: {{}} under pieces:.")
    if rule == "no-piece":
        told = f"{step.id} is of kind {step.kind} and names no piece, so it closes nothing."
        return Said(told, "Name its piece.")
    told = f"The wait of {step.id} holds nothing back: it gives nothing and nothing comes after it."
    return Said(told, f"Write after: [{step.id}] in the step that has to wait.")
