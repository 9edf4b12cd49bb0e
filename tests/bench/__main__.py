"""All benchmarks: ``python -m tests.bench``; against another checkout: ``python -m tests.bench --against PATH``."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module
from pathlib import Path

from tests.bench.against import compare, modules_of


def main() -> int:
    """Run every module of this folder whose name begins with ``bench_``, alone or beside another checkout's."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument(
        "--against", type=Path, metavar="PATH", help="another checkout, measured in turns with this one"
    )
    parser.add_argument("--rounds", type=int, default=3, help="with --against: how often each is run (3)")
    parser.add_argument("--only", nargs="+", default=[], metavar="NAME", help="core, numbers, app, writing")
    asked = parser.parse_args()
    if asked.against:
        return compare(asked.against.resolve(), asked.rounds, asked.only)
    sys.argv[1:] = []  # the modules read their own options
    names = sorted(modules_of(Path(__file__).resolve().parents[2]))
    wanted = [name for name in names if not asked.only or name.removeprefix("bench_") in asked.only]
    return max((import_module(f"tests.bench.{name}").main() for name in wanted), default=0)


if __name__ == "__main__":
    sys.exit(main())
