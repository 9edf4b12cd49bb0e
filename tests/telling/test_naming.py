"""Numbers called by words."""

from __future__ import annotations

import doctest

from planner.numbers.keytable import OUTPUTS
from planner.telling import naming


def test_every_number_has_words_and_no_sign_of_a_formula() -> None:
    """No dotted name, no symbol such as x1 or H', nothing after a semicolon: for every output of every calculator."""
    for section, keys in OUTPUTS.items():
        for key in keys.replace("@", "").split():
            words = naming.words_of(f"{section}.{key}")
            assert f"{section}.{key}" not in words and key.replace("-", " ") in words
            assert ";" not in words and "'," not in words and "x1" not in words, words


def test_the_examples_are_true() -> None:
    assert doctest.testmod(naming).failed == 0 < doctest.testmod(naming).attempted
