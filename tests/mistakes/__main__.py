"""Print how much of the bench is noticed: ``python -m tests.mistakes [FILE …] [-v]``."""

from __future__ import annotations

import sys
from collections import Counter

from tests.mistakes.changing import bare, changed, read_plan
from tests.mistakes.judging import FILES, as_rows, cases, findings, lines_of, news, noticed, sound


def main(argv: list[str]) -> int:
    """Print the table; every miss and every false alarm by name."""
    files = [each for each in argv if not each.startswith("-")] or [*FILES]
    total: Counter[str] = Counter()
    caught: Counter[tuple[str, bool]] = Counter()
    missed = []
    for case in cases():
        if case.file not in files:
            continue
        total[case.file] += 1
        for alone, wanted in ((False, case.finds), (True, case.kinds)):
            found = news(case, alone)
            if noticed(found, wanted):
                caught[case.file, alone] += 1
            else:
                seen = ", ".join(" ".join(row) for row in sorted(found)[:4]) or "nothing"
                missed.append(
                    f"{'by kinds' if alone else 'annotated'}  {case.plan}: {case.says} [{case.change}] {seen}"
                )
    for line in missed:
        print(line)
    alarms = 0
    variations = list(lines_of("sound"))
    for plan in sorted({case.plan for case in cases()} | {each[0] for each in variations}):
        for alone in (False, True):
            for row in sorted(sound(plan, alone)):
                print(f"{'by kinds' if alone else 'annotated'}  {plan} as it stands: {' '.join(row)}")
    for plan, change, says, *_ in variations:
        for alone in (False, True):
            made = changed(read_plan(plan), change)
            extra = as_rows(findings(bare(made) if alone else made)) - sound(plan, alone)
            alarms += bool(extra)
            if extra:
                print(f"ALARM {'by kinds' if alone else 'annotated'}  {plan}: {says}: {sorted(extra)[:4]}")
    print(f"\n{'file':<10}{'mistakes':>9}{'annotated':>12}{'kinds alone':>13}")
    for name in [*files, "all"]:
        many = total.total() if name == "all" else total[name]
        counts = [
            sum(n for (file, a), n in caught.items() if a == alone and name in (file, "all")) for alone in (False, True)
        ]
        print(f"{name:<10}{many:>9}" + "".join(f"{n:>6} {n / max(many, 1):>5.1%}" for n in counts))
    print(f"sound variations: {len(variations)}, alarmed: {alarms} of {2 * len(variations)}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
