"""What the camera screen asks of the filming: which clip a slate is on, and where a card was copied to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from planner.app.frame.ask import Type
from planner.plan.cards import CopiedError, read_copied
from planner.plan.ticks import COPIED, SLATE
from planner.telling.looks import line

if TYPE_CHECKING:
    from textual.app import App

    from planner.plan.expand import Operation
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened


class Asks(Protocol):
    """The page that asks: what it is asked on, and what it can do with an answer."""

    @property
    def app(self) -> App[object]:
        """The app."""

    @property
    def one(self) -> OneBuild:
        """The build."""

    @property
    def opened(self) -> Opened:
        """The same, open."""

    def record(self, records: list[dict[str, object]], op: Operation | None, at: float | None = None) -> bool:
        """Keep records; whether they are on the disk."""

    def say(self, text: str, how: str = "note") -> None:
        """Say what happened."""

    def draw_tick(self) -> None:
        """Draw what a record may have changed."""


def last_rate(one: OneBuild) -> str:
    """The rate and camera of the slate before, to be typed no second time; empty where there was none."""
    for event in reversed(one.log.events):
        if event.did == SLATE and isinstance(event.raw.get("rate"), str):
            camera = event.raw.get("camera")
            return f" {event.raw['rate']}{f' {camera}' if isinstance(camera, str) and camera != 'camera' else ''}"
    return ""


def ask_clip(page: Asks, op: Operation, at: float, typed: str = "", wrong: str = "") -> None:
    """Ask what was seen on the camera when the slate was held; left, the take stands without it."""
    from planner.paper.rushes import read_slate
    from planner.paper.timecode import TimecodeError

    lines = [
        line(("Seen on the camera at ", "title"), (page.opened.local(at), "strong")),
        line("Clip, time code, rate, and the camera where there are two. It ties the clip to the clock, for the edit."),
        line(("Esc leaves it: the take is kept without a clip.", "dim")),
    ]
    if wrong:
        lines.append(line((f"✗ {wrong}", "trap")))

    def take(answer: str | None) -> None:
        if not answer:
            return
        full = answer + last_rate(page.one) if len(answer.split()) == 2 else answer
        try:
            record = read_slate(full)
        except TimecodeError as error:
            ask_clip(page, op, at, answer, str(error))
            return
        if page.record([{"did": SLATE, **record}], op, at):
            page.say(f"slate: {record['clip']} showed {record['timecode']}", "good")
            page.draw_tick()

    rate = last_rate(page.one)
    hint = f"A003C012 10:22:33;12{rate or ' 29.97'}" + (", or without the rate: it is the one before" if rate else "")
    page.app.push_screen(Type(lines, hint, typed), take)


def ask_copied(page: Asks, op: Operation, typed: str = "", wrong: str = "") -> None:
    """Ask which card was copied, and to where."""
    lines = [
        line(("A card was copied: ", "title"), "its name, and the place it was copied to"),
        *(line(("✗ ", "trap"), says) for says in not_free(page.one)),
    ]
    if wrong:
        lines.append(line((f"✗ {wrong}", "trap")))

    def take(answer: str | None) -> None:
        if not answer:
            return
        try:
            record = read_copied(answer)
        except CopiedError as error:
            ask_copied(page, op, answer, str(error))
            return
        if page.record([{"did": COPIED, **record}], op):
            card = next(each for each in page.one.cards() if each.name == record["card"])
            free = "it is free" if card.free else "NOT FREE until it is copied to a second place"
            page.say(f"copied: {card.name} to {record['to']}; {free}", "good" if card.free else "note")
            page.draw_tick()

    page.app.push_screen(Type(lines, "A003 shop disk", typed), take)


def not_free(one: OneBuild) -> list[str]:
    """The cards that may not be wiped, with where they are copied to."""
    return [
        f"{card.name} {f'copied to {card.places[0]} only' if card.places else 'not copied'}"
        for card in one.cards()
        if not card.free
    ]


def cards_words(one: OneBuild) -> str:
    """The same in one line; empty where there is none."""
    found = not_free(one)
    more = f" and {len(found) - 2} more" if len(found) > 2 else ""
    return f"not to be wiped: {', '.join(found[:2])}{more}" if found else ""
