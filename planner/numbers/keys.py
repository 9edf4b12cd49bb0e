"""What every calculator takes and yields, by key alone, so that a file of numbers can be judged without loading them.

The keys stand in a table that is written from the declarations; a test tells when it is to be written again.
"""

from __future__ import annotations

from collections.abc import Iterable

from planner.numbers.keytable import INPUTS, OUTPUTS


def input_keys(name: str) -> dict[str, bool]:
    """The inputs of a calculator: key -> whether it may be given per side.

    >>> input_keys("tyre")
    {'size': False, 'rim': False, 'wheel-width': False, 'measured': False}
    """
    return _keys(INPUTS[name])


def output_keys(name: str) -> dict[str, bool]:
    """The outputs of a calculator: key -> whether it is per side.

    >>> output_keys("tyre")
    {'diameter': False, 'section': False}
    """
    return _keys(OUTPUTS[name])


def _keys(text: str) -> dict[str, bool]:
    return {word.removesuffix("@"): word.endswith("@") for word in text.split()}


def readable_names(names: Iterable[str]) -> dict[str, bool]:
    """Every number of these calculators that a reading may be, with whether it has sides; a result goes before an
    input of the same name."""
    names = tuple(names)
    found = {f"{name}.{key}": sided for name in names if name in INPUTS for key, sided in input_keys(name).items()}
    return found | known_names(names)


def known_names(names: Iterable[str]) -> dict[str, bool]:
    """Every number that these calculators yield, as steps name it, with whether it has sides."""
    return {f"{name}.{key}": sided for name in names if name in OUTPUTS for key, sided in output_keys(name).items()}
