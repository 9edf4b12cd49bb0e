"""Reading a build from texts in memory, with the reader's own parts, so that an edit is judged before it is written.

The same functions in the same order as for the files on the disk: what is accepted here is accepted there. Only
what has changed since the last reading is parsed again.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePath
from typing import NamedTuple

from planner.files.build.kinds import shipped_kinds
from planner.files.build.numbers import NumbersFile, read_numbers
from planner.files.build.reading import Reading, Tree, failed, join_trees
from planner.files.editing.spots import Texts, episode_paths
from planner.files.yaml.collecting import resting
from planner.files.yaml.tree import Node, Problem, Problems, decode, parse
from planner.plan.model import Kind


class _Parsed(NamedTuple):
    text: str
    root: Node | None
    problems: tuple[Problem, ...]


class TextReader:
    """Reads the texts of one build, again and again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.kinds: Mapping[str, Kind] | None = None
        self._parsed: dict[str, _Parsed] = {}

    def read(self, texts: Texts) -> Reading:
        """The build that texts say, or every problem with them."""
        with resting():
            return self._read(texts)

    def _root(self, path: str, texts: Texts, problems: Problems) -> Node | None:
        text = texts[path]
        known = self._parsed.get(path)
        if known is None or known.text != text:
            own = Problems()
            body = decode(text.encode("utf-8", "surrogatepass"), path, own)
            root = None if body is None else parse(body, path, own)
            known = self._parsed[path] = _Parsed(text, root, tuple(own.found))
        for problem in known.problems:
            problems.add(*problem)
        return known.root

    def _read(self, texts: Texts) -> Reading:
        problems = Problems()
        path, numbers_path = str(self.folder / "build.yaml"), str(self.folder / "numbers.yaml")
        for gone in self._parsed.keys() - texts.keys():
            self._parsed.pop(gone, None)  # an editor may be trying a value at the same time
        if path not in texts:
            problems.add(path, 1, 1, "there is no build.yaml; a build needs one")
            return failed(problems)
        root = self._root(path, texts, problems)
        trees, complete = self._episodes(texts, problems)
        if root is None:
            return failed(problems)
        if self.kinds is None:
            self.kinds = shipped_kinds()
        return join_trees(
            self.folder,
            root,
            trees,
            complete,
            lambda sides: self._numbers(numbers_path, texts, sides, problems),
            problems,
            self.kinds,
        )

    def _episodes(self, texts: Texts, problems: Problems) -> tuple[list[Tree], bool]:
        trees: list[Tree] = []
        complete = True
        paths = episode_paths(texts)
        for path in paths:
            digits = PurePath(path).name.partition("-")[0]
            root = self._root(path, texts, problems)
            if root is None or not digits.isdigit():
                complete = False
            else:
                trees.append(Tree(path, int(digits), root))
        if not paths:
            home = str(self.folder / "episodes")
            problems.add(home, 1, 1, "there is no episode yet; add a file such as 01-start.yaml")
        return trees, complete

    def _numbers(self, path: str, texts: Texts, sides: tuple[str, ...], problems: Problems) -> NumbersFile | None:
        if path not in texts:
            return None
        root = self._root(path, texts, problems)
        if root is None or not sides:
            return None
        before = len(problems.found)
        found = read_numbers(Path(path), root, sides, problems)
        return found if len(problems.found) == before else None
