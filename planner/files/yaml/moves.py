"""Moving and doubling items of lists, as they are written."""

from __future__ import annotations

from planner.files.yaml import values as editing_values
from planner.files.yaml.clips import Clip, copy, edit, paste
from planner.files.yaml.edit import get, proved, remove
from planner.files.yaml.places import BOM, EditError, Path


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
