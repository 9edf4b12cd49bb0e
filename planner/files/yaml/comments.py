"""Which comments and blank lines belong to which item or key.

The rule, for an item or key of a block list or mapping, whose dash or key stands in a certain column:

* A comment behind it on its last line, or on any of its lines, is its own.
* Comment lines directly above it, with no blank line between, are its own. The first item or key of a list or
  mapping has those down from the key above; the first key of a file has none: they are the file's.
* Comment lines below it that are indented further than its column are its own, with the blank lines between
  (somebody wrote them inside it, or put one of its keys out of use). So a comment line that could be either
  goes by its indentation.
* The first key of an item shares the line of the dash: what stands above that line is the item's.
* Every other comment stands by itself and stays where it is.
* The blank lines directly above an item or key part it from the one before and go when it goes; of the first,
  those directly below. New items are parted as those beside them are.
* Blank lines below a text that keeps them (``|+``) are part of that text. Those that an edit would bring to
  stand below such a text go.

In brackets: comment lines directly above an item that begins its line, and the comment behind it when no other
item is in that line.
"""

from __future__ import annotations

from typing import NamedTuple

from planner.files.yaml.places import Branch, Doc, Leaf, Node


class Region(NamedTuple):
    """What belongs to one item or key of a block."""

    start: int  # of its first line; of itself where it shares that line
    end: int  # of its last line, before the break
    shares: bool  # its first line begins with something else, such as a dash
    above: int  # blank lines directly above
    below: int  # blank lines directly below


def region(doc: Doc, branch: Branch, index: int) -> Region:
    """What belongs to an item or key of a block."""
    entry = branch.entries[index]
    last = _last_line(doc, branch, index)
    below = 0
    while last + 1 + below < doc.lines and doc.comment(last + 1 + below) == -1:
        below += 1
    end = doc.line_end(doc.starts[last])
    if not doc.is_first(entry.start):
        return Region(entry.start, end, True, 0, below)
    top = doc.line(entry.start)
    root = branch is doc.root
    floor = _last_line(doc, branch, index - 1) if index else -1 if root else doc.line(branch.floor)
    if index or not root:
        while top - 1 > floor and doc.comment(top - 1) >= 0:
            top -= 1
    above = 0
    while top - 1 - above > floor and doc.comment(top - 1 - above) == -1:
        above += 1
    return Region(doc.starts[top], end, False, above, below)


def _last_line(doc: Doc, branch: Branch, index: int) -> int:
    """The last line that belongs to an item or key."""
    line = last = doc.line(branch.entries[index].end)
    while line + 1 < doc.lines:
        line += 1
        column = doc.comment(line)
        if column > branch.column:
            last = line
        elif column != -1:
            break
    return last


def keeps_blanks(doc: Doc, branch: Branch, index: int) -> bool:
    """Whether blank lines put directly behind an item or key would become part of its text."""
    entry = branch.entries[index]
    return ends_kept(doc, entry.node) and _last_line(doc, branch, index) == doc.line(entry.end)


def ends_kept(doc: Doc, node: Node) -> bool:
    """Whether a value ends in a text that keeps the blank lines below it."""
    while isinstance(node, Branch) and not node.flow:
        node = node.entries[-1].node
    return isinstance(node, Leaf) and node.style in ("|", ">") and "+" in doc.text[node.start : node.start + 3]
