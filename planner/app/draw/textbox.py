"""A text of several lines to type or paste into, which nothing that is pasted can freeze."""

from __future__ import annotations

from textual.events import Paste
from textual.message import Message
from textual.widgets import TextArea

MOST = 200_000  # characters; nothing that a person means to write here is longer
LONGEST = 2_000  # characters of one line: folding longer ones at every key takes seconds


def in_measure(text: str, room: int = MOST) -> str:
    """What of a text can be taken in: not more than ``room`` in all, no line longer than ``LONGEST``."""
    text = text[: max(0, room)]
    if len(text) <= LONGEST:
        return text
    return "\n".join([line[:LONGEST] for line in text.split("\n")])


class TextBox(TextArea):
    """The library's text area, with a measure on what is pasted."""

    class Cut(Message):
        """More was pasted than is taken in; ``left`` characters were left out."""

        def __init__(self, left: int) -> None:
            super().__init__()
            self.left = left

    def take_in(self, text: str) -> None:
        """Put a text in where the cursor is, in measure."""
        fits = in_measure(text, MOST - len(self.text))
        left = len(text) - len(fits)
        start, end = sorted(self.selection)
        done = self.replace(fits, start, end, maintain_selection_offset=False)
        self.move_cursor(done.end_location)
        if left:
            self.post_message(self.Cut(left))

    def _on_paste(self, event: Paste) -> None:  # type: ignore[override]  # the library's own waits for nothing either
        """Paste in measure, instead of as the library would."""
        event.prevent_default()
        if not self.read_only:
            self.take_in(event.text)
