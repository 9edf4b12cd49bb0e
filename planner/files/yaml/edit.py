"""Edits of the text of one plan file: a text and what to change in, a new text out.

Only what the edit is about is touched. Everything else stays byte for byte: comments, order, quotes, blank
lines, line breaks and the byte-order mark (``editing_comments`` says which comments are whose). New text is
written as the file is (``editing_style``). Every new text is read again before it is handed out, and must say
exactly what was meant; an edit that cannot be made so is refused with EditError, and nothing is changed.

Two things beside the place of an edit may change, because YAML leaves no other way: a last line without a line
break gets one when something is put behind it, and the ``|`` or ``>`` of a text in that line then says ``-``
where it must to mean the same.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from difflib import SequenceMatcher

from planner.files.layout import MAX_BYTES
from planner.files.yaml import block as editing_block
from planner.files.yaml import flow as editing_flow
from planner.files.yaml import put as editing_put
from planner.files.yaml import values as editing_values
from planner.files.yaml.block import Splice
from planner.files.yaml.clips import Clip, copy, edit, paste
from planner.files.yaml.places import BOM, Branch, Doc, EditError, Leaf, Path, Value, parse, value_of
from planner.files.yaml.scalars import inline
from planner.files.yaml.style import key_text, style_of
from planner.files.yaml.values import frozen, same


def get(text: str, path: Path = ()) -> Value:
    """What stands at a path; None where there is nothing. Not to be changed: it is kept for the next edit."""
    found = parse(text).value
    for part in path:
        if isinstance(part, str):
            found = found.get(part) if isinstance(found, dict) else None
        else:
            found = found[part] if isinstance(found, list) and 0 <= part < len(found) else None
    return found


def set_value(text: str, path: Path, value: Value, order: Sequence[str] = ()) -> str:
    """A text with a value at a path.

    A key that is not there is added, behind the last of the keys that come before it in ``order``. Of lists and
    mappings only what differs is changed.
    """
    wanted = editing_values.put(get(text), path, value)
    return _proved(text, wanted, lambda body, plain: _set(body, path, value, order, plain))


def remove(text: str, path: Path) -> str:
    """A text without the key or item at a path, and without the comments that are its own."""
    wanted = editing_values.drop(get(text), path)
    return _proved(text, wanted, lambda body, _: _remove(body, path))


def insert(text: str, path: Path, index: int, *values: Value) -> str:
    """A text with one or more items in the list at a path, before that at index."""
    wanted = get(text)
    for offset, value in enumerate(values):
        wanted = editing_values.insert(wanted, path, index + offset, value)
    return _proved(text, wanted, lambda body, plain: _insert(body, path, index, values, plain))


def set_scalars(text: str, values: Mapping[Path, str]) -> str:
    """A text with several plain texts changed at once, each in the quotes that it had."""
    wanted = get(text)
    for path, value in values.items():
        editing_values.look(wanted, path)
        wanted = editing_values.put(wanted, path, value)

    def make(body: str, plain: bool) -> str:
        doc = parse(body)
        seats = [(editing_put.seat_of(doc, path), value) for path, value in values.items()]
        return edit(body, lambda _: [splice for at, value in seats for splice in editing_put.put(at, value, plain)])

    return _proved(text, wanted, make)


def rename_key(text: str, path: Path, name: str) -> str:
    """A text with a key under another name, in its place."""
    old = get(text, path[:-1])
    last = path[-1]
    if not isinstance(old, dict) or last not in old:
        raise EditError(f"there is no key {last} in this file")
    if name in old:
        raise EditError(f"there is a key {name} already; choose another name")
    renamed: Value = {name if key == last else key: value for key, value in old.items()}
    wanted = editing_values.put(get(text), path[:-1], renamed)

    def splices(doc: Doc) -> list[Splice]:
        branch, index = doc.chain(path)[-1]
        key = branch.entries[index].key
        if key is None:
            return []
        style = style_of(doc)
        fresh = inline(name, branch.flow, key.style, style.quote) if key.style else key_text(name, style, branch.flow)
        return [Splice(key.start, key.end, fresh)]

    return _proved(text, wanted, lambda body, _: edit(body, splices))


def proved(wanted: Value, made: str) -> str:
    """A new text once it has been read again. Raises EditError where it does not say what is wanted."""
    if len(made) * 4 > MAX_BYTES and len(made.encode("utf-8")) > MAX_BYTES:
        raise EditError(f"the file would be larger than {MAX_BYTES:,} bytes, which is the most; split it")
    try:
        right = same(get(made), wanted)
    except EditError:
        right = False
    if not right:
        raise EditError("this place of the file is written in a way that cannot be edited here; edit the file itself")
    return made


def _proved(text: str, wanted: Value, make: Callable[[str, bool], str]) -> str:
    """Make an edit, with texts of several lines as blocks or, where that would not do, in quotes."""
    bom = BOM if text.startswith(BOM) else ""
    body = text[len(bom) :]
    try:
        return bom + proved(wanted, make(body, False))
    except EditError:
        return bom + proved(wanted, make(body, True))


def _set(text: str, path: Path, value: Value, order: Sequence[str], plain: bool) -> str:
    doc = parse(text)
    node = doc.find(path)
    if node is None:
        return _add(text, path, value, order, plain)
    old = value_of(node)
    if same(old, value):
        return text
    if isinstance(node, Branch) and not node.bare:
        if isinstance(old, dict) and old and isinstance(value, dict) and value:
            return _merge(text, path, old, value, order or tuple(value), plain)
        if isinstance(old, list) and old and isinstance(value, list) and value:
            return _align(text, path, old, value, plain)
        if not path:
            raise EditError("the file as a whole cannot be replaced")
        if not value and isinstance(value, (dict, list)) and not node.flow and node.keyed == isinstance(value, dict):
            return edit(text, lambda doc: editing_block.clear(doc, doc.branch(path), "{}" if node.keyed else "[]"))
    return edit(text, lambda doc: editing_put.put(editing_put.seat_of(doc, path), value, plain))


def _merge(
    text: str, path: Path, old: dict[str, Value], value: dict[str, Value], order: Sequence[str], plain: bool
) -> str:
    for key, each in value.items():
        text = _set(text, (*path, key), each, order, plain)
    for key in old:
        if key not in value:
            text = _remove(text, (*path, key))
    return text


def _align(text: str, path: Path, old: list[Value], value: list[Value], plain: bool) -> str:
    """Change only the items of a list that differ, from the last to the first."""
    matcher = SequenceMatcher(None, [frozen(each) for each in old], [frozen(each) for each in value], False)
    for _, low, high, first, last in reversed(matcher.get_opcodes()):
        both = min(high - low, last - first)
        text = _insert(text, path, low + both, value[first + both : last], plain)
        for at in reversed(range(low + both, high)):
            text = _remove(text, (*path, at))
        for offset in reversed(range(both)):
            text = _set(text, (*path, low + offset), value[first + offset], (), plain)
    return text


def _add(text: str, path: Path, value: Value, order: Sequence[str], plain: bool) -> str:
    """Add a key that is not there."""
    name = path[-1]
    around = parse(text).find(path[:-1])
    if not isinstance(name, str):
        raise EditError(f"there is no item {name + 1} in this list")
    if around is None:
        return _add(text, path[:-1], {name: value}, (), plain)
    if isinstance(around, Leaf) or (not around.entries and "#" not in text[around.start : around.end]):
        if around.start != around.end and isinstance(around, Leaf) and value_of(around) is not None:
            raise EditError(f"{name}: cannot be written where there are no keys")
        return _set(text, path[:-1], {name: value}, (), plain)
    keys = [entry.name for entry in around.entries]
    at = place_for(name, keys, order)
    return edit(text, lambda doc: editing_put.add_key(doc, path, at, value, plain))


def place_for(name: str, keys: Sequence[str], order: Sequence[str]) -> int:
    """Where a key goes among others: behind the last that comes before it in order."""
    ranks = {key: rank for rank, key in enumerate(order)}
    mine = ranks.get(name)
    if mine is None:
        return len(keys)
    before = [at for at, key in enumerate(keys) if key in ranks and ranks[key] < mine]
    if before:
        return before[-1] + 1
    return 0 if any(key in ranks for key in keys) else len(keys)


def _remove(text: str, path: Path) -> str:
    def splices(doc: Doc) -> list[Splice]:
        branch, index = doc.chain(path)[-1]
        return editing_flow.remove(doc, branch, index) if branch.flow else editing_block.remove(doc, branch, index)

    return edit(text, splices)


def _insert(text: str, path: Path, index: int, values: Sequence[Value], plain: bool) -> str:
    around = parse(text).find(path)
    if not values:
        return text
    if not isinstance(around, Branch) or (not around.entries and "#" not in text[around.start : around.end]):
        return _set(text, path, list(values), (), plain)
    return edit(text, lambda doc: editing_put.add_items(doc, path, index, values, plain))


def duplicate(text: str, path: Path, index: int) -> str:
    """A text with an item of the list at a path a second time, behind itself."""
    return paste_item(text, path, index + 1, copy(text, path, index))


def paste_item(text: str, path: Path, index: int, clip: Clip) -> str:
    """A text with a copied item in the list at a path, before that at index."""
    wanted = editing_values.insert(get(text), path, index, clip.value)
    bom = BOM if text.startswith(BOM) else ""
    return bom + proved(wanted, edit(text[len(bom) :], lambda doc: paste(doc, path, index, clip)))


def move(text: str, path: Path, index: int, to: Path, to_index: int) -> str:
    """A text with an item moved to ``to_index`` in the list at ``to``, as that list will be.

    ``to`` is the list's path in the present text. Raises EditError for a move into itself.
    """
    if path == to and index == to_index:
        return text
    part = len(path)
    if to[:part] == path and len(to) > part:
        inside = to[part]
        if inside == index:
            raise EditError("it cannot be moved into itself")
        if isinstance(inside, int) and inside > index:
            to = (*path, inside - 1, *to[part + 1 :])
    clip = copy(text, path, index)
    return paste_item(remove(text, (*path, index)), to, to_index, clip)
