"""The bench's figures are floors: what is noticed today is never lost unseen, and nothing sound is alarmed."""

from __future__ import annotations

import pytest

from tests.mistakes.changing import bare, changed, read_plan
from tests.mistakes.judging import as_rows, cases, findings, lines_of, news, noticed, sound

#: Per file, the least share noticed with annotations and by the kinds alone, as measured.
FLOORS = {
    "first": (0.95, 0.94),
    "second": (0.98, 0.95),
    "unseen": (0.91, 0.91),
    "builds": (0.98, 0.92),
    "later": (0.94, 0.94),
    "fresh": (0.93, 0.83),
    "last": (0.96, 0.83),
    "newer": (0.96, 0.81),
    "newest": (1.0, 0.87),
    "blind": (0.97, 0.75),
}


@pytest.mark.parametrize("alone", [False, True], ids=["annotated", "kinds-alone"])
@pytest.mark.parametrize("file", FLOORS)
def test_at_least_as_many_are_noticed_as_were(file: str, alone: bool) -> None:
    """Each mistake by the finding that it must bring."""
    of_file = [case for case in cases() if case.file == file]
    seen = [bool(noticed(news(case, alone), case.kinds if alone else case.finds)) for case in of_file]
    assert sum(seen) / len(seen) >= FLOORS[file][alone]


@pytest.mark.parametrize("alone", [False, True], ids=["annotated", "kinds-alone"])
def test_sound_variations_stay_quiet(alone: bool) -> None:
    """What a good shop also does brings nothing new."""
    alarms = []
    for plan, change, says, *_ in lines_of("sound"):
        made = changed(read_plan(plan), change)
        if as_rows(findings(bare(made) if alone else made)) - sound(plan, alone):
            alarms.append(says)
    assert alarms == []
