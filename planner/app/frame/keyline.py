"""The line of keys at the foot of a screen: six at most, each can be clicked."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content
from textual.style import Style
from textual.widgets import Static

from planner.app.draw.drawing import look_of
from planner.app.keys.table import Key, shown_key

MOST = 6


def fitting(keys: Sequence[tuple[str, str]], width: int) -> int:
    """How many of (key, word) fit into the width, the last of them always among them."""
    sizes = [cell_len(key) + 1 + cell_len(word) + 3 for key, word in keys]
    for count in range(min(MOST, len(keys)), 0, -1):
        if sum(sizes[: count - 1]) + sizes[-1] - 2 <= width:
            return count
    return 1


class KeyLine(Static):
    """Keys with their words."""

    DEFAULT_CSS = "KeyLine { height: 1; width: 1fr; padding: 0 1; text-wrap: nowrap; }"

    def show_keys(self, keys: Sequence[Key], changed: dict[str, str], palette: str) -> None:
        """Show as many as fit; the last, which leads to the rest, always."""
        pairs = [(shown_key(changed.get(key.id, key.key)), key.short) for key in keys]
        room = self.size.width - 2
        count = fitting(pairs, room) if room > 0 else len(keys)
        chosen = [*list(zip(keys, pairs, strict=True))[: count - 1], (keys[-1], pairs[-1])]
        made = Content("")
        for number, (key, (shown, word)) in enumerate(chosen):
            click = Style.from_meta({"@click": key.full_action()})
            part = Content.assemble((shown, look_of(palette, "key")), f" {word}").stylize(click)
            made += Content("   ") + part if number else part
        self.update(made, layout=False)
