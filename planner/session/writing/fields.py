"""Every key of a plan that can be written: what sort of value it takes, what it is for, and how that is shown. Pure."""

from __future__ import annotations

import re
from typing import NamedTuple

from planner.files.yaml.places import Path, Value
from planner.session.writing.items import SHAPES, item_line, item_of

# Sorts of values.
TEXT, NAME, WHOLE, DURATION, CHOICE, SWITCH = "text", "name", "whole", "duration", "choice", "switch"
REFS, AFTER, WITHOUT, SIDES, TURNS = "conditions", "after", "without", "sides", "turns"
TEXTS, LISTED, PAIRS, ENTRIES = "texts", "listed", "pairs", "entries"

# What holds keys.
STEP, STAGE, EPISODE, BUILD = "step", "stage", "episode", "build"
CONDITIONS, CONDITION, KINDS, KIND, WORDS, WORD = "conditions", "condition", "kinds", "kind", "words", "word"


class Field(NamedTuple):
    """A key: its way within what holds it, the sort of its value, and what it is for."""

    path: Path
    sort: str
    says: str
    wanted: bool = False  # cannot be taken out

    @property
    def key(self) -> str:
        """The key as it is shown: the parts of its way, joined."""
        return " ".join(str(part) for part in self.path)


def _f(key: str, sort: str, says: str, wanted: bool = False) -> Field:
    return Field(tuple(key.split()), sort, says, wanted)


STEP_FIELDS = (
    _f("step", NAME, "the step's id, unique in the build: lower-case letters, digits, hyphens", True),
    _f("do", TEXT, "what is done, as it is read while working; {name.part} puts a number in", True),
    _f("kind", CHOICE, "the trade's name of the work; with a piece it brings needs, gives and spoils"),
    _f("piece", NAME, "the thing worked on; one piece a joint, so that joints do not mask each other"),
    _f("sides", SIDES, "each side (when nothing stands here), once for the whole job, or only some sides"),
    _f("why", TEXT, "why only these sides"),
    _f("rounds", WHOLE, "how often it is done on each side, 1 to 99"),
    _f("turns", TURNS, "how rounds and sides take turns"),
    _f("first", CHOICE, "the side that starts"),
    _f("needs", REFS, "conditions that must hold before it is done"),
    _f("gives", REFS, "conditions that hold when it is done"),
    _f("spoils", REFS, "conditions that no longer hold when it is done"),
    _f("without", WITHOUT, "conditions of the kind that do not apply here"),
    _f("reads", TEXT, "the number that its reading is, such as narrow.measured-half; then that number is measured"),
    _f("hold", PAIRS, "it is done only with a reading within limits: limit 0.010 in, or least and most; plus-minus"),
    _f("after", AFTER, "steps that must be complete first, on every side they have or on this side only"),
    _f("setup", TEXT, "how the piece sits in the fixture; changing it costs time and accuracy"),
    _f("time", DURATION, "of one operation: 90 s, 20 min, 1 h 30 min"),
    _f("wait", DURATION, "what it gives comes true this long after the tick, and so may its next round"),
    _f("lasts", DURATION, "what it gives holds only this long after the tick, such as 30 min"),
    _f("one-way", SWITCH, "whether it cannot be undone"),
    _f("rework", SWITCH, "not in the normal order, but may be put in to recover a condition"),
    _f("where", CHOICE, "in the shop, or at the desk"),
    _f("hands", WHOLE, "people needed, 1 to 20"),
    _f("film", CHOICE, "the side the camera sees, all, or none"),
    _f("shots", TEXTS, "pictures to take, one a line; more behind bars: The roll | size wide | length 12 s | speed 8"),
    _f("say", TEXTS, "what is said to the camera, one a line"),
    _f("cautions", TEXTS, "warnings beside those of the kind, one a line"),
    _f("note", TEXTS, "anything else worth reading at the bench, one a line"),
)
STAGE_FIELDS = (
    _f("stage", TEXT, "the name of the stage", True),
    _f("pace", CHOICE, "each step on all its sides, or all of it on one side and then on the next"),
    _f("rounds", WHOLE, "how often its whole list is done, 1 to 99"),
    _f("first", CHOICE, "the side that starts"),
    _f("film", CHOICE, "the side the camera sees, all, or none"),
    _f("any-time", SWITCH, "whether its steps may be done at any time, also ahead of earlier stages"),
    _f("sequence", LISTED, "its operations outright, one a line, in the order of work"),
)
EPISODE_FIELDS = (
    _f("episode", WHOLE, "its number; the file's name and what refers to it follow", True),
    _f("title", TEXT, "as it is published", True),
    _f("film", CHOICE, "the side the camera sees, all, or none"),
    _f("publish", TEXT, "when it goes out, such as 2027-02-13 17:00, by the shop's clock"),
    _f("runtime", DURATION, "how long the film is to run: 19 min"),
    _f("edit", DURATION, "how long the edit takes: 6 h"),
    _f("refers-to", LISTED, "episodes that it speaks of, one number a line; why behind a bar: 5 | says the cradle"),
    _f("promises", TEXTS, "what it promises to viewers, one a line; by when behind a bar: It rolls | by 8"),
    _f("keeps", TEXTS, "promises that it keeps, one a line"),
    _f("corrects", TEXTS, "what an earlier episode said wrongly, one a line: 2 | says It was 40, not 14 | safety"),
    _f("sponsors", TEXTS, "who gave something, and the words for it, one a line: A mill | says Given | from steel"),
)
BUILD_FIELDS = (
    _f("build", TEXT, "the name of the build", True),
    _f("sides", LISTED, "the sides, one to eight, one a line, in the order of work", True),
    _f("film", CHOICE, "the side the camera sees unless an episode, stage or step says otherwise"),
    _f("show lengths", CHOICE, "how lengths are shown"),
    _f("show temperature", CHOICE, "how temperatures are shown"),
    _f("shop timezone", TEXT, "the shop's time zone, such as Europe/Lisbon"),
    _f("shop hours", PAIRS, "when there are hands in the shop, one day a line: wed 19:00-22:00"),
    _f("shop desk", PAIRS, "when there is time at the desk, one day a line: sun 20:00-22:00"),
    _f("conditions", ENTRIES, "facts about the work that are written by hand"),
    _f("start", REFS, "conditions that hold when the build begins"),
    _f("end", REFS, "conditions that must hold when the build ends"),
    _f("pieces", PAIRS, "parts of larger pieces, one a line: housing-end housing"),
    _f("kinds", ENTRIES, "changes to the kinds of work, and kinds of your own"),
    _f("on-camera needs", REFS, "needs of every operation on camera"),
    _f("on-camera gives", REFS, "gives of every operation on camera"),
    _f("on-camera spoils", REFS, "spoils of every operation on camera"),
)
CONDITION_FIELDS = (
    _f("name", NAME, "what it is called everywhere; a new name is written wherever the old one stands", True),
    _f("kept", CHOICE, "kept for each side, or one fact for the whole job", True),
    _f("means", TEXT, "what is so when it holds", True),
)
KIND_FIELDS = (
    _f("means", TEXT, "the work, in a line"),
    _f("needs", LISTED, "words, one a line; word@all and word@others are allowed"),
    _f("gives", LISTED, "words, one a line"),
    _f("spoils", LISTED, "words, one a line"),
    _f("one-way", SWITCH, "whether it cannot be undone"),
    _f("time", DURATION, "usual time of one operation"),
    _f("cautions", TEXTS, "lines shown with the step, one a line"),
    _f("words", ENTRIES, "words that this kind declares: with a piece they become conditions"),
)
WORD_FIELDS = (
    _f("kept", CHOICE, "kept for each side, or one fact for the whole job", True),
    _f("means", TEXT, "what is so when it holds", True),
    _f("start", SWITCH, "whether it holds when the build begins"),
    _f("whole", SWITCH, "whether it is kept for the outermost piece, and so reaches over joints"),
)
FIELDS = {
    STEP: STEP_FIELDS,
    STAGE: STAGE_FIELDS,
    EPISODE: EPISODE_FIELDS,
    BUILD: BUILD_FIELDS,
    CONDITION: CONDITION_FIELDS,
    KIND: KIND_FIELDS,
    WORD: WORD_FIELDS,
}
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def shown(value: Value) -> str:
    """A value in one line."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        texts = [shown(each) for each in value]
        return " · ".join(texts) if any(" " in text for text in texts) else ", ".join(texts)
    if isinstance(value, dict):
        shape = next((each for each in SHAPES.values() if each.first in value), None)
        if shape is not None:
            return item_line(shape, value)
        return ", ".join(f"{key} {_inside(each)}".strip() for key, each in value.items())
    return " ".join(str(value).split())


def _inside(value: Value) -> str:
    if isinstance(value, dict):
        return f"in {shown(value['in'])}" if set(value) == {"in"} else ""
    return shown(value)


def as_typed(field: Field, value: Value) -> str:
    """A value as it stands in the line or the lines that it is typed into."""
    if value is None:
        return ""
    if field.sort == PAIRS:
        pairs = value.items() if isinstance(value, dict) else ()
        return "\n".join(f"{key} {_pair(field, each)}".rstrip() for key, each in pairs)
    if field.sort in (TEXTS, LISTED):
        items: list[Value] = [*value] if isinstance(value, list) else [value]
        if field.key in SHAPES:
            items = [item_line(SHAPES[field.key], item) for item in items]
        return "\n".join("\n  ".join(str(item).rstrip("\n").split("\n")) for item in items)
    if isinstance(value, (dict, list)):
        return shown(value)
    return shown(value) if isinstance(value, bool) else as_line(str(value))


def _pair(field: Field, value: Value) -> str:
    """What stands behind a name: for a piece what it is part of; how it comes is kept and not typed here."""
    if field.key == "pieces" and isinstance(value, dict):
        return shown(value.get("in"))
    return shown(value)


def from_typed(field: Field, typed: str, old: Value) -> Value:
    """What was typed as a value; None takes the key out. Nothing is judged here: the reader does that."""
    if field.sort in (TEXTS, LISTED):
        return _from_lines(field, typed, old)
    if field.sort == PAIRS:
        return _from_pairs(field, typed, old)
    if not typed.strip():
        return None
    if isinstance(old, str) and typed == as_line(old):
        return old  # line breaks that a line cannot show are kept while nobody changes it
    if field.sort == WHOLE and re.fullmatch(r"\s*[-+]?(0|[1-9]\d{0,8})\s*", typed):
        return int(typed)
    return typed.strip()


def as_line(text: str) -> str:
    """A text in one line."""
    return " ".join(text.split())


def _from_lines(field: Field, typed: str, old: Value) -> Value:
    items: list[str] = []
    for line in typed.split("\n"):
        if not line.strip():
            continue
        if line[:1].isspace() and items:
            items[-1] += "\n" + line.strip()
        else:
            items.append(line.strip())
    before = old if isinstance(old, list) else [old] if old is not None else []
    shape = SHAPES.get(field.key)
    if shape is not None:
        kept: dict[str, list[Value]] = {}
        for each in before:
            kept.setdefault(_bare(item_line(shape, each)), []).append(each)
        made: list[Value] = [kept[item].pop(0) if kept.get(item) else item_of(shape, item) for item in items]
    else:
        same = {_bare(each): each for each in before}
        made = [same.get(item, item) for item in items]
    if not made:
        return None
    single = len(made) == 1 and not isinstance(old, list)
    if field.sort == TEXTS and single and (old is not None or len(str(made[0])) > 60):
        return made[0]
    return made


def _bare(value: Value) -> str:
    return "\n".join(line.strip() for line in str(value).rstrip("\n").split("\n"))


def _from_pairs(field: Field, typed: str, old: Value) -> Value:
    pairs: dict[str, Value] = {}
    for line in typed.split("\n"):
        key, _, rest = line.strip().partition(" ")
        key = key.rstrip(":")
        if key:
            was = value_at(old, (key,))
            same = field.key == "hold" and shown(was) == rest.strip()
            pairs[key] = was if same else _piece(rest, was) if field.key == "pieces" else rest.strip()
    return pairs or None


def _piece(rest: str, old: Value) -> Value:
    """A piece with what it is part of as typed, and everything else that was said of it as it was."""
    inside = rest.strip().removeprefix("in ").strip()
    known = dict(old) if isinstance(old, dict) else {}
    if inside:
        return {**known, "in": inside}
    known.pop("in", None)
    return known


def value_at(values: Value, path: Path) -> Value:
    """What stands at a way within what holds the keys; None where nothing does."""
    for part in path:
        if isinstance(values, dict) and isinstance(part, str):
            values = values.get(part)
        elif isinstance(values, list) and isinstance(part, int) and 0 <= part < len(values):
            values = values[part]
        else:
            return None
    return values


def names_of(value: Value) -> list[str]:
    """The texts of a list; a single text counts as a list of one."""
    if isinstance(value, list):
        return [str(each) for each in value]
    return [] if value is None else [str(value)]
