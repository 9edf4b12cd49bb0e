"""How a file is written, and new text written the same way.

What is looked at: line breaks, how far keys and dashes are indented, the usual quotes, space inside brackets,
and whether lists and mappings stand in brackets or one entry a line: first as under the same key elsewhere in
the file, then as most do.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from planner.files.yaml.places import Branch, Doc, Leaf, Node, Value
from planner.files.yaml.scalars import inline, text_block

_WIDE = 100  # a list in brackets that would be longer is written one item a line


class Style(NamedTuple):
    """The habits of one file."""

    newline: str = "\n"
    indent: int = 2  # of a mapping, from the key it stands under
    dash: int = 2  # of a list's dashes, from the key it stands under
    gap: int = 1  # spaces after a dash
    quote: str = '"'
    loose_list: bool = False  # [ a, b ]
    loose_map: bool = False  # { a: b }
    all_quoted: bool = False  # every key and text in double quotes
    blocks: Mapping[tuple[str, str], bool] = {}  # (what, key) -> whether it is written as a block

    def block(self, *asked: tuple[str, str], default: bool) -> bool:
        """Whether to write something as a block: as the first that is known."""
        for each in asked:
            if each in self.blocks:
                return self.blocks[each]
        return default


def style_of(doc: Doc) -> Style:
    """The habits of a file."""
    seen: Counter[tuple[object, ...]] = Counter()
    for node, key, parent in _walk(doc.root, "", ""):
        if isinstance(node, Leaf):
            seen["quote", node.style] += 1
        else:
            _look(doc, node, key, parent, seen)
    windows = doc.text.count("\r\n")

    def most(what: str, default: int) -> int:
        found = [(count, value) for (name, value, *_), count in seen.items() if name == what]
        return max(found)[1] if found else default  # type: ignore[return-value]

    blocks: dict[tuple[str, str], bool] = {}
    for name, _, under in [each for each in seen if len(each) == 3]:
        as_block, in_brackets = seen[name, True, under], seen[name, False, under]
        if as_block != in_brackets:
            blocks[str(name), str(under)] = as_block > in_brackets
    keys, quoted_keys = seen["key", "plain"], seen["key", '"']
    return Style(
        "\r\n" if windows * 2 > doc.text.count("\n") else "\n",
        most("indent", 2),
        most("dash", 2),
        most("gap", 1),
        "'" if seen["quote", "'"] > seen["quote", '"'] else '"',
        seen["loose list", True] > seen["loose list", False],
        seen["loose map", True] > seen["loose map", False],
        quoted_keys > 1 and not keys,
        blocks,
    )


def _walk(node: Node, key: str, parent: str) -> Iterator[tuple[Node, str, str]]:
    """Every value with the key it stands under, and the key that the mapping or list around it stands under."""
    yield node, key, parent
    if isinstance(node, Branch):
        for entry in node.entries:
            yield from _walk(entry.node, entry.name if node.keyed else "", key)


def _look(doc: Doc, node: Branch, key: str, parent: str, seen: Counter[tuple[object, ...]]) -> None:
    what = "map" if node.keyed else "list"
    if node.keyed:
        for entry in node.entries:
            seen["key", "plain" if entry.key is None or not entry.key.style else entry.key.style] += 1
    if not node.entries:
        return
    seen[what, not node.flow, key] += 1
    if not key:
        seen[f"{what} in", not node.flow, parent] += 1
    else:
        seen[f"{what} value of", not node.flow, parent] += 1
    if not node.keyed and not any(isinstance(entry.node, Branch) for entry in node.entries):
        seen["list of words", not node.flow, ""] += 1
    if node.flow:
        if not node.bare:
            seen["loose " + what, doc.text[node.start + 1] == " "] += 1
        return
    if key:
        line = doc.line(node.floor)
        begin = doc.starts[line]
        text = doc.text[begin : node.floor]
        column = len(text) - len(text.lstrip(" -"))
        seen["indent" if node.keyed else "dash", node.column - column] += 1
    if not node.keyed:
        for entry in node.entries:
            inner = entry.node.start
            if doc.line(inner) == doc.line(entry.start) and inner > entry.start + 1:
                seen["gap", inner - entry.start - 1] += 1


def brackets(value: Value, style: Style) -> str:
    """A value as it stands inside brackets or on one line."""
    if isinstance(value, dict):
        pad = " " if style.loose_map and value else ""
        inner = ", ".join(f"{key_text(key, style, True)}: {brackets(each, style)}" for key, each in value.items())
        return f"{{{pad}{inner}{pad}}}"
    if isinstance(value, list):
        pad = " " if style.loose_list and value else ""
        return f"[{pad}{', '.join(brackets(each, style) for each in value)}{pad}]"
    return inline(value, True, '"' if style.all_quoted else "", style.quote)


def key_text(key: str, style: Style, inside: bool = False) -> str:
    """A key, without its colon."""
    return inline(key, inside, '"' if style.all_quoted else "", style.quote)


def one_line(value: Value, style: Style) -> str:
    """A value behind a colon or dash, on one line."""
    if isinstance(value, (dict, list)):
        return brackets(value, style)
    return inline(value, False, '"' if style.all_quoted else "", style.quote)


def key_lines(name: str, value: Value, column: int, style: Style, parent: str, plain: bool = False) -> list[str]:
    """A key with its value, in lines with their indentation; ``parent`` is the key that its mapping is under.

    ``plain``: texts of several lines in quotes, never as a block.
    """
    head = " " * column + key_text(name, style) + ":"
    below = lines_below(value, column, style, name, parent, plain)
    if below is None:
        return [f"{head} {one_line(value, style)}"]
    return [head + below[0], *below[1:]]


def item_lines(value: Value, column: int, style: Style, key: str, block: bool | None, plain: bool = False) -> list[str]:
    """An item with its dash, in lines with their indentation; ``key`` is the key that its list is under."""
    dash = " " * column + "-" + " " * style.gap
    inner = column + 1 + style.gap
    if isinstance(value, dict) and value:
        if block is None:
            block = style.block(("map in", key), default=True)
        if block:
            lines = map_lines(value, inner, style, key, plain)
            return [dash + lines[0][inner:], *lines[1:]]
    if isinstance(value, str) and not plain and not style.all_quoted:
        below = _text_lines(value, column + max(style.indent, 1 + style.gap), "|")
        if below:
            return [dash + below[0], *below[1:]]
    return [dash + one_line(value, style)]


def map_lines(value: Mapping[str, Value], column: int, style: Style, key: str, plain: bool = False) -> list[str]:
    """A mapping, one key a line."""
    return [line for name, each in value.items() for line in key_lines(name, each, column, style, key, plain)]


def lines_below(
    value: Value, column: int, style: Style, name: str, parent: str, plain: bool = False
) -> list[str] | None:
    """What follows the colon of a key at ``column`` where it takes more lines than one; None where it does not."""
    if isinstance(value, dict) and value:
        flat = not any(isinstance(each, (dict, list)) and each for each in value.values())
        fits = flat and column + len(name) + 2 + len(brackets(value, style)) <= _WIDE
        if not style.block(("map", name), ("map value of", parent), default=not fits):
            return None
        return ["", *map_lines(value, column + style.indent, style, name, plain)]
    if isinstance(value, list) and value:
        words = not any(isinstance(each, (dict, list)) for each in value)
        wide = column + len(name) + 2 + len(brackets(value, style)) > _WIDE
        asked = [("list", name), ("list of words", "")] if words and not wide else [("list", name)]
        if not style.block(*asked, default=not words or wide):
            return None
        at = column + style.dash
        return ["", *(line for each in value for line in item_lines(each, at, style, name, None, plain))]
    if isinstance(value, str) and not plain and not style.all_quoted:
        lines = _text_lines(value, column + style.indent, "|")
        if lines:
            return [" " + lines[0], *lines[1:]]
    return None


def _text_lines(value: str, column: int, kind: str) -> list[str] | None:
    """A text of several lines as a block scalar, its header first."""
    if "\n" not in value:
        return None
    made = text_block(value, kind)
    if made is None:
        return None
    return [made[0], *indented(made[1], column)]


def indented(lines: list[str], column: int) -> list[str]:
    """Lines pushed in; empty ones stay empty."""
    return [" " * column + line if line else "" for line in lines]
