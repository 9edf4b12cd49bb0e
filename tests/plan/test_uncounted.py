"""A finding names the work that was done too early to prove anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.demos.kindplans import judged, write_build

HOT = """bright clean joint
pins hold joint
tacks tack joint
string check-tacks joint
run fillet-weld joint
watch fire-watch housing sides: once
straight check housing sides: once
cold cool housing sides: once
look inspect housing sides: once
"""


def says(folder: Path, lines: str, word: str) -> list[str]:
    found = judged(write_build(folder, lines))["findings"]
    return [each["says"] for each in found if word in (each["condition"] or "")]


def test_a_check_made_hot_is_named_by_the_finding_that_follows(tmp_path: Path) -> None:
    """Common practice, no source: hot steel is not where it will be when it is cold."""
    told = says(tmp_path / "hot", HOT + "sign sign-off housing sides: once", "checked")
    assert told
    assert all("straight did not count" in each and "cold since the last heat" in each for each in told)
    assert all("Do straight when that holds" in each for each in told)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (("straight check housing sides: once\ncold cool", "cold cool"), False),  # no check at all
        (("straight check", "bend bend"), False),  # other work proves nothing either, and never would
    ],
)
def test_nothing_is_named_that_would_not_have_counted(change: tuple[str, str], named: bool, tmp_path: Path) -> None:
    told = says(tmp_path / "other", HOT.replace(*change) + "sign sign-off housing sides: once", "checked")
    assert told
    assert all(("did not count" in each) is named for each in told)


def test_one_made_cold_counts_and_one_that_was_undone_again_is_not_named(tmp_path: Path) -> None:
    """The check was good until the straightening; it is the straightening that is named."""
    cold = HOT.replace("straight check housing sides: once\ncold", "cold").replace(
        "look", "straight check housing sides: once\nlook"
    )
    assert not says(tmp_path / "cold", cold + "sign sign-off housing sides: once", "checked")
    pulled = cold + "pull straighten housing sides: once\nsign sign-off housing sides: once"
    told = says(tmp_path / "pulled", pulled, "checked")
    assert told
    assert all("did not count" not in each and "pull" in each for each in told)


def test_a_debt_of_it_names_it_too(tmp_path: Path) -> None:
    told = says(tmp_path / "debt", HOT, "checked")
    assert told
    assert all("straight did not count" in each for each in told)


@pytest.mark.parametrize(
    ("lines", "word", "advice", "never"),
    [
        (  # a fit-up uses the lines up; it is no way to keep them
            "size mark joint\nbright clean joint\noffer fit-up joint\npins hold joint\ntacks tack joint",
            "lines-kept",
            "kind punch",
            "offer",
        ),
        (
            "bright clean joint\npins hold joint\ntacks tack joint\nhot weld joint",
            "trued",
            "kind check",
            "tacks brings",
        ),
    ],
)
def test_the_advice_is_work_done_for_that_word(lines: str, word: str, advice: str, never: str, tmp_path: Path) -> None:
    told = says(tmp_path / "advice", lines, word)
    assert told
    assert all(advice in each and never not in each for each in told), told
