"""Every key of the app: its id, what it does in the words of the help, where it works, and the user's changes.

Pure: the file is read elsewhere, Textual is told elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from planner.plan.words import nearest

EVERYWHERE = "everywhere"
#: Screens laid over another; keys that work everywhere else do not work there, since they ask and one types.
OVER = ("new-build", "find", "rename", "renumber", "paste", "copy-stage", "papers")
SCREENS = ("builds", "plan", "traps", "camera", "problems", "write", "form", "numbers", "calendar", "series", *OVER)


class Key(NamedTuple):
    """A key: its id, the key it is by default, the action, what it does, and a word for the line of keys."""

    id: str
    key: str
    action: str
    says: str
    short: str

    @property
    def where(self) -> str:
        """The screen or the kind of widget it belongs to."""
        return self.id.partition(".")[0]

    def full_action(self) -> str:
        """The action with who is to do it."""
        if self.action.startswith("app."):
            return self.action
        who = "focused" if self.where in LISTS else "app" if self.where == "app" else "screen"
        return f"{who}.{self.action}"


KEYS = (
    Key("everywhere.builds", "b", "go('builds')", "go to the builds", "builds"),
    Key("everywhere.plan", "p", "go('plan')", "go to the plan", "plan"),
    Key("everywhere.traps", "t", "go('traps')", "go to the traps", "traps"),
    Key("everywhere.camera", "c", "go('camera')", "go to the camera", "camera"),
    Key("everywhere.numbers", "number_sign", "go('numbers')", "go to the numbers", "numbers"),
    Key("everywhere.calendar", "k", "go('calendar')", "go to the calendar", "calendar"),
    Key("everywhere.series", "S", "go('series')", "go to the series", "series"),
    Key("everywhere.papers", "P", "papers", "write a paper: job sheet, cut list, card, tags", "papers"),
    Key("everywhere.problems", "exclamation_mark", "go('problems')", "list what cannot be read", "problems"),
    Key("everywhere.find", "slash", "find", "find a step in all episodes", "find"),
    Key("everywhere.jump", "J", "find(True)", "go to a step by its id", "go to id"),
    Key("everywhere.copy", "quotation_mark", "copy_detail", "copy the text that is shown in detail", "copy"),
    Key("everywhere.next-part", "tab", "app.focus_next", "to the next part of the screen", "next part"),
    Key("everywhere.last-part", "shift+tab", "app.focus_previous", "to the part before", "part before"),
    Key("everywhere.silence", "z", "silence", "silence the bell; where none rings, turn it off or on", "silence"),
    Key("everywhere.help", "question_mark", "help", "show all keys of this screen", "help"),
    Key("everywhere.quit", "q", "quit", "quit; every tick is on the disk already", "quit"),
    Key("app.actions", "ctrl+p", "actions", "find any action by its name", "every action"),
    Key("app.leave", "ctrl+q", "quit", "quit; works from a question too", "quit"),
    Key("app.interrupt", "ctrl+c", "quit", "quit; works from a question too", "quit"),
    Key("list.up", "up", "up", "up", "up"),
    Key("list.down", "down", "down", "down", "down"),
    Key("list.page-up", "pageup", "page_up", "a page up", "page up"),
    Key("list.page-down", "pagedown", "page_down", "a page down", "page down"),
    Key("list.first", "home", "first", "to the first line", "first"),
    Key("list.last", "end", "last", "to the last line", "last"),
    Key("list.choose", "enter", "choose", "open or go to what the cursor is on", "open"),
    Key("text.up", "up", "scroll_up", "up", "up"),
    Key("text.down", "down", "scroll_down", "down", "down"),
    Key("text.page-up", "pageup", "scroll_page_up", "a page up", "page up"),
    Key("text.page-down", "pagedown", "scroll_page_down", "a page down", "page down"),
    Key("text.first", "home", "scroll_home", "to the beginning", "beginning"),
    Key("text.last", "end", "scroll_end", "to the end", "end"),
    Key("question.leave", "escape", "leave", "cancel: answer nothing", "cancel"),
    Key("question.page-up", "pageup", "page_up", "scroll the question up", "up"),
    Key("question.page-down", "pagedown", "page_down", "scroll the question down", "down"),
    Key("question.top", "home", "top", "to the beginning of the question", "beginning"),
    Key("question.bottom", "end", "bottom", "to the end of the question", "end"),
    Key("question.next-part", "tab", "app.focus_next", "to the text, or back to the answers", "to the text"),
    Key("question.take", "enter", "take", "take the answer under the cursor", "take"),
    Key("question.first", "1", "answer(1)", "the first answer", "first"),
    Key("question.second", "2", "answer(2)", "the second answer", "second"),
    Key("question.third", "3", "answer(3)", "the third answer", "third"),
    Key("question.fourth", "4", "answer(4)", "the fourth answer", "fourth"),
    Key("help.leave", "escape", "leave", "back to the screen", "back"),
    Key("actions.up", "up", "row(-1)", "up", "up"),
    Key("actions.down", "down", "row(1)", "down", "down"),
    Key("actions.page-up", "pageup", "rows(-1)", "a page up", "page up"),
    Key("actions.page-down", "pagedown", "rows(1)", "a page down", "page down"),
    Key("actions.leave", "escape", "leave", "back to the screen", "back"),
    Key("looking.stop", "escape", "stop", "stop looking, and take the best so far", "stop"),
    Key("typing.leave", "escape", "leave", "cancel: keep nothing", "cancel"),
    Key("keypad.leave", "escape", "leave", "cancel: keep nothing, tick nothing", "cancel"),
    Key("keypad.keep", "enter", "keep", "keep what is typed", "keep"),
    Key("keypad.erase", "backspace", "erase", "take the last sign away", "erase"),
    Key("keypad.unit", "tab", "unit", "another unit", "unit"),
    Key("grid.left", "left", "left", "a side to the left", "left"),
    Key("grid.right", "right", "right", "a side to the right", "right"),
    Key("plan.tick", "space", "tick", "tick the operation under the cursor", "tick"),
    Key("plan.undo", "u", "undo", "take the tick under the cursor back, else the latest", "undo"),
    Key("plan.again", "a", "again", "record that it was done once more", "again"),
    Key("plan.reading", "m", "reading", "keep a reading; a thermometer moves the wait", "reading"),
    Key("plan.next-finding", "f", "next_finding", "to the next finding", "finding"),
    Key("plan.next", "g", "next_open", "to what comes next", "next"),
    Key("camera.tick", "space", "tick", "tick this operation as done", "tick"),
    Key("camera.undo", "u", "undo", "take its tick back, else the latest", "undo"),
    Key("camera.again", "a", "again", "record that it was done once more", "again"),
    Key("camera.earlier", "up", "earlier", "to the operation before", "before"),
    Key("camera.later", "down", "later", "to the operation after", "after"),
    Key("camera.page-up", "pageup", "page_up", "scroll the text up", "up"),
    Key("camera.page-down", "pagedown", "page_down", "scroll the text down", "down"),
    Key("camera.side-left", "left", "side_left", "to the same step on the side before", "side"),
    Key("camera.side-right", "right", "side_right", "to the same step on the next side", "side"),
    Key("camera.next", "g", "next_open", "to what comes next", "next"),
    Key("camera.what-now", "n", "what_now", "what to do now, and why; what does not fit, and why", "what now"),
    Key("camera.way-back", "D", "way_back", "the way back from what was ticked, first step first", "way back"),
    Key("camera.rolling", "r", "rolling", "the camera was started, or stopped", "rolling"),
    Key("camera.slate", "s", "slate", "show a slate and count the take", "slate"),
    Key("camera.copied", "d", "copied", "a card was copied to a second place, or a third", "copied"),
    Key("camera.not-filmed", "f", "not_filmed", "it was not filmed; offers the next side", "not filmed"),
    Key("camera.note", "e", "note", "write a note", "note"),
    Key("camera.reading", "m", "reading", "keep a reading; a thermometer moves the wait", "reading"),
    Key("numbers.type", "e", "type", "type the value under the cursor", "type"),
    Key("numbers.save", "s", "save", "write what was changed into numbers.yaml", "save"),
    Key("numbers.drawing", "d", "drawing", "show the drawing large, or not", "drawing"),
    Key("numbers.working", "F", "working", "show the working, with formulas and sources, or the results", "working"),
    Key(
        "numbers.into-plan",
        "I",
        "into_plan",
        "write the order of tacks or beads into a step",
        "into plan",
    ),
    Key("numbers.put-back", "u", "put_back", "put the value back as the file has it, else the latest", "put back"),
    Key("numbers.undo-edit", "U", "write('undo_edit')", "undo the latest edit of the plan or its numbers", "undo edit"),
    Key("numbers.redo-edit", "R", "write('redo_edit')", "redo the edit that was undone", "redo edit"),
    Key("numbers.save-again", "W", "write('save_again')", "try again to save what the disk refused", "save again"),
    Key("numbers.clear", "minus", "clear", "take the value away", "take away"),
    Key("numbers.sides", "o", "sides", "give one value a side, or one for all sides", "sides"),
    Key("numbers.before", "left", "before", "to the calculator before", "before"),
    Key("numbers.after", "right", "after", "to the next calculator", "after"),
    Key("calendar.earlier", "left", "step(-1)", "to the shift before", "before"),
    Key("calendar.later", "right", "step(1)", "to the next shift", "shift"),
    Key("calendar.tonight", "g", "first_shift", "to the shift that comes next", "next"),
    Key("calendar.longer", "plus", "longer(30)", "try half an hour more on this day of the week", "longer"),
    Key("calendar.shorter", "minus", "longer(-30)", "try half an hour less on this day of the week", "shorter"),
    Key("calendar.away", "0", "away", "try this day away, or there again", "away"),
    Key(
        "calendar.later-date", "greater_than_sign", "date(1)", "try publishing its episode a week later", "a week later"
    ),
    Key("calendar.earlier-date", "less_than_sign", "date(-1)", "try publishing it a week earlier", "a week earlier"),
    Key("calendar.all-builds", "o", "all_builds", "all builds for one pair of hands, or this one alone", "all builds"),
    Key("calendar.put-back", "u", "put_back", "back to the hours and dates as they are written", "put back"),
    Key("calendar.stop", "escape", "stop", "stop looking for a better calendar; else back to it as written", "stop"),
    Key(
        "series.description",
        "d",
        "show('description')",
        "show the text that goes under this episode, or the story",
        "description",
    ),
    Key("series.shots", "h", "show('shots')", "show what is left to film, shift by shift, or the story", "shots"),
    Key("series.write", "w", "write_text", "write the description or the shots that are shown; asks where", "write"),
    Key("figure.keep", "enter", "submit", "keep the value, and go on to the next", "keep"),
    Key("figure.leave", "escape", "leave", "put the value back as it was", "put back"),
    Key("figure.above", "up", "above", "keep it, and type the value above", "above"),
    Key("figure.below", "down", "below", "keep it, and type the value below", "below"),
    Key("builds.again", "r", "read_again", "read all builds again", "read again"),
    Key("builds.new", "n", "new_build", "make a new build by a few questions", "new build"),
    Key("builds.copy", "d", "copy_build", "copy the build, with its ticks or without", "copy"),
    Key("builds.remove", "minus", "remove_build", "put the build away into the folder of removed builds", "remove"),
    Key("traps.repair", "r", "write('repair')", "see what the repair changes, and write it into the plan", "repair"),
    Key("traps.undo-edit", "U", "write('undo_edit')", "undo the latest edit of the plan", "undo edit"),
    Key("traps.redo-edit", "R", "write('redo_edit')", "redo the edit that was undone", "redo edit"),
    Key("plan.write", "w", "write_all", "write: all episodes, stages and steps in one list", "write"),
    Key("plan.edit", "e", "write('edit')", "edit the step under the cursor: all of its lines", "edit"),
    Key("plan.repair", "r", "write('repair')", "see what the repair changes, and write it into the plan", "repair"),
    Key("plan.order", "O", "write('order')", "find the best order of this episode, and write it", "order"),
    Key("plan.recover", "D", "write('recover')", "find the way back from what was ticked, with rework", "way back"),
    Key("plan.undo-edit", "U", "write('undo_edit')", "undo the latest edit of the plan", "undo edit"),
    Key("plan.redo-edit", "R", "write('redo_edit')", "redo the edit that was undone", "redo edit"),
    Key("plan.save-again", "W", "write('save_again')", "try again to save what the disk refused", "save again"),
    Key("write.edit", "e", "write('edit')", "edit what is under the cursor: all of its lines", "edit"),
    Key("write.add-step", "n", "write('add_step')", "add a step behind the cursor", "add step"),
    Key("write.type-steps", "T", "write('type_steps')", "add many steps by typing them, one a line", "type steps"),
    Key("write.add-stage", "s", "write('add_stage')", "add a stage behind this one", "add stage"),
    Key("write.add-episode", "v", "write('add_episode')", "add an episode behind this one", "add episode"),
    Key("write.duplicate", "d", "write('duplicate')", "duplicate the episode, stage or step", "duplicate"),
    Key("write.delete", "minus", "write('delete')", "delete the episode, stage or step", "delete"),
    Key("write.move-up", "less_than_sign", "write('move', -1)", "move it up", "move up"),
    Key("write.move-down", "greater_than_sign", "write('move', 1)", "move it down", "move down"),
    Key("write.move-to", "m", "write('move_to')", "move it into another stage or episode", "move to"),
    Key("write.mark", "space", "mark", "mark this step, or not; m, d, - and A then act on all marked", "mark"),
    Key("write.mark-none", "escape", "mark_none", "mark none", "mark none"),
    Key("write.give", "A", "write('give')", "give the marked steps a kind, a piece or sides", "give"),
    Key("write.one-side", "o", "write('one_side')", "do the step on some sides only; asks why", "some sides"),
    Key("write.repair", "r", "write('repair')", "see what the repair changes, and write it into the plan", "repair"),
    Key("write.next-finding", "f", "next_finding", "to the next finding", "finding"),
    Key("write.build", "B", "write('edit_build')", "edit the build: sides, conditions, kinds, hours", "build"),
    Key("write.order", "O", "write('order')", "find the best order of this episode, and write it", "order"),
    Key("write.undo-edit", "U", "write('undo_edit')", "undo the latest edit of the plan", "undo edit"),
    Key("write.redo-edit", "R", "write('redo_edit')", "redo the edit that was undone", "redo edit"),
    Key("write.save-again", "W", "write('save_again')", "try again to save what the disk refused", "save again"),
    Key("form.leave", "escape", "leave", "back; everything is on the disk already", "back"),
    Key("form.clear", "minus", "clear", "take away the line, or the entry", "take away"),
    Key("form.add", "n", "add", "add an entry", "add"),
    Key("form.undo-edit", "U", "undo_edit", "undo the latest edit of the plan", "undo edit"),
    Key("form.redo-edit", "R", "redo_edit", "redo the edit that was undone", "redo edit"),
    Key("form.save-again", "W", "save_again", "try again to save what the disk refused", "save again"),
    Key("editor.leave", "escape", "leave", "cancel, and change nothing", "cancel"),
    Key("editor.up", "up", "row(-1)", "up", "up"),
    Key("editor.down", "down", "row(1)", "down", "down"),
    Key("editor.page-up", "pageup", "rows(-1)", "a page up", "page up"),
    Key("editor.page-down", "pagedown", "rows(1)", "a page down", "page down"),
    Key("editor.complete", "tab", "complete", "take the line under the cursor into what is typed", "take in"),
    Key("pick.leave", "escape", "leave", "cancel, and change nothing", "cancel"),
    Key("pick.keep", "enter", "keep", "keep what is chosen", "keep"),
    Key("pick.mark", "space", "mark", "choose this line, or not", "choose"),
    Key("pick.narrow", "backspace", "unfilter", "erase the last letter typed", "erase"),
    Key("pick.where-left", "left", "where(-1)", "choose the side it is on", "side"),
    Key("pick.where-right", "right", "where(1)", "choose the side it is on", "side"),
    Key("lines.leave", "escape", "leave", "cancel, and change nothing", "cancel"),
    Key("lines.keep", "ctrl+t", "keep", "keep what is typed", "keep"),
    Key("over.up", "up", "row(-1)", "up", "up"),
    Key("over.down", "down", "row(1)", "down", "down"),
    Key("over.page-up", "pageup", "rows(-1)", "a page up", "page up"),
    Key("over.page-down", "pagedown", "rows(1)", "a page down", "page down"),
    Key("over.next-part", "tab", "app.focus_next", "to the next part of the screen", "next part"),
    Key("over.last-part", "shift+tab", "app.focus_previous", "to the part before", "part before"),
    Key("over.help", "f4", "help", "show all keys of this screen", "help"),
    Key("over.leave", "ctrl+b", "leave", "cancel, and change nothing", "cancel"),
    Key("new-build.go-on", "enter", "go_on", "take the answer and go on", "go on"),
    Key("new-build.back", "escape", "back", "back to the question before; from the first, cancel", "back"),
    Key("find.open", "enter", "open", "go to the step under the cursor", "go there"),
    Key("find.leave", "escape", "leave", "back to where you were", "back"),
    Key("plan.rename", "N", "rename", "give a step or a condition another name, everywhere", "rename"),
    Key("plan.renumber", "E", "renumber", "give an episode another number", "renumber"),
    Key("plan.type-steps", "T", "paste", "add many steps by typing them, one a line", "type steps"),
    Key("plan.paste", "V", "paste", "turn a list in plain text into steps", "paste"),
    Key("plan.copy-stage", "C", "copy_stage", "copy this stage to another build", "copy stage"),
    Key("write.rename", "N", "rename", "give a step or a condition another name, everywhere", "rename"),
    Key("write.renumber", "E", "renumber", "give an episode another number", "renumber"),
    Key("write.paste", "V", "paste", "turn a list in plain text into steps", "paste"),
    Key("write.copy-stage", "C", "copy_stage", "copy this stage to another build", "copy stage"),
    Key("rename.go-on", "enter", "go_on", "take this name; then rename it everywhere", "go on"),
    Key("rename.back", "escape", "back", "back to the names; from there, cancel", "back"),
    Key("renumber.go-on", "enter", "go_on", "give the episode this number", "renumber"),
    Key("renumber.leave", "escape", "leave", "cancel, and change nothing", "cancel"),
    Key("paste.keep", "ctrl+t", "keep", "put these steps into the plan", "put in"),
    Key("paste.levels", "ctrl+l", "levels", "read deeper lines as steps of a stage, or as notes", "other way"),
    Key("paste.offers", "ctrl+o", "offers", "give the steps the kinds and pieces that are offered, or not", "kinds"),
    Key("paste.leave", "escape", "leave", "cancel, and change nothing", "cancel"),
    Key("copy-stage.go-on", "enter", "go_on", "take the answer and go on; at last copy the stage", "go on"),
    Key("copy-stage.back", "escape", "back", "back to the question before; from the first, cancel", "back"),
    Key("papers.write", "enter", "write_paper", "write this paper; asks where", "write"),
    Key("papers.part-before", "left", "part(-1)", "of the episode before, else of the whole build", "episode"),
    Key("papers.part-after", "right", "part(1)", "of the next episode", "episode"),
    Key("papers.shift", "h", "shift(1)", "of the next shift of the calendar", "shift"),
    Key(
        "papers.shift-before", "H", "shift(-1)", "of the shift before; before the first, of the episode again", "shift"
    ),
    Key("papers.side", "i", "side", "of one side, of the next, or of all", "side"),
    Key("papers.size", "s", "size", "on the other size of paper: A4 or Letter", "size"),
    Key("papers.leave", "escape", "leave", "back to where you were", "back"),
)
#: Keys of what has the focus, not of a screen as a whole.
LISTS = ("list", "grid", "text", "figure")
#: The groups of keys of the lists that a screen has; the camera has none.
_LISTS = {"plan": ("list", "grid"), "camera": (), **dict.fromkeys(OVER, ("over",))}
BY_ID = {key.id: key for key in KEYS}


def keys_of(screen: str) -> list[Key]:
    """The keys that work on a screen, its own first."""
    own = [key for key in KEYS if key.where == screen]
    everywhere = () if screen in OVER else (EVERYWHERE,)
    return [*own, *(key for key in KEYS if key.where in (*_LISTS.get(screen, ("list",)), *everywhere, "app"))]


class KeyProblem(NamedTuple):
    """Something in the user's map of keys that is not used, and why."""

    id: str
    says: str


_NAMED = frozenset(
    [
        "up",
        "down",
        "left",
        "right",
        "home",
        "end",
        "pageup",
        "pagedown",
        "insert",
        "delete",
        "backspace",
        "tab",
        "enter",
        "escape",
        "space",
        *(f"f{n}" for n in range(1, 25)),
    ]
)
#: Characters as Textual spells them where they are not themselves.
_SPELT = {
    "?": "question_mark",
    "!": "exclamation_mark",
    "#": "number_sign",
    "+": "plus",
    "-": "minus",
    "/": "slash",
    ".": "full_stop",
    ",": "comma",
    ":": "colon",
    ";": "semicolon",
    "*": "asterisk",
    "=": "equals_sign",
    "<": "less_than_sign",
    ">": "greater_than_sign",
    "[": "left_square_bracket",
    "]": "right_square_bracket",
    "(": "left_parenthesis",
    ")": "right_parenthesis",
    "'": "apostrophe",
    '"': "quotation_mark",
    "&": "ampersand",
    "%": "percent_sign",
    "@": "at",
    "$": "dollar_sign",
    "_": "underscore",
    "\\": "backslash",
    "|": "vertical_line",
    "~": "tilde",
    "^": "circumflex_accent",
    "`": "grave_accent",
    " ": "space",
}
_SHOWN = {name: char for char, name in _SPELT.items() if char != " "} | {
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "home": "Home",
    "end": "End",
    "enter": "Enter",
    "escape": "Esc",
    "space": "Space",
    "tab": "Tab",
    **{f"f{n}": f"F{n}" for n in range(1, 25)},
}


def shown_key(key: str) -> str:
    """A key as it is written on the keyboard."""
    *modifiers, last = key.split("+")
    last = last.upper() if modifiers and len(last) == 1 else last
    return "+".join([*(m.capitalize() for m in modifiers), _SHOWN.get(last, last)])


def spelt_key(key: str) -> str | None:
    """A key as Textual spells it, or None when it is no key that a terminal can send."""
    if key in _SPELT:
        return _SPELT[key]
    *modifiers, last = key.split("+")
    if any(modifier not in ("ctrl", "shift", "alt") for modifier in modifiers):
        return None
    last = _SPELT.get(last, last)
    known = last in _NAMED or last in _SPELT.values() or (len(last) == 1 and last.isprintable())
    if not known:
        return None
    if modifiers == ["ctrl"] and last in _LOST:
        return None
    return "+".join([*modifiers, last])


#: With ctrl these arrive as another key in many terminals, or not at all.
_LOST = frozenset({"m", "i", "h", "j", "enter", "s", "z", "c"})


def check_keys(wanted: Mapping[str, str]) -> tuple[dict[str, str], list[KeyProblem]]:
    """The changes that can be used, spelt as Textual does, and every problem with the rest."""
    problems: list[KeyProblem] = []
    good: dict[str, str] = {}
    for key_id, typed in wanted.items():
        if key_id not in BY_ID:
            near = nearest(key_id, BY_ID)
            hint = f"; did you mean {near}?" if near else "; ? lists the ids of a screen"
            problems.append(KeyProblem(key_id, f"there is no key called {key_id}{hint}"))
            continue
        spelt = spelt_key(typed)
        if spelt is None:
            problems.append(
                KeyProblem(
                    key_id,
                    f"{key_id}: “{typed}” is not a key that arrives in every terminal; use a letter, a digit, a sign,"
                    " space, an arrow, f1 to f24, or ctrl+letter",
                )
            )
            continue
        good[key_id] = spelt
    return _without_clashes(good, problems), problems


def _without_clashes(good: dict[str, str], problems: list[KeyProblem]) -> dict[str, str]:
    """Drop changes that give one key two meanings on a screen, until none is left."""
    while True:
        clash = _first_clash(good)
        if clash is None:
            return good
        changed, other = clash
        problems.append(
            KeyProblem(
                changed,
                f"{changed}: {shown_key(good[changed])} already means {other} ({BY_ID[other].says});"
                " both keep what they had",
            )
        )
        good = {key_id: key for key_id, key in good.items() if key_id not in (changed, other)}


def _first_clash(changes: Mapping[str, str]) -> tuple[str, str] | None:
    for screen in SCREENS:
        taken: dict[str, str] = {}
        for key in keys_of(screen):
            now = changes.get(key.id, key.key)
            first = taken.setdefault(now, key.id)
            if first != key.id and (key.id in changes or first in changes):
                return (key.id, first) if key.id in changes else (first, key.id)
    return None
