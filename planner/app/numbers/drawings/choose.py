"""Which drawing belongs to which calculator. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from planner.app.draw.drawing import fold
from planner.numbers.calculator import Show
from planner.numbers.together import Outcome
from planner.telling.looks import Line, line

#: Calculator -> the calculator whose results are drawn for it.
DRAWN = {
    "tyre": "fit", "wheel": "fit", "fit": "fit", "narrow": "narrow", "cradle": "cradle", "tacks": "tacks",
    "beads": "beads", "tilt": "tilt", "cool": "cool",
}  # fmt: skip


def drawing_lines(
    name: str,
    outcomes: Mapping[str, Outcome],
    show: Show,
    width: int,
    height: int,
    done: int = 0,
    before: Mapping[str, Outcome] = {},
) -> list[Line]:
    """The drawing of a calculator in that many cells. Of refused numbers that of the file stays, where ``before`` has
    one, under a line that says so. ``done``: how many of its tacks or beads are ticked."""
    drawn = DRAWN.get(name)
    if drawn is None:
        return [line((f"– {name} has no drawing; {', '.join(DRAWN)} have one", "dim"))]
    outcome = outcomes.get(drawn)
    if outcome is None:
        return [line((f"– nothing to draw yet: {drawn} has no inputs", "dim"))]
    if outcome.result is None:
        word = "◷ {} waits for readings" if outcome.waiting else "✗ {} is refused"
        said = word.format(drawn)
        look = "waits" if outcome.waiting else "trap"
        saved = before.get(drawn)
        if saved is None or saved.result is None:
            return [line((f"{said}: nothing is drawn", look))]
        why = [line((f"{key}  ", "head"), says) for key, says in outcome.problems]
        head = fold([line((f"{said}; below is what the file says", look)), *why], max(10, width))[: max(1, height // 3)]
        return [*head, *drawing_lines(name, before, show, width, height - len(head), done)]
    if width < 30 or height < 6:
        return [line(("there is no room to draw here", "dim"))]
    if drawn == "narrow":
        from planner.app.numbers.drawings.housing import housing_lines

        return housing_lines(outcome.result, show, width, height)
    if drawn in ("tacks", "beads"):
        from planner.app.numbers.drawings.clockface import face_lines

        return face_lines(outcome.result, width, height, done)
    if drawn == "tilt":
        from planner.app.numbers.drawings.clockface import tilt_lines

        return tilt_lines(outcome.result, show, width, height)
    if drawn == "cool":
        from planner.app.numbers.drawings.coolcurve import cooling_lines

        return cooling_lines(outcome.result, width, height)
    if drawn == "cradle":
        from planner.app.numbers.drawings.cradle import cradle_lines

        return cradle_lines(outcome.result, show, width, height)
    from planner.app.numbers.drawings.wheel import wheel_lines

    return wheel_lines(outcome.result, show, width, height)
