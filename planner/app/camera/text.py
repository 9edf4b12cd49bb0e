"""What the camera screen says about one operation. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len

from planner.app.draw.big import big
from planner.app.draw.drawing import cut, fold, shortened
from planner.app.plan.cells import cell_state
from planner.plan.expand import Operation
from planner.plan.fill import JOB, references, said
from planner.plan.ticks import NOTE
from planner.telling import step as detailtext
from planner.telling.looks import STATE_GLYPHS, Line, Piece, line
from planner.telling.times import clock_words

if TYPE_CHECKING:
    from planner.session.bell import Ringer
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened

TALL, HIGH = 22, 32  # lines of the screen from which on the side is drawn large, and has room around it
PINNED = 3  # lines of the work that stay in sight on a low screen
CONTINUITY = (
    "Everything is mirrored on the other side: keep the camera on the same side of the work, match light, clothes and"
    " tools, and say aloud which side it is."
)


class Band(NamedTuple):
    """The band at the top: side and round on the left, the camera on the right, and the look of both."""

    side: str
    round: str
    camera: str
    look: str


def band(opened: Opened, op: Operation) -> Band:
    """The side, and whether the camera sees it."""
    count = ""
    if op.round is not None:
        count = f"{op.round}/{op.step.rounds}" if op.lap is None else str(op.round)
    instead = stands_in_for(opened, op)
    if instead is not None:
        return Band(op.side or "once", count, f"● ON CAMERA for {instead}", "on")
    camera = "● ON CAMERA" if op.on_camera else "○ OFF CAMERA"
    return Band(op.side or "once", count, camera, "on" if op.on_camera else "off")


def band_lines(parts: Band, width: int, height: int) -> list[Line]:
    """The band in one line, or in letters to be read from across the shop where there is room."""
    side, count, camera, look = parts
    small = f"{side.upper()}{f'   ROUND {count}' if count else ''}"
    drawn = big(f"{side} {count}" if count else side) if height >= TALL else None
    if drawn is None or len(drawn[0]) + 3 > width:
        drawn = big(side) if drawn is not None else None
    if drawn is None or len(drawn[0]) + 3 > width:
        room = width - cell_len(small) - cell_len(camera) - 2
        if room < 1:
            return [line((cut(f" {camera}  {small}", width), look))]
        return [line((f" {small}{' ' * room}{camera} ", look))]
    beside = width - len(drawn[0]) - 2 >= cell_len(camera) + 2
    rows = [f"  {row}" for row in drawn]
    if beside:
        rows[1] = cut(rows[1], width - cell_len(camera) - 2) + camera
    if not beside:
        rows.append(f"  {camera}")
    if height >= HIGH:
        rows = ["", *rows, ""]
    return [line((cut(row, width), look)) for row in rows]


def stands_in_for(opened: Opened, op: Operation) -> str | None:
    """The operation, not filmed, in whose place this one is filmed."""
    one = opened.one
    if one is None:
        return None
    for event in one.ticks.remarks.get(op.name, ()):
        other = event.raw.get("for")
        if event.did == NOTE and isinstance(other, str) and other in one.ticks.not_filmed:
            return other
    return None


def stand_in(opened: Opened, op: Operation) -> Operation | None:
    """The next side, not ticked yet, that could be filmed in place of op: the same round first."""
    one = opened.one
    if one is None or op.side is None:
        return None
    sides = one.plan.build.sides
    start = sides.index(op.side)
    order = [*sides[start + 1 :], *sides[:start]]
    names = one.live.by_name
    for number in dict.fromkeys([op.round, *range(1, op.step.rounds + 1)]):
        for side in order:
            found = names.get(name_on(op, side, number))
            if found is not None and one.live.is_open(found) and not opened.is_left_out(found):
                return found
    return None


def name_on(op: Operation, side: str, number: int | None) -> str:
    """The same step on another side."""
    from planner.plan.names import operation_name

    return operation_name(op.step.id, side, number if op.round is not None else None)


def rolling_line(opened: Opened, op: Operation, wanted: bool) -> Line:
    """Whether the camera runs; asked for where there is no second take."""
    one = opened.one
    rolling = one.rolling()
    if rolling is not None:
        return line((f"● rolling since {opened.local(rolling.at)}", "on-word"))
    if wanted:
        return line(("▲ One-way and on camera. Is it rolling? Press r when it is.", "trap"))
    return line(("○ camera stopped", "dim"))


def need_lines(opened: Opened, op: Operation) -> list[Line]:
    """What it still needs: conditions, steps before it, waits."""
    one = opened.one
    lines = []
    word = "needs"
    for name in one.live.missing(op):
        lines.append(line((f"{word:<7}", "head"), ("✗ missing  ", "trap"), detailtext.meaning(one, name)))
        word = ""
    for step in one.live.open_after(op):
        lines.append(line((f"{word:<7}", "head"), ("✗ open     ", "trap"), f"the step {step}, all of it"))
        word = ""
    now = one.clock()
    for cause, until in own_waits(one, op, now).items():
        left = f"{clock_words(until - now)} more, after {cause}"
        lines.append(line((f"{word:<7}", "head"), ("◷ waiting  ", "waits"), left))
        word = ""
    if one.live.out_of_turn(op):
        lines.append(line((f"{word:<7}", "head"), ("✗ not its turn: another round or side comes first", "trap")))
    return lines


def own_waits(one: OneBuild, op: Operation, now: float) -> dict[str, float]:
    """What holds this operation: each cause once, until its last condition holds."""
    found: dict[str, float] = {}
    if one.live.is_open(op):
        for wait in one.live.waits(op, now):
            found[wait.cause] = max(wait.until, found.get(wait.cause, wait.until))
    return found


def number_lines(one: OneBuild, op: Operation, width: int) -> list[Line]:
    """The numbers of a step in letters to be read from across the shop, each with its name and its exact value."""
    lines: list[Line] = []
    numbers = one.plan.build.numbers
    for reference in references(op.step.do):
        found = numbers.get(reference.name) or {}
        side = reference.side or op.side
        number = found.get(JOB) or (found.get(side) if side is not None else None)
        if number is None:
            continue  # done once, with a number for each side: the text has them all
        short, _, exact = number[1].partition(" (")
        drawn = big(short)
        if drawn is not None and len(drawn[0]) <= width:
            lines += [(), *(line((row, "number")) for row in drawn)]
            lines.append(line((f"{reference.name}   {exact.removesuffix(')')}", "dim")))
    return lines


def head_lines(opened: Opened, op: Operation) -> list[Line]:
    """Its name, and what is to be done."""
    one = opened.one
    episode, stage = one.plan.stages[op.stage]
    return [
        line((op.name, "title"), (f"   {episode.number} {episode.title} · {stage.title}", "dim")),
        line((said(one.plan.build, op.step, op.side), "large")),
    ]


def pinned_lines(head: Sequence[Line], width: int) -> list[Line]:
    """Name and work in few lines that stay in sight on a low screen."""
    work = fold(head[1:], width)
    if len(work) > PINNED:
        work = [*work[: PINNED - 1], shortened((*work[PINNED - 1], Piece(" " * width)), width)]
    return [shortened(head[0], width), *work]


def operation_lines(opened: Opened, op: Operation, rolling_wanted: bool, width: int) -> list[Line]:
    """The operation, large things first."""
    return [*head_lines(opened, op), *body_lines(opened, op, rolling_wanted, width, low=False)]


def body_lines(opened: Opened, op: Operation, rolling_wanted: bool, width: int, *, low: bool) -> list[Line]:
    """What stands below its name: on a low screen the cautions come first, and large numbers after the text."""
    one = opened.one
    step = op.step
    numbers, cautions = number_lines(one, op, width), detailtext.caution_lines(op)
    lines: list[Line] = [
        *(cautions if low else [*numbers, ()]),
        (*detailtext.state_line(opened, op), *line(("   one-way: cannot be undone", "trap") if step.one_way else "")),
    ]
    if op.on_camera or stands_in_for(opened, op) or one.rolling() is not None:
        lines.append(rolling_line(opened, op, rolling_wanted))
    if one.live.is_open(op):
        lines += need_lines(opened, op)
    lines += numbers if low else cautions
    for finding in opened.marks(op.name):
        if not finding.history:
            lines += detailtext.finding_lines(opened, finding)
    for word, texts in (("shot", step.shots), ("say", step.say), ("note", step.note)):
        for text in texts:
            lines += detailtext.said_lines(word, text)
    facts = detailtext.fact_line(op)
    if facts:
        lines.append(facts)
    return [*lines, *detailtext.remark_lines(opened, op.name)]


def other_sides(opened: Opened, op: Operation) -> list[Line]:
    """How the same step stands on every other side, a line each."""
    one = opened.one
    others = [side for side in one.plan.build.sides if side != op.side]
    if op.side is None:
        return [line(("done once, for every side", "dim"))]
    if not others:
        return [line(("there is one side only", "dim"))]
    return [_side_line(opened, op, side) for side in others]


def _side_line(opened: Opened, op: Operation, side: str) -> Line:
    state = cell_state(opened, step_ops(opened, op, side))
    if state is None:
        return line((f"{side} ", "strong"), ("– not planned", "dim"))
    count = f"{state.done}/{state.total} " if state.total > 1 else ""
    look = {"done": "done", "ready": "ready", "waiting": "waits"}.get(state.state, "not-yet")
    mark = f", {state.mark}" if state.mark and not state.history else ""
    return line((f"{side} ", "strong"), (f"{STATE_GLYPHS.get(state.state, '–')} {count}{state.state}{mark}", look))


def around_lines(opened: Opened, op: Operation, following: Sequence[Operation], aside: bool) -> list[Line]:
    """The other sides and what comes next: in a column of its own, or in as few lines as can be."""
    sides = other_sides(opened, op)
    one = opened.one
    nexts = [next_line(one, each) for each in following] or [line(("✓ nothing is left after this", "done"))]
    if aside:
        return [line(("other sides", "head")), *sides, (), line(("next", "head")), *nexts]
    joined: list[Piece] = [Piece("others ", "head")]
    for number, each in enumerate(sides):
        joined += [*([Piece("   ")] if number else []), *each]
    return [tuple(joined), (Piece("next   ", "head"), *nexts[0])]


def step_ops(opened: Opened, op: Operation, side: str) -> Sequence[Operation]:
    """The operations of a step on a side."""
    one = opened.one
    laps = one.plan.stages[op.stage][1].rounds
    names = one.live.by_name
    numbers: list[int | None] = [None]
    if op.round is not None:
        numbers = list(range(1, (op.step.rounds if op.lap is None else laps) + 1))
    found = [names.get(name_on(op, side, number)) for number in numbers]
    return [each for each in found if each is not None]


def next_line(one: OneBuild, op: Operation) -> Line:
    """An operation that comes after this one."""
    camera = ("● on camera", "on-word") if op.on_camera else ("○ OFF CAMERA", "strong")
    return line((op.name, "strong"), "  ", camera, (f"  {said(one.plan.build, op.step, op.side)}", "dim"))


def timer(ringer: Ringer, now: float, own: Mapping[str, float]) -> tuple[str, list[Line]] | None:
    """The big numerals and what they are about: the longest wait that holds the operation on the screen before all
    others, since whoever reads them goes by them; then a wait that is over, else the one that ends next."""
    over = over_line(ringer, now)
    others = sorted((until, cause) for cause, until in ringer.running.items() if cause not in own)
    if own:
        cause = max(own, key=lambda each: own[each])
        about = [line((f"◷ wait after {cause}", "waits"))]
        return clock_words(own[cause] - now), [*about, *([over] if over else other_lines(others, now))]
    if over is not None:
        return "0:00", [over, *other_lines(others, now)]
    if not others:
        return None
    until, cause = others[0]
    more = f", and {len(others) - 1} more" if len(others) > 1 else ""
    return clock_words(until - now), [line((f"◷ another wait, after {cause}{more}", "waits"))]


def over_line(ringer: Ringer, now: float) -> Line | None:
    """A wait that is over, and how its bell is silenced."""
    if not ringer.over:
        return None
    cause, until = next(iter(ringer.over.items()))
    bell = "   z silences the bell" if ringer.left else ""
    return line((f"◷ OVER: the wait after {cause}", "on"), (f"  {clock_words(now - until)} ago{bell}", ""))


def other_lines(others: Sequence[tuple[float, str]], now: float) -> list[Line]:
    """The wait that ends next of those that do not hold this operation."""
    if not others:
        return []
    until, cause = others[0]
    more = f", and {len(others) - 1} more" if len(others) > 1 else ""
    return [line((f"another wait {clock_words(until - now)}, after {cause}{more}", "dim"))]


def timer_in_one_line(digits: str, about: Sequence[Line]) -> Line:
    """The same in one line, for a low screen."""
    rest = [piece for each in about for piece in (Piece("   "), *each)][1:]
    return (Piece(f"{digits}  ", rest[0].look), *rest)
