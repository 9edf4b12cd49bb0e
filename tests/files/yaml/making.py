"""Random YAML files in many hands, with a record of which bytes belong to which item or key.

The editor has no part in it: the maker notes where things stand while it writes them, by the rule for comments.
"""

from __future__ import annotations

from random import Random
from typing import Any, NamedTuple

from tests.files.yaml.pools import NOTES, ODD, PLAIN, WORDS


class Entry(NamedTuple):
    """What the maker knows of one item or key. Offsets into the text."""

    flow: bool
    gap: int  # where the blank lines directly above begin
    start: int  # of its own comments above, or of itself
    head: int  # of its dash or key, or of its text in brackets
    mark: int  # behind its dash or colon
    column: int  # of its dash or key
    value: int  # of its value
    value_end: int
    line: int  # end of the line that its value ends in, with its comment, before the break
    end: int  # behind everything that is its own, break included
    shares: bool  # begins in the line of a dash
    kind: str  # empty, word, text (a block scalar), brackets, block


class Made(NamedTuple):
    """A text, what it says and where."""

    text: str
    value: Any
    entries: dict[tuple[str | int, ...], Entry]
    lists: list[tuple[str | int, ...]]
    maps: list[tuple[str | int, ...]]
    bom: str


def make(random: Random) -> Made:
    """One file."""
    return _Maker(random).file()


class _Maker:
    def __init__(self, random: Random) -> None:
        self.random = random
        self.out: list[str] = []
        self.size = 0
        self.line_begin = 0
        self.nl = random.choice(("\n", "\n", "\r\n"))
        self.indent = random.choice((2, 2, 4, 3))
        self.dash = random.choice((0, 2, 4))
        self.gap = random.choice((1, 1, 1, 3))
        self.notes = random.choice((0.0, 0.1, 0.3))
        self.blanks = random.choice((0.0, 0.1, 0.4))
        self.flows = random.choice((0.1, 0.4))
        self.mixed = random.random() < 0.3  # habits change within the file
        self.room: int | None = None  # comments in this column or further would be part of a text just written
        self.kept = False  # blank lines would be part of a text just written
        self.entries: dict[tuple[str | int, ...], Entry] = {}
        self.lists: list[tuple[str | int, ...]] = []
        self.maps: list[tuple[str | int, ...]] = []

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def emit(self, text: str) -> None:
        self.out.append(text)
        self.size += len(text)

    def newline(self) -> None:
        self.emit(self.nl)
        self.line_begin = self.size
        self.kept = False

    def column(self) -> int:
        return self.size - self.line_begin

    def note(self, column: int) -> None:
        self.emit(" " * column + self.random.choice(NOTES))
        self.newline()

    def blank(self, column: int) -> None:
        self.emit(" " * self.random.choice((0, 0, 0, column)))
        self.newline()

    def file(self) -> Made:
        random = self.random
        bom = "\ufeff" if self.chance(0.15) else ""
        for _ in range(random.choice((0, 0, 1, 2))):
            if self.chance(0.3):
                self.blank(0)
            self.note(0)
        if self.chance(0.1):
            self.emit("---")
            self.newline()
        value = self.block_map((), 0, False, 0)
        for _ in range(random.choice((0, 0, 0, 1))):
            if self.chance(0.3) and not self.kept:
                self.blank(0)
            self.note(0)
        text = "".join(self.out)
        if self.chance(0.25) and not self.kept:
            text = text.removesuffix(self.nl)
            self.entries = {path: _cut(each, len(text)) for path, each in self.entries.items()}
            value = _unclosed(value, text)
        return Made(text, value, self.entries, self.lists, self.maps, bom)

    def above(self, column: int, first: bool) -> tuple[int, int]:
        """Blank lines, comments that stand by themselves, blank lines and own comments above an entry."""
        if not self.kept and self.chance(self.blanks):
            self.blank(column)
        if not self.kept and self.chance(self.notes * 0.5):
            for _ in range(self.random.choice((1, 2))):
                self.note(self.random.randrange(column + 1))
            self.blank(0)
        gap = self.size
        while gap > 0 and not self.kept and self.previous_blank(gap):
            gap -= len(self.last_line(gap))
        start = self.size
        if self.chance(self.notes):
            self.note(self.random.choice((column, column, 0)))
            if self.chance(0.3):
                self.note(column + self.random.randrange(3))
        return gap, start

    def last_line(self, end: int) -> str:
        text = "".join(self.out)[:end]
        return text.splitlines(keepends=True)[-1] if text else ""

    def previous_blank(self, end: int) -> bool:
        line = self.last_line(end)
        return line.endswith("\n") and not line.strip()

    def below(self, column: int) -> None:
        """Comments that belong to an entry in ``column`` by their indentation."""
        if not self.chance(self.notes * 0.5):
            return
        deep = column + 1 + self.random.randrange(3)
        if self.room is not None:
            deep = min(deep, self.room - 1)
        if deep <= column:
            return
        before = self.size
        if self.chance(0.3) and not self.kept:
            self.blank(0)
        self.note(deep)
        for path, each in self.entries.items():  # those inside that end here and are indented less have it too
            if each.end == before and not each.flow and each.column < deep:
                self.entries[path] = each._replace(end=self.size)

    def block_map(self, path: tuple[str | int, ...], column: int, shared: bool, depth: int) -> dict[str, Any]:
        self.maps.append(path)
        count = self.random.randrange(1, 6 if depth else 8)
        out: dict[str, Any] = {}
        for index, key in enumerate(self.random.sample(WORDS, count)):
            here = (*path, key)
            shares = shared and index == 0
            gap = start = self.size
            if not shares:
                gap, start = self.above(column, index == 0)
                self.emit(" " * column)
                if index == 0 and not path:
                    start = gap = self.line_begin  # comments above the first key are the file's
            head = self.size
            self.emit(self.random.choice((key, key, key, f"'{key}'", f'"{key}"')))
            self.emit(" :" if self.chance(0.03) else ":")
            out[key] = self.value(here, column, depth, (gap, start, head), shares, False)
        return out

    def block_list(self, path: tuple[str | int, ...], column: int, shared: bool, depth: int) -> list[Any]:
        self.lists.append(path)
        out: list[Any] = []
        for index in range(self.random.randrange(1, 6)):
            here = (*path, index)
            shares = shared and index == 0
            gap = start = self.size
            if not shares:
                gap, start = self.above(column, index == 0)
                self.emit(" " * column)
            head = self.size
            self.emit("-")
            out.append(self.value(here, column, depth, (gap, start, head), shares, True))
        return out

    def value(
        self,
        here: tuple[str | int, ...],
        column: int,
        depth: int,
        begun: tuple[int, int, int],
        shares: bool,
        item: bool,
    ) -> Any:
        random = self.random
        if self.mixed:
            self.indent = random.choice((2, 2, 4, 3))
            self.dash = random.choice((0, 2, 4))
            self.gap = random.choice((1, 1, 1, 3))
        roll = random.random()
        self.room = None
        floor = self.size
        space = " " * (self.gap if item else 1 if self.chance(0.9) else 3)
        value: Any
        if roll < 0.36 and depth < 4:
            kind = "block"
            keyed = self.chance(0.6) if item else self.chance(0.4)
            same_line = item and self.chance(0.85)
            if same_line:
                self.emit(" " * self.gap)
                inner = self.column()
            else:
                self.trail()
                self.newline()
                extra = self.indent if keyed else (self.dash if not item else max(self.dash, 1))
                inner = column + extra
            made = self.block_map if keyed else self.block_list
            value = made(here, inner, same_line, depth + 1)
            start = floor
            end = line = self.size
            self.below(column)
        elif roll < 0.36 + 0.2 * self.flows * 2:
            kind = "brackets"
            self.emit(space)
            start = self.size
            value = self.brackets(here, column, depth)
            end, line = self.end_line()
            self.below(column)
        elif roll < 0.62:
            kind = "text"
            self.emit(space)
            start = self.size
            value = self.text_block(column)
            line = end = self.size - len(self.nl)
            self.below(column)
        elif roll < 0.68:
            kind = "empty"
            start, value = floor, None
            end, line = self.end_line()
            self.below(column)
        else:
            kind = "word"
            self.emit(space)
            if not item and self.chance(0.04):
                self.newline()
                self.emit(" " * (column + 2))
            start = self.size
            value = self.word(False, column)
            end, line = self.end_line()
            self.below(column)
        self.entries[here] = Entry(False, *begun, floor, column, start, end, line, self.size, shares, kind)
        return value

    def end_line(self) -> tuple[int, int]:
        end = self.size
        self.trail()
        line = self.size
        self.newline()
        return end, line

    def trail(self) -> None:
        if self.chance(0.05):
            self.emit("  ")
        if self.chance(self.notes):
            self.emit(" " * self.random.choice((1, 2, 5)) + self.random.choice(NOTES))

    def word(self, inside: bool, column: int) -> Any:
        """A scalar on one line, or in quotes over two."""
        random = self.random
        roll = random.random()
        if roll < 0.15:
            value = random.choice((1, 0, -3, 2.5, True, False, None))
            self.emit(random.choice(("null", "~")) if value is None else repr(value).lower())
            return value
        if roll < 0.6:
            text = random.choice(PLAIN)
            if inside and set(text) & set(",[]{}?:"):
                text = "word"
            self.emit(text)
            return text
        if roll < 0.68:
            pad = self.nl + " " * (column + 1 + random.randrange(4))
            style = random.choice(("", '"', "'"))
            self.emit(f"{style}two words{pad}and two more{style}")
            self.line_begin = self.size - len("and two more" + style) - (len(pad) - len(self.nl))
            return "two words and two more"
        text = random.choice(ODD + PLAIN)
        if roll < 0.85 and "\t" not in text:
            self.emit("'" + text.replace("'", "''") + "'")
        else:
            escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t")
            self.emit(f'"{escaped}"')
        return text

    def text_block(self, column: int) -> str:
        """A block scalar of simple lines."""
        random = self.random
        folded = self.chance(0.3)
        chomp = random.choice(("", "-", "+"))
        width = random.choice((1, 2, 2, 4))
        explicit = self.chance(0.1)
        lines = random.choice((["some text"], ["some text", "more: of # it"], ["one", "", "three"], ["- a", "'b'"]))
        if folded:
            lines = random.choice((["one line"], ["one", "two"], ["one", "", "two"]))
        self.emit((">" if folded else "|") + (str(width) if explicit else "") + chomp)
        self.trail()
        self.newline()
        for line in lines:
            self.emit(" " * (column + width) + line if line else "")
            self.newline()
        value = "\n".join(lines)
        if folded:
            value = " ".join(lines).replace("  ", "\n")
        self.room = column + width
        if chomp == "-":
            return value
        value += "\n"
        if chomp == "+":
            for _ in range(random.randrange(3)):
                self.newline()
                value += "\n"
            self.kept = True
        return value

    def brackets(self, here: tuple[str | int, ...], column: int, depth: int) -> Any:
        """A list or mapping in brackets: in a row, or one entry a line, with comments."""
        random = self.random
        keyed = self.chance(0.4)
        (self.maps if keyed else self.lists).append(here)
        lines = self.chance(0.3) and depth < 3
        pad = " " if self.chance(0.2) else ""
        count = random.randrange(5)
        deep = column + 1 + random.randrange(4)
        self.emit(("{" if keyed else "[") + (pad if not lines else ""))
        if lines:
            self.trail()
            self.newline()
        value: Any = {} if keyed else []
        for index, key in enumerate(random.sample(WORDS, count)):
            start = self.size
            if lines:
                if self.chance(self.notes):
                    self.note(deep)
                self.emit(" " * deep)
            head = self.size
            if keyed:
                self.emit(key + ": ")
            at = self.size
            path = (*here, key if keyed else index)
            if depth < 3 and self.chance(0.15):
                each, kind = self.brackets(path, deep, depth + 2), "brackets"
            else:
                each, kind = self.word(True, deep), "word"
            end = self.size
            if keyed:
                value[key] = each
            else:
                value.append(each)
            last = index == count - 1
            if not last or (lines and self.chance(0.5)):
                self.emit(",")
            if lines:
                self.trail()
            line = self.size
            if lines:
                self.newline()
            elif not last:
                self.emit(" ")
            self.entries[path] = Entry(True, start, start, head, at, deep, at, end, line, self.size, not lines, kind)
        if lines:
            self.emit(" " * (column + 1))
        elif count:
            self.emit(pad)
        self.emit("}" if keyed else "]")
        return value


def _cut(entry: Entry, size: int) -> Entry:
    return Entry(*(min(each, size) if type(each) is int else each for each in entry))  # type: ignore[arg-type]


def _unclosed(value: Any, text: str) -> Any:
    """What a file says once the break at its end is gone: a text that ended with it ends without."""
    from tests.files.yaml.reading import read

    said = read(text)
    return said if _alike(value, said) else value


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, dict):
        return isinstance(other, dict) and one.keys() == other.keys() and all(_alike(one[k], other[k]) for k in one)
    if isinstance(one, list):
        return isinstance(other, list) and len(one) == len(other) and all(map(_alike, one, other))
    if isinstance(one, str) and isinstance(other, str):
        return one in (other, other + "\n")
    return type(one) is type(other) and one == other
