"""A copy that a file sync left, beside the plan file that it is of: part by part, each taken over or left."""

from __future__ import annotations

from asyncio import Future, get_running_loop, to_thread
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from planner.app.frame.choose import Choose
from planner.app.keep.keeping import keep, tell
from planner.files.build.copies import Copy
from planner.files.disk.folders import put_away, read_text
from planner.files.editing.spots import Edit, Texts
from planner.files.editing.taking import Part, parts_of, with_part
from planner.files.yaml.places import EditError
from planner.session.writing.desk import Outcome, Task, desk_of
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.app.frame.host import Host

AWAY = "copies"  # the folder in the build that copies are put away into
_MOST = 60  # lines of a part that are shown of either text
NEXT, TAKE, MOVE, STOP = "next", "take", "away", "stop"


def compare(shell: Host, copy: Copy, say: Callable[[str, str], None]) -> None:
    """Go through what a copy says otherwise; ``say`` tells on the page below what came of it."""
    shell.run_worker(_compare(shell, copy, say), group="writing")


async def _compare(shell: Host, copy: Copy, say: Callable[[str, str], None]) -> None:
    opened, path = shell.whole(), str(copy.of)
    desk, at, note = desk_of(opened), 0, ""
    while True:
        why = await to_thread(desk.look, opened.one.plan)
        try:
            theirs = (await to_thread(read_text, str(copy.path)))[0]
        except (OSError, UnicodeDecodeError):
            why = why or f"{copy.path.name} cannot be read as text; it is left as it is"
        if why or path not in desk.texts:
            say(why or f"{copy.of.name} is not there any more", "wrong")
            return
        ours = desk.texts[path]
        parts = await to_thread(parts_of, ours, theirs)
        at = at if at < len(parts) else 0
        answer = await shell.push_screen_wait(_question(copy, parts, at, ours, note))
        note = ""
        if answer == NEXT:
            at += 1
        elif answer == TAKE:
            outcome = await _kept(shell, _task(copy, path, ours, parts[at]))
            if opened is not shell.opened:
                return
            if outcome is None or not outcome.good:
                said: list[str] = []
                tell(shell, outcome, lambda text, how, said=said: said.append(text))  # type: ignore[misc]
                note = said[0] if said else ""
        elif answer == MOVE:
            says, how = _put_away(copy, opened.folder / AWAY)
            if how == "good":
                opened.forget(copy.path.name)
            say(says, how)
            return
        else:
            return


def _task(copy: Copy, path: str, ours: str, part: Part) -> Task:
    def make(texts: Texts) -> Edit:
        if texts.get(path) != ours:
            raise EditError(f"{copy.of.name} was changed meanwhile; look at this part again")
        return Edit({path: with_part(ours, part)})

    where = f", {part.within}" if part.within else ""
    return Task(f"took a part over from {copy.path.name}{where}", make)


async def _kept(shell: Host, task: Task) -> Outcome | None:
    came: Future[Outcome | None] = get_running_loop().create_future()

    def done(outcome: Outcome | None) -> None:
        if not came.done():
            came.set_result(outcome)

    keep(shell, task, done)
    return await came


def _question(copy: Copy, parts: list[Part], at: int, ours: str, note: str) -> Choose:
    away = (MOVE, f"Put the copy away, into the folder {AWAY}")
    head = [line((f"{copy.path.name}, a copy of {copy.of.name}", "title"))]
    if note:
        head.append(line((f"✗ {note}", "trap")))
    if not parts:
        lines = [line(f"The copy says nothing that {copy.of.name} does not.")]
        return Choose(lines, [(STOP, "Leave the copy where it is"), away], head=head)
    part = parts[at]
    head.append(line((f"part {at + 1} of {len(parts)}", "strong"), (f"   {part.within}", "dim")))
    answers = [
        (NEXT, "Leave this part as it is, and see the next" if len(parts) > 1 else "Leave this part as it is"),
        (TAKE, "Take this part over from the copy; U undoes it"),
        away,
        (STOP, "Stop here"),
    ]
    return Choose(part_lines(copy, part, ours), answers, head=head)


def part_lines(copy: Copy, part: Part, ours: str) -> list[Line]:
    """One part in both texts."""
    mine = ours.splitlines()[part.start : part.end]
    theirs = [each.rstrip("\r\n") for each in part.theirs]
    return [
        line((f"{copy.of.name}, from line {part.start + 1}", "head")),
        *_shown(mine, "- ", "trap"),
        line((copy.path.name, "head")),
        *_shown(theirs, "+ ", "done"),
    ]


def _shown(texts: list[str], mark: str, look: str) -> list[Line]:
    if not texts:
        return [line(("  has nothing here", "dim"))]
    more = [line((f"  … {len(texts) - _MOST} more lines", "dim"))] if len(texts) > _MOST else []
    return [*[line((f"  {mark}{text}", look)) for text in texts[:_MOST]], *more]


def _put_away(copy: Copy, folder: Path) -> tuple[str, str]:
    try:
        there = put_away(copy.path, folder)
    except OSError as error:
        return f"{copy.path.name} could not be moved: {error.strerror or error}; it is where it was", "wrong"
    return f"the copy lies in {there.parent.name}/{there.name} now", "good"
