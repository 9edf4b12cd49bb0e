"""Two thousand builds with kinds and pieces made by chance: what fails, why, which parts are open, what is owed at
the end and which work is lopsided, as a walk in its own code says; and as a planning library's simulator says.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.oracle.trade import Trade, as_text, make, write
from tests.oracle.trading import Oracle
from tests.support import commandline

BUILDS = 2000
CHUNK = 100
NEEDS = ("never-given", "other-side", "given-later", "spoiled")
CHUNKS = [range(first, first + CHUNK) for first in range(0, BUILDS, CHUNK)]


def differences(trade: Trade, folder: Path) -> list[str]:
    """What the product says otherwise than the oracle, in words."""
    oracle = Oracle(trade)
    walked = oracle.walk()
    code, data = commandline.run_json("check", str(write(trade, folder)), "--no-repairs")
    assert "problems" not in data, f"{data}\n{as_text(trade)}"
    found: list[str] = []
    said: dict[tuple[str, str], tuple[str, str | None, list[str] | None]] = {}
    debts = set()
    for finding in data["findings"]:
        condition, names = finding["condition"], [finding["at"], *finding["also"]]
        if finding["rule"] in NEEDS:
            for name in names:
                if name.startswith("(end"):
                    debts.add((name, condition, finding["cause"]))
                else:
                    found += [f"{name} {condition} said twice"] if (name, condition) in said else []
                    parts = sorted(finding["parts"]) if name == finding["at"] else None  # those of the first
                    said[name, condition] = (finding["rule"], finding["cause"], parts)
        elif finding["rule"] == "left-open":
            debts |= {(name, condition, finding["cause"]) for name in names}
    for pair in sorted(said.keys() ^ walked.needs.keys()):
        found.append(f"{'invented' if pair in said else 'missing'}: {pair}")
    for pair, (rule, cause, parts) in said.items():
        if pair in walked.needs:
            wanted = walked.needs[pair]
            if parts is not None and parts != wanted.parts:
                found.append(f"{pair}: open parts {parts}, expected {wanted.parts}")
            if (rule, cause) not in wanted.allowed:
                found.append(f"{pair}: {rule} by {cause}, allowed {sorted(wanted.allowed, key=str)}")
    for debt in sorted(debts ^ walked.debts, key=str):
        found.append(f"{'invented' if debt in debts else 'missing'} debt: {debt}")
    ahead = {finding["at"] for finding in data["findings"] if finding["rule"] == "lopsided"}
    found += [f"lopsided {sorted(ahead)}, expected {sorted(oracle.lopsided())}"] if ahead != oracle.lopsided() else []
    traps = any(f["level"] == "trap" and not f["history"] for f in data["findings"])
    return found + ([f"exit {code} with traps {traps}"] if code != int(traps) else [])


@pytest.mark.parametrize("seeds", CHUNKS, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_kinds_and_pieces(seeds: range, tmp_path: Path) -> None:
    wrong: list[str] = []
    example = ""
    for seed in seeds:
        trade = make(seed)
        found = [f"seed {seed}: {each}" for each in differences(trade, tmp_path / str(seed))]
        example = example or (as_text(trade) if found else "")
        wrong += found
    assert not wrong, "\n".join([*wrong[:20], f"{len(wrong)} in all; the first build:", example])
