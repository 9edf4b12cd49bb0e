"""What must be so of any build with kinds and pieces, made by chance and changed in one respect."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.oracle.trade import Piece, Trade, as_text, make, write
from tests.support import commandline

SEEDS = range(7000, 7025)
Row = tuple[str, str, str | None, str | None]


def rows(trade: Trade, folder: Path) -> set[Row]:
    """Every finding with all its operations, apart from what each of them is told with."""
    _, data = commandline.run_json("check", str(write(trade, folder)), "--no-repairs")
    assert "problems" not in data, f"{data}\n{as_text(trade)}"
    return {
        (found["rule"], at, found["condition"], found["cause"])
        for found in data["findings"]
        for at in (found["at"], *found["also"])
    }


@pytest.mark.parametrize("within", [False, True], ids=["by-itself", "in-another"])
def test_a_piece_that_no_step_names_changes_nothing(tmp_path: Path, within: bool) -> None:
    for seed in SEEDS:
        trade = make(seed)
        inside = next((name for name, each in trade.pieces.items() if each.sides is None), None) if within else None
        more = replace(trade, pieces={**trade.pieces, "spare": Piece(inside)})
        assert rows(more, tmp_path / f"{seed}-more") == rows(trade, tmp_path / str(seed)), as_text(more)


def test_splitting_a_piece_into_parts_loses_no_finding_about_the_whole(tmp_path: Path) -> None:
    for seed in SEEDS:
        trade = make(seed)
        name = [*(name for name, each in trade.pieces.items() if not each.made_of)][-1]  # the first never is
        parts = {f"{name}-{part}": Piece(name) for part in ("top", "foot")}
        split = replace(trade, pieces={**trade.pieces, **parts})
        assert rows(split, tmp_path / f"{seed}-split") >= rows(trade, tmp_path / str(seed)), as_text(split)


def test_without_debts_all_else_is_found_as_before(tmp_path: Path) -> None:
    owing = 0
    for seed in SEEDS:
        trade = make(seed)
        free = replace(trade, words={name: replace(each, owed=None) for name, each in trade.words.items()})
        found = rows(trade, tmp_path / str(seed))
        other = {row for row in found if row[0] not in ("left-open", "no-piece") and not row[1].startswith("(end")}
        owing += len(other) < len(found)
        assert rows(free, tmp_path / f"{seed}-free") == other, as_text(trade)
    assert owing > 3
