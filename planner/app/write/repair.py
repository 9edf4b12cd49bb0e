"""A repair before it is written: what changes in the files, the order it leads to, the findings before and after."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from planner.app.frame.choose import Choose
from planner.app.frame.looking import still_asked
from planner.app.keep.keeping import keep
from planner.files.editing.repairs import apply_repair
from planner.files.editing.spots import Edit, Texts
from planner.plan.model import NOTICE, Finding
from planner.plan.repairs import Repair
from planner.session.writing.desk import Desk, Outcome, Task, desk_of, now_of
from planner.telling.change import repair_says, why_says
from planner.telling.edit import changed_lines as finding_changes
from planner.telling.edit import counts_line, file_lines, outcome_lines
from planner.telling.finding import Row, called, names_of, sentence, shown_name
from planner.telling.looks import Line, line
from planner.telling.repair import changed_lines

if TYPE_CHECKING:
    from planner.app.frame.host import Host, Written
    from planner.plan.expand import Plan

_MARKS = {
    "same": ("  same     ", "dim"),
    "earlier": ("↑ earlier  ", "waits"),
    "later": ("↓ later    ", "waits"),
    "new": ("+ put in   ", "done"),
    "gap": ("  …", "dim"),
}


def preview_lines(
    desk: Desk, plan: Plan, finding: Finding, repair: Repair, says: str, outcome: Outcome, before: Sequence[str]
) -> list[Line]:
    """Everything that a repair changes."""
    row = Row((finding,))
    lines: list[Line] = [
        line((f"{sentence(plan, row)}.", "strong"), (f"  {names_of(row)}", "dim")),
        (),
        line(("repair   ", "head"), says, (f"  {why_says(finding, repair, called(plan))}", "dim")),
        counts_line(outcome.before, outcome.findings),
        *finding_changes(outcome),
        (),
    ]
    for note in outcome.edit.notes:
        lines.append(line(("note     ", "head"), note))
    for path, text in outcome.edit.changes.items():
        lines += file_lines(desk.short(path), outcome.texts.get(path), text)
    lines += order_lines(before, repair.order)
    return lines


def order_lines(before: Sequence[str], after: Sequence[str]) -> list[Line]:
    """An order line by line, each as it was or where it has gone."""
    rows = changed_lines(before, after)
    moved = sum(1 for row in rows if row.how not in ("same", "gap"))
    lines: list[Line] = [(), line(("the order then", "head"), (f"   {moved} of {len(after)} lines change", "dim"))]
    for row in rows:
        word, look = _MARKS[row.how]
        lines.append(line((word, look), (shown_name(row.name), "strong" if row.how != "same" else "")))
    return lines


ANSWERS = (("go", "Write it into the plan; U undoes it"), ("stay", "Leave the plan as it is"))


def offer_repair(page: Written, did: Callable[[Outcome | None], None]) -> None:
    """Look for the repair of the finding under the cursor, show what it changes, and write it when told to."""
    findings = [each for each in page.findings_here() if not each.history and each.level != NOTICE]
    if not findings:
        page.say("no trap or gap stands here; f goes to the next finding")
        return
    page.say("… looking for a repair")
    page.shell.run_worker(_offer(page, page.shell, findings, did), group="writing")


async def _offer(
    page: Written, shell: Host, findings: Sequence[Finding], did: Callable[[Outcome | None], None]
) -> None:
    opened = page.opened
    one, found = opened.one, opened.findings()
    repairs = opened.known_repairs()
    if repairs is None:
        repairs = await to_thread(opened.repair_search())
        opened.take_repairs(found, repairs)
    finding = next((each for each in findings if each.id in repairs.by_finding), None)
    if finding is None:
        none = "none found in two seconds; there may still be one" if repairs.stopped else "no single change cures this"
        page.say(none)
        return
    repair = repairs.by_finding[finding.id]
    says = repair_says(one.plan, finding, repair, called(one.plan))
    build, done = one.plan.build, [op.name for op, _ in one.live.done]
    before = [op.name for op in one.live.order().operations]

    def make(texts: Texts) -> Edit:
        return apply_repair(texts, build, repair, done)

    # More is said behind it, after a semicolon.
    task = Task(f"repaired: {says.rstrip('.')}", make)
    desk = desk_of(opened)
    outcome = await to_thread(desk.work_out, task, now_of(opened))
    if not outcome.good:
        page.say("".join(piece.text for piece in outcome_lines(outcome)[0]), "wrong")
        return
    if not still_asked(shell, page, opened):
        return
    page.hush()
    lines = preview_lines(desk, one.plan, finding, repair, says, outcome, before)
    head = [line(("a repair", "title"), ("   Page Down goes through the text", "dim"))]
    if await shell.push_screen_wait(Choose(lines, ANSWERS, head=head)) == "go":
        keep(shell, task, did)
