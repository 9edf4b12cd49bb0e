"""Edits of lists and mappings in brackets, as pieces to cut out of a text and to put in.

The text inside the brackets keeps its layout: items in a row stay in a row, one a line stays one a line, a
comma after the last item stays where there was one.
"""

from __future__ import annotations

from planner.files.yaml.block import Splice
from planner.files.yaml.places import Branch, Doc, EditError, Entry


def remove(doc: Doc, branch: Branch, index: int) -> list[Splice]:
    """Take out an item or key with its comma and the comments that are its own."""
    refuse_bare(branch)
    entries = branch.entries
    entry = entries[index]
    if len(entries) == 1 and not _other_comments(doc, branch):
        return [Splice(branch.start, branch.end, "{}" if branch.keyed else "[]")]
    before = entries[index - 1] if index else None
    after = entries[index + 1] if index + 1 < len(entries) else None
    line = doc.line(entry.end)
    if after is not None and doc.line(after.start) == line:
        return [Splice(entry.start, after.start, "")]
    if before is not None and doc.line(before.end) == doc.line(entry.start):
        return [Splice(before.end, entry.end, "")]
    if _owns_line(doc, branch, entry, after):
        return _lines_out(doc, branch, index)
    if after is None and before is not None and "#" not in doc.text[before.end : entry.start]:
        return [Splice(before.end, entry.end, "")]
    return _pieces_out(doc, entry, before, after)


def _owns_line(doc: Doc, branch: Branch, entry: Entry, after: Entry | None) -> bool:
    """Whether the lines of an entry hold nothing else but its comma."""
    if not doc.is_first(entry.start):
        return False
    line = doc.line(entry.end)
    if after is None:
        return doc.line(branch.end - 1) > line and (entry.comma < 0 or doc.line(entry.comma) == line)
    return doc.line(entry.comma) == line


def _other_comments(doc: Doc, branch: Branch) -> bool:
    """Whether the brackets around one entry hold comments that are not its own."""
    entry = branch.entries[0]
    end = max(entry.end, entry.comma + 1)
    if doc.line(branch.end - 1) > doc.line(end):
        end = doc.line_end(end)
    return (
        "#"
        in doc.text[branch.start : _top(doc, branch, 0) if doc.is_first(entry.start) else entry.start]
        + (doc.text[end : branch.end])
    )


def _lines_out(doc: Doc, branch: Branch, index: int) -> list[Splice]:
    entry = branch.entries[index]
    out = [Splice(_top(doc, branch, index), doc.next_line(entry.end), "")]
    if entry.comma < 0 and index > 0:  # the last, without a comma: the one before it needs none now
        comma = branch.entries[index - 1].comma
        out.append(Splice(comma, comma + 1, ""))
    return out


def _pieces_out(doc: Doc, entry: Entry, before: Entry | None, after: Entry | None) -> list[Splice]:
    """Take out an entry that shares its line with brackets or a comma in front."""
    text = doc.text
    comma = entry.comma if entry.comma >= 0 else before.comma if before is not None else -1
    out = [Splice(comma, comma + 1, "")] if comma >= 0 else []
    end = entry.end
    if after is not None and entry.comma >= 0 and doc.line(entry.comma) == doc.line(entry.end):
        end = doc.line_end(entry.end)  # with the comment behind it
        if not text[doc.next_line(end) : after.start].strip(" "):
            end = after.start
        return [Splice(entry.start, end, "")]
    return [*out, Splice(entry.start, end, "")]


def insert(doc: Doc, branch: Branch, index: int, text: str, newline: str, loose: bool = False) -> list[Splice]:
    """Put an item or key in before that at index."""
    refuse_bare(branch)
    entries = branch.entries
    if not entries:
        return _first(doc, branch, text, loose)
    if index < len(entries):
        entry = entries[index]
        if not doc.is_first(entry.start):
            return [Splice(entry.start, entry.start, f"{text}, ")]
        top = _top(doc, branch, index)
        indent = doc.text[doc.line_start(entry.start) : entry.start]
        return [Splice(top, top, f"{indent}{text},{newline}")]
    last = entries[-1]
    own_line = len(doc.text[doc.line_start(last.start) : last.start]) if doc.is_first(last.start) else -1
    if last.comma >= 0:
        return _behind_comma(doc, branch, last, text, newline, own_line)
    if own_line < 0:
        return [Splice(last.end, last.end, f", {text}")]
    if doc.line(branch.end - 1) == doc.line(last.end):
        return [Splice(last.end, last.end, f",{newline}{' ' * own_line}{text}")]
    at = doc.next_line(last.end)
    return [Splice(last.end, last.end, ","), Splice(at, at, f"{' ' * own_line}{text}{newline}")]


def _behind_comma(doc: Doc, branch: Branch, last: Entry, text: str, newline: str, own_line: int) -> list[Splice]:
    """Put an entry behind a last one that has a comma, and give it one too."""
    at = last.comma + 1
    if own_line < 0:
        return [Splice(at, at, f" {text},")]
    if doc.line(branch.end - 1) == doc.line(last.comma):
        return [Splice(at, at, f"{newline}{' ' * own_line}{text},")]
    at = doc.next_line(last.comma)
    return [Splice(at, at, f"{' ' * own_line}{text},{newline}")]


def _first(doc: Doc, branch: Branch, text: str, loose: bool) -> list[Splice]:
    inner = doc.text[branch.start + 1 : branch.end - 1]
    if inner.strip():  # a comment
        return [Splice(branch.start + 1, branch.start + 1, text + ("" if inner[0] in " \t\r\n" else " "))]
    pad = " " if loose else ""
    return [Splice(branch.start + 1, branch.end - 1, f"{pad}{text}{pad}")]


def _top(doc: Doc, branch: Branch, index: int) -> int:
    """Where the first comment line directly above an entry begins, or its own line."""
    floor = branch.start
    if index > 0:
        before = branch.entries[index - 1]
        floor = max(before.end, before.comma)
    line, stop = doc.line(branch.entries[index].start), doc.line(floor)
    while line - 1 > stop and doc.comment(line - 1) >= 0:
        line -= 1
    return doc.starts[line]


def own_comments(doc: Doc, branch: Branch, index: int) -> list[str]:
    """The comments of an entry outside its own text, without their indentation."""
    entry = branch.entries[index]
    line = doc.line(entry.end)
    found = doc.text[_top(doc, branch, index) : doc.line_start(entry.start)] if doc.is_first(entry.start) else ""
    after = branch.entries[index + 1] if index + 1 < len(branch.entries) else None
    alone = doc.line(branch.end - 1) > line and (after is None or doc.line(after.start) > line)
    behind = entry.comma + 1 if entry.comma >= 0 and doc.line(entry.comma) == line else entry.end
    rest = doc.text[behind : doc.line_end(entry.end)].strip(" \t") if alone and doc.is_first(entry.start) else ""
    return [*(each.strip() for each in found.splitlines()), *([rest] if rest.startswith("#") else [])]


def refuse_bare(branch: Branch) -> None:
    """Raises EditError for a pair without braces: [a: b]."""
    if branch.bare:
        raise EditError("a pair of key and value stands in a list without braces here; put braces around it first")
