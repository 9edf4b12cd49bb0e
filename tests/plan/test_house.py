"""The house has no circle: the graph of all imports, those for types and those inside functions counted.

The contracts in pyproject.toml look at rooms; this looks at single modules, with another tool (networkx's strongly
connected components, on grimp's graph).
"""

from __future__ import annotations

import re
from pathlib import Path

import grimp
import networkx as nx
import pytest


@pytest.fixture(scope="module")
def graph() -> nx.DiGraph[str]:
    """Which module imports which."""
    found = grimp.build_graph("planner", cache_dir=None)
    made: nx.DiGraph[str] = nx.DiGraph()
    for module in found.modules:
        made.add_edges_from((module, other) for other in found.find_modules_directly_imported_by(module))
    return made


def test_no_module_imports_itself_by_any_road(graph: nx.DiGraph[str]) -> None:
    circles = [sorted(each) for each in nx.strongly_connected_components(graph) if len(each) > 1]
    assert circles == []


def test_the_graph_sees_imports_for_types_and_in_functions(graph: nx.DiGraph[str]) -> None:
    """Else the test above would be blind to what made the circle of 34 modules that once was."""
    assert graph.has_edge("planner.app.frame.page", "planner.app.frame.host")  # for types only
    assert graph.has_edge("planner.app.screens", "planner.app.camera.screen")  # inside a function only


def test_what_the_page_for_contributors_names_is_there() -> None:
    """A map that leads to rooms which were moved is worse than none."""
    home = Path(__file__).parent.parent.parent
    named = set(re.findall(r"(?:planner|tests)/[\w/.-]*\w", (home / "DEVELOPERS.md").read_text(encoding="utf-8")))
    assert len(named) > 20
    assert [path for path in sorted(named) if not (home / path).exists()] == []


def test_no_page_keeps_the_marks_of_a_merge() -> None:
    home = Path(__file__).parent.parent.parent
    mark = re.compile(r"^(?:<{7} |>{7} )", re.MULTILINE)
    pages = [*home.glob("*.md"), home / "pyproject.toml", *(home / "planner").rglob("*.yaml")]
    assert [path.name for path in pages if mark.search(path.read_text(encoding="utf-8"))] == []


def test_one_module_steers_the_garbage_collector() -> None:
    at = re.compile(r"^\s*(?:import gc\b|from gc\b)", re.MULTILINE)
    found = [path.as_posix() for path in Path("planner").rglob("*.py") if at.search(path.read_text(encoding="utf-8"))]
    assert found == ["planner/files/yaml/collecting.py"]
