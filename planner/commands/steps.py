"""``planner steps``: every operation with its state."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, CommandError, print_json, say, show, wrap
from planner.commands.places import open_build, parser
from planner.plan.messages import meaning

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild, OperationState

_EXAMPLE = """  planner steps dunlin-pickup --open
  planner steps dunlin-pickup --episode 4 --side passenger --cautions"""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("steps", "List the operations in planned order, with their state.", _EXAMPLE)
    made.add_argument("--open", action="store_true", help="only what is not done")
    made.add_argument("--episode", type=int, metavar="N", help="only this episode")
    made.add_argument("--side", metavar="SIDE", help="only this side (and what is done once)")
    made.add_argument("--cautions", action="store_true", help="print the cautions too (JSON always has them)")
    args = made.parse_args(argv)
    build = open_build(args)
    sides = build.plan.build.sides
    if args.side is not None and args.side not in sides:
        raise CommandError(f"--side: there is no side {args.side}; the sides are {', '.join(sides)}")
    states = [
        state
        for state in build.states()
        if not (args.open and state.done)
        and args.episode in (None, state.episode)
        and args.side in (None, state.op.side or args.side)
    ]
    if not states:
        say("no operation is like that; planner steps without options lists them all")
    if args.json:
        rows = [_as_json(build, state) for state in states]
        print_json({"operations": rows, "debts": list(build.live.debts())})
    else:
        show([*_as_text(build, states, args.cautions), *_debts(build)])
    for notice in build.notices():
        say(str(notice))
    return EXIT_FINE


def _as_json(build: OneBuild, state: OperationState) -> dict[str, Any]:
    from planner.files.log.ticklog import iso

    step = state.op.step
    kind = build.plan.build.kinds.get(step.kind or "")
    return {
        "op": state.op.name,
        "step": state.op.step.id,
        "side": state.op.side,
        "round": state.op.round,
        "episode": state.episode,
        "stage": state.stage,
        "on_camera": state.op.on_camera,
        "do": build.said(state.op),
        "done": state.done,
        "ready": state.ready,
        "ahead": state.ahead,
        "debts": list(state.debts),
        "waiting_until": None if state.waiting_until is None else iso(state.waiting_until),
        "missing": list(state.missing),
        "after": list(state.after),
        "cautions": list(step.cautions),
        "kind": step.kind,
        "piece": step.piece,
        "time_s": step.time,
        "wait_s": step.wait,
        "one_go": kind is not None and kind.one_go,
        "hold": None if step.hold is None else step.hold.says,
        "setup": step.setup,
        "hands": step.hands,
        "where": step.where,
        "shots": list(step.shots),
        "say": list(build.spoken(state.op)),
        "note": list(step.note),
    }


def _debts(build: OneBuild) -> list[str]:
    """What was opened and is not closed again, in words."""
    names = build.live.debts()
    if not names:
        return []
    lines = ["", f"{len(names)} debt{'' if len(names) == 1 else 's'}: opened, and to be closed again"]
    for name in names:
        lines += wrap(f"{meaning(build.plan, name)} ({name})", "    ")
    return lines


def _as_text(build: OneBuild, states: Sequence[OperationState], cautions: bool) -> list[str]:
    lines: list[str] = []
    zone = build.plan.build.shop.timezone
    on_camera = {ref.name for ref in build.plan.build.on_camera.needs}
    head: tuple[int, str] | None = None
    titles = {episode.number: episode.title for episode in build.plan.build.episodes}
    width = min(36, max((len(state.op.name) for state in states), default=0))
    step: str | None = None
    for state in states:
        if head is None or head[0] != state.episode:
            lines += [*([""] if lines else []), f"Episode {state.episode}: {titles[state.episode]}"]
        if head != (state.episode, state.stage):
            lines.append(f"  {state.stage}")
        head = (state.episode, state.stage)
        camera = "" if state.op.on_camera else "  (off camera)"
        do = build.said(state.op)
        lines.append(f"    {_word(state):<11} {state.op.name:<{width}}  {do}{camera}")
        if not state.done:
            lines += wrap(_waiting(state, on_camera, zone), _DEEP)
        if cautions and state.op.step.id != step:  # once a step, not once a side and round
            for caution in state.op.step.cautions:
                lines += wrap("! " + caution, _DEEP)
        step = state.op.step.id
    return lines


_DEEP = " " * 16


def _word(state: OperationState) -> str:
    if state.done:
        return "✓ done"
    if state.waiting_until is not None:
        return "◷ waiting"
    return "▸ ready" if state.ready else "▹ ahead" if state.ahead else "· not yet"


def _waiting(state: OperationState, on_camera: set[str], zone: str | None) -> str:
    """What an operation still waits for; what every operation on camera needs goes without saying."""
    needs = [name for name in state.missing if name.partition("@")[0] not in on_camera]
    parts = [
        f"after {', '.join(state.after)}" if state.after else "",
        f"needs {', '.join(needs)}" if needs else "",
    ]
    if state.waiting_until is not None:
        from planner.files.times.hours import show_local

        parts.append(f"waits until {show_local(state.waiting_until, zone)}")
    return "; ".join(part for part in parts if part)
