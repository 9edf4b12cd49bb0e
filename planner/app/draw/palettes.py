"""The colours: two of our own and the terminal's own palette. Every look is legible in each of them."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.theme import Theme

DARK, LIGHT, TERMINAL = "shop-dark", "shop-light", "shop-terminal"

#: What the palettes are called where a person chooses one.
PALETTES = {DARK: "dark", LIGHT: "light", TERMINAL: "the terminal's own"}

BACKGROUNDS = {DARK: "#15181b", LIGHT: "#f7f5f0"}

_DARK = {
    "": "",
    "strong": "bold",
    "dim": "#a3a69f",
    "title": "bold #f4a64a",
    "head": "bold #8fb8d8",
    "done": "#86c98a",
    "ready": "bold #ffffff",
    "waits": "bold #7cc4e0",
    "not-yet": "#a3a69f",
    "trap": "bold #ff8272",
    "gap": "bold #f6cf62",
    "notice": "#b9a7e8",
    "caution": "#f6cf62",
    "key": "bold #f4a64a",
    "mark": "bold #f4a64a",
    "on-word": "bold #ff8272",
    "large": "bold #ffffff",
    "number": "#f4a64a",
    "on": "bold #15181b on #ff8272",
    "off": "bold #e8e4da on #3a4148",
    "cursor": "#15181b on #f4a64a",
    "row": "on #262c32",
    "rule": "#4a525a",
}
_LIGHT = {
    "": "",
    "strong": "bold",
    "dim": "#5a5f64",
    "title": "bold #8f4a00",
    "head": "bold #1d5a86",
    "done": "#1f6b2b",
    "ready": "bold #000000",
    "waits": "bold #0a6480",
    "not-yet": "#5a5f64",
    "trap": "bold #b3261e",
    "gap": "bold #735100",
    "notice": "#5b3fa8",
    "caution": "#735100",
    "key": "bold #8f4a00",
    "mark": "bold #8f4a00",
    "on-word": "bold #b3261e",
    "large": "bold #000000",
    "number": "#8f4a00",
    "on": "bold #ffffff on #b3261e",
    "off": "bold #1f2326 on #cdc9c0",
    "cursor": "#ffffff on #8f4a00",
    "row": "on #e6e2d9",
    "rule": "#a39f95",
}
_TERMINAL = {
    "": "",
    "strong": "bold",
    "dim": "dim",
    "title": "bold",
    "head": "bold underline",
    "done": "ansi_green",
    "ready": "bold",
    "waits": "bold ansi_cyan",
    "not-yet": "dim",
    "trap": "bold ansi_red",
    "gap": "bold ansi_yellow",
    "notice": "ansi_magenta",
    "caution": "ansi_yellow",
    "key": "bold",
    "mark": "bold",
    "on-word": "bold ansi_red",
    "large": "bold",
    "number": "bold",
    "on": "bold reverse",
    "off": "bold",
    "cursor": "reverse",
    "row": "bold",
    "rule": "dim",
}
#: Look -> Textual style, for each palette. Colour only repeats what a glyph and a word say.
LOOKS = {DARK: _DARK, LIGHT: _LIGHT, TERMINAL: _TERMINAL}


def _quiet(bar: str, back: str, text: str) -> dict[str, str]:
    """What Textual colours by itself, without a rule for every widget."""
    return {
        "scrollbar": bar,
        "scrollbar-hover": bar,
        "scrollbar-active": bar,
        "scrollbar-background": back,
        "scrollbar-background-hover": back,
        "scrollbar-background-active": back,
        "link-style": "none",
        "link-background-hover": back,
        "link-style-hover": "reverse",
        "link-color": text,
        "link-color-hover": text,
    }


def themes() -> dict[str, Theme]:
    """Our palettes as Textual themes, and those that Textual itself falls back on."""
    from textual.theme import BUILTIN_THEMES, Theme

    terminal = BUILTIN_THEMES["ansi-dark"]
    return {
        **BUILTIN_THEMES,
        DARK: Theme(
            name=DARK,
            primary="#f4a64a",
            secondary="#8fb8d8",
            warning="#f6cf62",
            error="#ff8272",
            success="#86c98a",
            accent="#7cc4e0",
            foreground="#e8e4da",
            background="#15181b",
            surface="#1c2024",
            panel="#262c32",
            dark=True,
            variables=_quiet("#3a4148", "#15181b", "#e8e4da"),
        ),
        LIGHT: Theme(
            name=LIGHT,
            primary="#8f4a00",
            secondary="#1d5a86",
            warning="#735100",
            error="#b3261e",
            success="#1f6b2b",
            accent="#0a6480",
            foreground="#1f2326",
            background="#f7f5f0",
            surface="#eeebe4",
            panel="#d6d1c5",
            dark=False,
            variables=_quiet("#b9b4a8", "#f7f5f0", "#1f2326"),
        ),
        TERMINAL: replace(
            terminal,
            name=TERMINAL,
            variables={**terminal.variables, "link-style": "none", "link-color": "ansi_default"},
        ),
    }


_NAMED = {"dark": DARK, "light": LIGHT, "terminal": TERMINAL}
_KEPT = "palette"  # the name of the choice among those that the machine keeps


def first_palette() -> str:
    """The palette to begin with: plain for NO_COLOR, else as PLANNER_PALETTE says, else as chosen last."""
    if "NO_COLOR" in os.environ:
        return TERMINAL
    wanted = os.environ.get("PLANNER_PALETTE", "")
    if wanted not in _NAMED:
        from planner.files.machine.kept import kept

        wanted = kept(_KEPT)
    return _NAMED.get(wanted, DARK)


def keep_palette(palette: str) -> str:
    """Keep a choice for the next run; says why where it cannot be."""
    from planner.files.machine.kept import keep

    return keep(_KEPT, next((word for word, name in _NAMED.items() if name == palette), "dark"))
