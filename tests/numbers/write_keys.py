"""Writes planner/numbers/keytable.py from the declarations: ``python -m tests.numbers.write_keys``."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from textwrap import wrap

import planner.numbers
from planner.numbers.calculator import Input, Output
from planner.numbers.registry import CALCULATORS, calculator

TABLE = Path(planner.numbers.__file__).with_name("keytable.py")
_HEAD = '''"""The keys of every calculator, written from its declaration: python -m tests.numbers.write_keys.

An @ behind a key says that it is, or may be, per side. The declarations cost the import of their calculators, which
a build that only wants its file of numbers judged does not pay.
"""

from __future__ import annotations

'''


def table() -> str:
    """The whole module as it is to be."""
    found = [calculator(name) for name in CALCULATORS]
    inputs = {each.name: each.inputs for each in found}
    outputs = {each.name: each.outputs for each in found}
    return f"{_HEAD}{_dictionary('INPUTS', inputs)}\n{_dictionary('OUTPUTS', outputs)}"


def _dictionary(name: str, rows: dict[str, tuple[Input, ...]] | dict[str, tuple[Output, ...]]) -> str:
    lines = [f"{name} = {{"]
    for key, each in rows.items():
        lines += _entry(key, [f"{one.key}{'@' if one.sided else ''}" for one in each])
    return "\n".join([*lines, "}"]) + "\n"


def _entry(name: str, keys: Iterable[str]) -> list[str]:
    text = " ".join(keys)
    if len(text) + len(name) <= 107:
        return [f'    "{name}": "{text}",']
    parts = wrap(text, 106, break_on_hyphens=False)
    return [f'    "{name}": (', *[f'        "{part} "' for part in parts[:-1]], f'        "{parts[-1]}"', "    ),"]


if __name__ == "__main__":
    TABLE.write_text(table(), encoding="utf-8")
