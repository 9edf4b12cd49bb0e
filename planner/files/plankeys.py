"""Every key of a plan: what holds it, the sort of its value, whether it must be there, what it is for, its order.

The one table: the reader takes from it which keys there are, editing the order in which they are written, the forms
their fields and their help. Below everything, since all of them need it.
"""

from __future__ import annotations

from typing import NamedTuple

# Sorts of values.
TEXT, NAME, WHOLE, DURATION, CHOICE, SWITCH = "text", "name", "whole", "duration", "choice", "switch"
REFS, AFTER, WITHOUT, SIDES, TURNS = "conditions", "after", "without", "sides", "turns"
TEXTS, LISTED, PAIRS, ENTRIES = "texts", "listed", "pairs", "entries"
PLAIN = "plain"  # written by the tool, or in a form of its own: no line in a form

# What holds keys.
STEP, STAGE, EPISODE, BUILD = "step", "stage", "episode", "build"
CONDITIONS, CONDITION, KINDS, KIND, WORDS, WORD = "conditions", "condition", "kinds", "kind", "words", "word"


class Field(NamedTuple):
    """A key: its way within what holds it, the sort of its value, and what it is for."""

    path: tuple[str, ...]
    sort: str
    says: str
    wanted: bool = False  # must be there and cannot be taken out

    @property
    def key(self) -> str:
        """The key as it is shown: the parts of its way, joined."""
        return " ".join(str(part) for part in self.path)


def _f(key: str, sort: str, says: str, wanted: bool = False) -> Field:
    return Field(tuple(key.split()), sort, says, wanted)


STEP_ROWS = (
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
    _f(
        "wait",
        DURATION,
        "what it gives holds, and its next round may start, this long after the tick; or cool-to touch",
    ),
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
STAGE_ROWS = (
    _f("stage", TEXT, "the name of the stage", True),
    _f("pace", CHOICE, "each step on all its sides, or all of it on one side and then on the next"),
    _f("rounds", WHOLE, "how often its whole list is done, 1 to 99"),
    _f("first", CHOICE, "the side that starts"),
    _f("film", CHOICE, "the side the camera sees, all, or none"),
    _f("any-time", SWITCH, "whether its steps may be done at any time, also ahead of earlier stages"),
    _f("steps", PLAIN, "its steps, in the order of work", True),
    _f("sequence", LISTED, "its operations outright, one a line, in the order of work"),
)
EPISODE_ROWS = (
    _f("format", PLAIN, "the format of the file: 1", True),
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
    _f("stages", PLAIN, "its stages, in the order of work", True),
)
BUILD_ROWS = (
    _f("format", PLAIN, "the format of the file: 1", True),
    _f("build", TEXT, "the name of the build", True),
    _f("sides", LISTED, "the sides, one to eight, one a line, in the order of work", True),
    _f("film", CHOICE, "the side the camera sees unless an episode, stage or step says otherwise"),
    _f("show lengths", CHOICE, "how lengths are shown"),
    _f("show temperature", CHOICE, "how temperatures are shown"),
    _f("shop timezone", TEXT, "the shop's time zone, such as Europe/Lisbon"),
    _f("shop hours", PAIRS, "when there are hands in the shop, one day a line: wed 19:00-22:00"),
    _f("shop desk", PAIRS, "when there is time at the desk, one day a line: sun 20:00-22:00"),
    _f("shop helper", PAIRS, "when there is a second pair of hands, one day a line: sat 08:00-12:00"),
    _f("shop away", LISTED, "days without a shift, one stretch a line: 2027-03-01..2027-03-07"),
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


def _in_forms(rows: tuple[Field, ...]) -> tuple[Field, ...]:
    return tuple(row for row in rows if row.sort != PLAIN)


#: What a form shows, in its order.
STEP_FIELDS, STAGE_FIELDS = _in_forms(STEP_ROWS), _in_forms(STAGE_ROWS)
EPISODE_FIELDS, BUILD_FIELDS = _in_forms(EPISODE_ROWS), _in_forms(BUILD_ROWS)
FIELDS = {
    STEP: STEP_FIELDS,
    STAGE: STAGE_FIELDS,
    EPISODE: EPISODE_FIELDS,
    BUILD: BUILD_FIELDS,
    CONDITION: CONDITION_FIELDS,
    KIND: KIND_FIELDS,
    WORD: WORD_FIELDS,
}


def keys_in(rows: tuple[Field, ...], within: str = "") -> tuple[str, ...]:
    """The keys in the order in which they are written, at the top or within one of them."""
    if within:
        return tuple(row.path[1] for row in rows if row.path[0] == within and len(row.path) > 1)
    return tuple(dict.fromkeys(row.path[0] for row in rows))


def wanted_in(rows: tuple[Field, ...]) -> tuple[str, ...]:
    """The keys that must be there."""
    return tuple(row.path[0] for row in rows if row.wanted)
