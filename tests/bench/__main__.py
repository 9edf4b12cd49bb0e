"""All benchmarks: ``python -m tests.bench``."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path


def main() -> int:
    """Run every module of this folder whose name begins with ``bench_``."""
    codes = [
        import_module(f"tests.bench.{path.stem}").main() for path in sorted(Path(__file__).parent.glob("bench_*.py"))
    ]
    return max(codes, default=0)


if __name__ == "__main__":
    sys.exit(main())
