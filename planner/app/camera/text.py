"""What the camera screen says about one operation. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len

from planner.app.draw.big import HEIGHT, big_text
from planner.app.draw.drawing import cut
from planner.app.plan.cells import cell_state
from planner.plan.expand import Operation
from planner.session.filming import is_seen, name_on
from planner.telling import step as detailtext
from planner.telling.finding import shown_name
from planner.telling.looks import STATE_GLYPHS, Line, Piece, line
from planner.telling.times import clock_words
from planner.telling.wayback import off_line

if TYPE_CHECKING:
    from planner.session.bell import Ringer
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened

ROOMY = 9  # rows free for the band from which it has an empty one above and below


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
    instead = opened.one.filmed_instead.get(op.name)
    if instead is not None:
        return Band(op.side or "once", count, f"● ON CAMERA for {shown_name(instead)}", "on")
    camera = "● ON CAMERA" if op.on_camera else "○ OFF CAMERA"
    return Band(op.side or "once", count, camera, "on" if op.on_camera else "off")


def band_lines(parts: Band, width: int, rows: int) -> list[Line]:
    """The band in one line, or in letters to be read from across the shop where three rows are free for it."""
    side, count, camera, look = parts
    small = f"{side.upper()}{f'   ROUND {count}' if count else ''}"
    drawn = None
    # A row above the letters: theirs are as dark as the title's.
    for text in (f"{side} {count}", side) if count and rows > HEIGHT else (side,) if rows > HEIGHT else ():
        drawn = drawn or _beside(text, camera, width)
    if drawn is None:
        room = width - cell_len(small) - cell_len(camera) - 2
        if room < 1:
            return [line((cut(f" {camera}  {small}", width), look))]
        return [line((f" {small}{' ' * room}{camera} ", look))]
    drawn = ["", *drawn, *([""] if rows >= ROOMY else [])]
    return [line((cut(row, width), look)) for row in drawn]


def _beside(text: str, camera: str, width: int) -> list[str] | None:
    """A word in large letters with the camera's word behind it; None where they do not fit side by side."""
    drawn = big_text(text, width - cell_len(camera) - 5, 1)
    if drawn is None:
        return None
    rows = [f"  {row}" for row in drawn]
    rows[1] = cut(rows[1], width - cell_len(camera) - 2) + camera
    return rows


def rolling_line(opened: Opened, op: Operation, wanted: bool) -> Line:
    """Whether the camera runs; asked for where there is no second take."""
    one = opened.one
    rolling = one.rolling()
    if rolling is not None:
        return line((f"● rolling since {opened.local(rolling.at)}", "on-word"))
    if wanted:
        return line(("! One-way and on camera. Is it rolling? Press r when it is.", "trap"))
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
        left = f"{clock_words(until - now)} more, after {shown_name(cause)}"
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


def place_line(opened: Opened, op: Operation) -> Line:
    """Which operation of the plan it is."""
    episode, stage = opened.one.plan.stages[op.stage]
    return line((shown_name(op.name), "strong"), f"   episode {episode.number} {episode.title}, {stage.title}")


def body_lines(opened: Opened, op: Operation, rolling_wanted: bool, way_key: str = "D") -> list[Line]:
    """What stands below the words: what may hurt comes first. ``way_key``: the key that shows the way back."""
    one = opened.one
    step = op.step
    seen = is_seen(op, one.filmed_instead)
    off = off_line(one, way_key)
    lines: list[Line] = [
        *([off] if off else []),
        *detailtext.moved_lines(one, op),
        *detailtext.caution_lines(op),
        (*detailtext.state_line(opened, op), *line(("   one-way: cannot be undone", "trap") if step.one_way else "")),
    ]
    if seen or one.rolling() is not None:
        lines.append(rolling_line(opened, op, rolling_wanted))
    if one.live.is_open(op):
        lines += need_lines(opened, op)
        lines += detailtext.lasting_lines(one, op)
        lines += detailtext.debt_lines(one, op)
        lines += detailtext.hold_lines(one, op)
    for finding in opened.marks(op.name):
        if not finding.history:
            lines += detailtext.finding_lines(opened, finding)
    for word, texts in (("shot", step.shots if seen else ()), ("say", one.spoken(op)), ("note", step.note)):
        for text in texts:
            lines += detailtext.said_lines(word, text)
    facts = detailtext.fact_line(op)
    if facts:
        lines.append(facts)
    return [*lines, *detailtext.remark_lines(opened, op.name), place_line(opened, op)]


def other_sides(opened: Opened, op: Operation) -> list[Line]:
    """How the same step stands on every other side, a line each."""
    one = opened.one
    others = [side for side in one.plan.build.sides if side != op.side]
    if op.side is None:
        return [line(("done once for all", "dim"))]
    if not others:
        return [line(("there is one side only", "dim"))]
    return [_side_line(opened, op, side) for side in others]


def _side_line(opened: Opened, op: Operation, side: str) -> Line:
    one, ops = opened.one, step_ops(opened, op, side)
    state = cell_state(opened, ops)
    if state is None:
        return line((f"{side} ", "strong"), ("– not planned", "dim"))
    count = f"{state.done}/{state.total} " if state.total > 1 else ""
    look = {"done": "done", "ready": "ready", "waiting": "waits"}.get(state.state, "not-yet")
    filmed = ", not filmed" if any(each.name in one.not_filmed for each in ops) else ""
    mark = f", {state.mark}" if state.mark and not state.history else ""
    return line(
        (f"{side} ", "strong"), (f"{STATE_GLYPHS.get(state.state, '–')} {count}{state.state}{filmed}{mark}", look)
    )


def around_lines(opened: Opened, op: Operation, following: Sequence[Operation], aside: bool) -> list[Line]:
    """The other sides and what comes next: in a column of its own, or in as few lines as can be."""
    sides = other_sides(opened, op)
    one = opened.one
    nexts = [next_line(one, each) for each in following] or [line(("✓ nothing is left after this", "done"))]
    if aside:
        return [
            line(("other sides" if op.side is not None else "sides", "head")),
            *sides,
            (),
            line(("next", "head")),
            *nexts,
        ]
    joined: list[Piece] = [Piece("others " if op.side is not None else "sides  ", "head")]
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
    seen = is_seen(op, one.filmed_instead)
    camera = ("● on camera", "on-word") if seen else ("○ OFF CAMERA", "strong")
    return line((shown_name(op.name), "strong"), "  ", camera, (f"  {one.said(op)}", "dim"))


BELL_OFF = "the bell is off; z turns it on"


def timer(ringer: Ringer, now: float, own: Mapping[str, float]) -> tuple[str, list[Line]] | None:
    """The big numerals and what they are about: the longest wait that holds the operation on the screen before all
    others, since whoever reads them goes by them; then a wait that is over, else the one that ends next."""
    over = over_line(ringer, now)
    others = sorted((until, cause) for cause, until in ringer.running.items() if cause not in own)
    off = [line((BELL_OFF, "dim"))] if ringer.off else []
    if own:
        cause = max(own, key=lambda each: own[each])
        about = [line((f"◷ wait after {shown_name(cause)}", "waits"))]
        return clock_words(own[cause] - now), [*about, *([over] if over else other_lines(others, now)), *off]
    if over is not None:
        return "0:00", [over, *other_lines(others, now), *off]
    if not others:
        return None
    until, cause = others[0]
    more = f", and {len(others) - 1} more" if len(others) > 1 else ""
    return clock_words(until - now), [line((f"◷ another wait, after {shown_name(cause)}{more}", "waits")), *off]


def over_line(ringer: Ringer, now: float) -> Line | None:
    """A wait that is over, and how its bell is silenced."""
    if not ringer.over:
        return None
    cause, until = next(iter(ringer.over.items()))
    bell = "   z silences the bell" if ringer.left and not ringer.off else ""
    return line((f"◷ OVER: the wait after {shown_name(cause)}", "on"), (f"  {clock_words(now - until)} ago{bell}", ""))


def other_lines(others: Sequence[tuple[float, str]], now: float) -> list[Line]:
    """The wait that ends next of those that do not hold this operation."""
    if not others:
        return []
    until, cause = others[0]
    more = f", and {len(others) - 1} more" if len(others) > 1 else ""
    return [line((f"another wait {clock_words(until - now)}, after {shown_name(cause)}{more}", "dim"))]


def timer_in_one_line(digits: str, about: Sequence[Line]) -> Line:
    """The same in one line, for a low screen."""
    rest = [piece for each in about for piece in (Piece("   "), *each)][1:]
    return (Piece(f"{digits}  ", rest[0].look), *rest)
