"""The docstring of every calculator says what its declaration says, and its worked example runs."""

from __future__ import annotations

import doctest
import re
from importlib import import_module
from pathlib import Path

import pytest

from planner.numbers import calculator as core
from planner.numbers import clock, inputs, keys, lengths, quantity, registry, showing, tally, together, units, verdict
from planner.numbers.calculators import keepouts, opposed, preheating, tacking
from planner.numbers.registry import CALCULATORS, calculator
from planner.numbers.units import KINDS
from tests.numbers.write_keys import TABLE, table

SECTIONS = ("Formula", "Source")
README = Path(__file__).parents[2] / "README.md"


def sections(doc: str) -> dict[str, str]:
    """The parts of a docstring by heading."""
    found: dict[str, list[str]] = {}
    here = ""
    for line in doc.splitlines():
        if line.strip() in SECTIONS and line.startswith("    ") and not line.startswith("     "):
            here = line.strip()
        elif line.startswith("    >>>"):
            here = ""
        if here:
            found.setdefault(here, []).append(line)
    return {name: "\n".join(lines[1:]) for name, lines in found.items()}


@pytest.mark.parametrize("name", CALCULATORS)
def test_the_docstring_says_formula_and_source(name: str) -> None:
    """What is taken and yielded stands in the declaration alone, and help tells it from there."""
    found = calculator(name)
    parts = sections(found.compute.__doc__ or "")
    assert set(parts) == set(SECTIONS), f"{name} lacks {set(SECTIONS) - set(parts)}"
    assert len(parts["Formula"].split()) > 2
    assert len(parts["Source"].split()) > 0


@pytest.mark.parametrize("name", CALCULATORS)
def test_the_declaration_is_whole(name: str) -> None:
    """Keys are words, each once; every measured input has a range; what is taken exists and comes before."""
    found = calculator(name)
    assert found.name == name
    keys = [each.key for each in found.inputs]
    assert len(keys) == len(set(keys))
    outputs = [each.key for each in found.outputs]
    assert len(outputs) == len(set(outputs))
    order = list(CALCULATORS)
    for each in found.inputs:
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", each.key)
        assert each.kind == "text" or each.kind in KINDS
        assert each.doc
        if each.kind != "text":
            assert each.low is not None, each.key
            assert each.high is not None, each.key
            assert each.low < each.high
        if each.taken is not None:
            other, _, output = each.taken.partition(".")
            assert order.index(other) < order.index(name), each.taken
            assert output in {one.key for one in calculator(other).outputs}, each.taken
    for one in found.outputs:
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", one.key)
        assert one.doc


def test_the_table_of_keys_is_written_from_the_declarations() -> None:
    """What a file of numbers is judged by is what the calculators take and yield, in the same order."""
    assert TABLE.read_text(encoding="utf-8") == table(), "run python -m tests.numbers.write_keys"


@pytest.mark.parametrize("name", CALCULATORS)
def test_worked_examples_run(name: str) -> None:
    """At least one, and right."""
    found = calculator(name)
    tests = doctest.DocTestFinder(recurse=False).find(found.compute, name)
    assert sum(len(test.examples) for test in tests) >= 1
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS)
    for test in tests:
        runner.run(test)
    assert runner.failures == 0


CORE = (
    clock, core, inputs, keepouts, keys, lengths, opposed, preheating, quantity, registry, showing, tacking, tally,
    together, units, verdict,
)  # fmt: skip


@pytest.mark.parametrize("module", [*(each.__name__ for each in CORE), "planner.plan.fill"])
def test_examples_of_the_core_run(module: str) -> None:
    """Those of the modules that calculators are built on."""
    result = doctest.testmod(import_module(module), optionflags=doctest.ELLIPSIS)
    assert result.failed == 0


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_line_of_working_names_its_source(name: str) -> None:
    """The source in the code: no call of give or work has an empty one."""
    module = import_module(calculator(name).compute.__module__)
    text = open(module.__file__ or "", encoding="utf-8").read()  # noqa: SIM115, PTH123
    assert "sheet.give(" in text
    assert not re.search(r"sheet\.(give|work)\([^)]*\"\"\s*[,)]", text)


def test_the_readme_names_every_calculator() -> None:
    table = README.read_text(encoding="utf-8").split("| of | calculators |")[1].split("\n\n")[0]
    assert sorted(re.findall(r"`(\w+)`", table)) == sorted(CALCULATORS)
