"""What a plan file says, by the reader of the product and not by its editor."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from planner.files.yaml.tree import MapNode, Node, Problems, SeqNode, decode, parse, scalar


def read(text: str) -> Any:
    """The values of a text; fails when reading would tell a problem."""
    problems = Problems()
    body = decode(text.encode("utf-8"), "here", problems)
    tree = parse(body, "here", problems) if body is not None else None
    assert not problems.found, (problems.found, text)
    assert tree is not None
    return _plain(tree)


def _plain(node: Node) -> Any:
    if isinstance(node, MapNode):
        return {key: _plain(value) for key, (_, value) in node.items.items()}
    if isinstance(node, SeqNode):
        return [_plain(each) for each in node.items]
    return scalar(node)


def texts_of(folder: Path) -> dict[str, str]:
    """Every plan file of a build, by path."""
    files = [*folder.glob("*.yaml"), *sorted((folder / "episodes").glob("*.yaml"))]
    return {str(file): file.read_bytes().decode("utf-8") for file in files}
