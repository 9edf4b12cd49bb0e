"""Calendars of random jobs are allowed, by a judge that shares no code with the booking."""

from __future__ import annotations

import random
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.plan.calendar.booking import Booker
from planner.plan.calendar.bounds import bound_of
from planner.plan.calendar.search import find_calendar
from planner.plan.calendar.values import GONE, Closing, Cost, Job, NeverFitsError, Shift, Task, TooShortError
from tests.oracle.schedule import faults


def week_shifts(weeks: int, *, desk: bool = True, crossing: bool = False, helper: bool = False) -> list[Shift]:
    """Two evenings and a Saturday, an evening at the desk; ``crossing``: the desk is open while the shop is."""
    found = []
    for week in range(weeks):
        base = week * 7 * 1440
        for day in (1, 3):
            evening = base + day * 1440 + 18 * 60
            found.append(Shift(evening, evening + 180, "shop", ((evening + 60, evening + 180),) if helper else None))
        saturday = base + 5 * 1440
        found.append(Shift(saturday + 510, saturday + 720, "shop", () if helper else None))
        found.append(
            Shift(saturday + 780, saturday + 1020, "shop", ((saturday + 780, saturday + 1020),) if helper else None)
        )
        if desk:
            start = base + (3 if crossing else 2) * 1440 + 19 * 60
            found.append(Shift(start, start + 120, "desk"))
    return sorted(found)


def random_job(chance: random.Random, size: int) -> Job:
    """A job with waits, splits, debts and publish dates."""
    tasks, before = [], []
    for index in range(size):
        opens = frozenset({"spark"}) if chance.random() < 0.2 else frozenset[str]()
        closes = frozenset({"spark"}) if not opens and chance.random() < 0.15 else frozenset[str]()
        tasks.append(
            Task(
                f"t{index}",
                chance.choice([0, 5, 10, 20, 45, 90, 200, 400]) if not opens else chance.choice([10, 30, 60, 200]),
                "desk" if chance.random() < 0.2 else "shop",
                False,
                index * 3 // size + 1,
                chance.choice([None, "vice", "cradle"]),
                helped=chance.random() < 0.1,
                release=chance.choice([0, 0, 0, 4000]),
                opens=opens,
                closes=closes,
            )
        )
        if tasks[-1].minutes <= 90 and chance.random() < 0.4:
            tasks[-1] = tasks[-1]._replace(whole=True)
        ahead = {chance.randrange(max(0, index - 8), index) for _ in range(chance.randrange(3))} if index else set()
        before.append(tuple((each, chance.choice([0, 0, 30, 600, 10000])) for each in sorted(ahead)))
    due = {episode: episode * size * 300 for episode in (1, 2, 3)}
    return Job(tuple(tasks), tuple(before), due, {"spark": Closing("watch", 45)}, None, chance.choice([0, 1500, 9000]))


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 25), st.booleans(), st.booleans(), st.booleans())
def test_no_calendar_is_refused_by_the_judge(seed: int, size: int, desk: bool, crossing: bool, helper: bool) -> None:
    chance = random.Random(seed)
    job = random_job(chance, size)
    job = job._replace(standing=frozenset({"spark"} if chance.random() < 0.4 else ()))
    shifts = [s for s in week_shifts(120, desk=desk, crossing=crossing, helper=helper) if s.end > job.start]
    shifts = [s._replace(start=max(s.start, job.start)) for s in shifts]
    try:
        booked = find_calendar(job, shifts, tries=60)
    except NeverFitsError:
        return
    assert faults(job, shifts, booked.parts) == []
    assert booked.cost <= Booker(job, shifts).booked(range(size)).cost
    assert all(least <= got for least, got in zip(bound_of(Booker(job, shifts)).least, booked.cost, strict=True))
    ends = {part.name: part.end for part in booked.parts}
    late = sum(
        max(0, max(ends[t.name] for t in job.tasks if t.episode == episode) - due)
        for episode, due in job.due.items()
        if any(t.episode == episode for t in job.tasks)
    )
    assert (booked.cost.late, booked.cost.finish) == (late, max(*(ends[t.name] for t in job.tasks), job.start))


def one(minutes: int, *, whole: bool = True, opens: frozenset[str] = frozenset()) -> Job:
    return Job((Task("weld", minutes, "shop", whole, 1, opens=opens),), ((),))


EVENINGS = [Shift(100, 280, "shop"), Shift(1540, 1720, "shop"), Shift(2980, 3160, "shop")]


def spans(job: Job, shifts: list[Shift] = EVENINGS) -> list[tuple[str, int, int]]:
    return [part[:3] for part in find_calendar(job, shifts).parts]


def test_work_in_one_go_waits_for_a_shift_that_holds_it() -> None:
    job = Job((Task("saw", 60, "shop", True, 1), Task("weld", 150, "shop", True, 1)), ((), ((0, 0),)))
    assert spans(job) == [("saw", 100, 160), ("weld", 1540, 1690)]


def test_other_work_is_split_at_the_end_of_a_shift_and_goes_on_first() -> None:
    assert spans(one(200, whole=False)) == [("weld", 100, 280), ("weld", 1540, 1560)]


def test_no_part_is_shorter_than_a_quarter_of_an_hour() -> None:
    """185 minutes would leave 5 for the next evening: it starts later, so that 15 are left."""
    assert spans(one(185, whole=False)) == [("weld", 110, 280), ("weld", 1540, 1555)]
    with pytest.raises(NeverFitsError):
        find_calendar(one(25, whole=False), [Shift(0, 20, "shop"), Shift(100, 120, "shop")])


def test_what_stands_open_already_is_closed_in_the_first_shift() -> None:
    owed = one(150)._replace(closing={"w": Closing("watch", 60)}, standing=frozenset({"w"}), start=20)
    assert spans(owed) == [("(watch)", 100, 160), ("weld", 1540, 1690)]
    assert spans(owed, EVENINGS[1:]) == [("(watch)", 1540, 1600), ("weld", 2980, 3130)]
    short = [Shift(0, 50, "shop"), *EVENINGS]  # too short for the watch
    assert spans(owed, short) == [("weld", 100, 250)]


def test_planned_work_closes_what_stands_open_already() -> None:
    tasks = (Task("weld", 150, "shop", True, 1), Task("watch", 60, "shop", True, 1, closes=frozenset({"w"})))
    job = Job(tasks, ((), ()), closing={"w": Closing("watch", 60)}, standing=frozenset({"w"}))
    assert spans(job) == [("watch", 100, 160), ("weld", 1540, 1690)]


def test_what_may_not_stay_open_is_closed_before_the_shift_ends() -> None:
    job = one(100, opens=frozenset({"w"}))._replace(closing={"w": Closing("watch", 60)})
    assert spans(job) == [("weld", 100, 200), ("(watch)", 200, 260)]
    with pytest.raises(NeverFitsError) as caught:
        find_calendar(one(130, opens=frozenset({"w"}))._replace(closing={"w": Closing("watch", 60)}), EVENINGS)
    assert (caught.value.needed, caught.value.longest) == (190, 120)


def test_the_planned_watch_closes_it_and_none_is_booked_twice() -> None:
    weld = Task("weld", 60, "shop", True, 1, opens=frozenset({"w"}))
    watch = Task("watch", 60, "shop", True, 1, closes=frozenset({"w"}))
    job = Job((weld, watch), ((), ((0, 0),)), closing={"w": Closing("watch", 60)})
    assert spans(job) == [("weld", 100, 160), ("watch", 160, 220)]


def test_split_work_that_opens_something_ends_each_evening_with_closing_it() -> None:
    job = one(200, whole=False, opens=frozenset({"w"}))._replace(closing={"w": Closing("watch", 60)})
    assert spans(job) == [("weld", 100, 220), ("(watch)", 220, 280), ("weld", 1540, 1620), ("(watch)", 1620, 1680)]


def test_waits_run_through_nights_and_other_work_fills_them() -> None:
    tasks = (Task("a", 30, "shop", True, 1), Task("b", 30, "shop", True, 1), Task("c", 30, "shop", True, 1))
    assert spans(Job(tasks, ((), ((0, 1500),), ((0, 0),)))) == [("a", 100, 130), ("c", 130, 160), ("b", 1630, 1660)]


def test_shifts_that_end_too_early_are_told() -> None:
    with pytest.raises(TooShortError):
        find_calendar(Job((Task("a", 30, "shop", True, 1),) * 2, ((), ((0, 99999),))), EVENINGS)


def test_stopping_gives_the_best_so_far() -> None:
    job = random_job(random.Random(4), 40)
    job = job._replace(tasks=tuple(task._replace(helped=False) for task in job.tasks))
    shifts = week_shifts(200)
    booked = find_calendar(job, shifts, stop=lambda: True)
    assert faults(job, shifts, booked.parts) == []


def test_what_does_not_last_is_done_right_before_it_is_needed() -> None:
    """Cleaned metal lasts an hour; what is welded on it comes by post in a day, so the cleaning waits for it."""
    clean = Task("clean", 30, "shop", True, 1)
    order, weld = Task("order", 10, "shop", True, 1), Task("weld", 60, "shop", True, 1)
    job = Job((clean, order, weld), ((), (), ((0, 0), (1, 1440))), lasting={0: ((2, 60),)})
    assert spans(job._replace(lasting={})) == [("order", 100, 110), ("clean", 110, 140), ("weld", 1550, 1610)]
    assert spans(job) == [("order", 100, 110), ("clean", 1540, 1570), ("weld", 1570, 1630)]


def test_work_is_put_off_to_the_shift_that_holds_what_relies_on_it() -> None:
    """Twenty minutes before the shift ends it is too late to begin: the weld after it would come two days later."""
    saw = Task("saw", 160, "shop", True, 1)
    clean, weld = Task("clean", 20, "shop", True, 1), Task("weld", 60, "shop", True, 1)
    job = Job((saw, clean, weld), ((), ((0, 0),), ((1, 0),)), lasting={1: ((2, 60),)})
    assert spans(job) == [("saw", 100, 260), ("clean", 1540, 1560), ("weld", 1560, 1620)]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), st.integers(2, 14))
def test_whatever_begins_too_late_is_counted(seed: int, size: int) -> None:
    chance = random.Random(seed)
    job = random_job(chance, size)
    job = job._replace(tasks=tuple(task._replace(helped=False, minutes=min(task.minutes, 90)) for task in job.tasks))
    lasting: dict[int, list[tuple[int, int]]] = {}
    for taker, before in enumerate(job.before):
        for giver, lag in before:
            if chance.random() < 0.5:
                lasting.setdefault(giver, []).append((taker, lag + chance.choice([0, 60, 3000])))
    job = job._replace(due={}, lasting={giver: tuple(takers) for giver, takers in lasting.items()})
    shifts = [s._replace(start=max(s.start, job.start)) for s in week_shifts(150) if s.end > job.start]
    booked = find_calendar(job, shifts, tries=60)
    assert faults(job, shifts, booked.parts) == []
    gone = sum(
        booked.starts[taker] > booked.ends[giver] + most
        for giver, takers in job.lasting.items()
        for taker, most in takers
    )
    assert booked.cost.late == gone * GONE
    assert bound_of(Booker(job, shifts)).least <= booked.cost


def test_a_bound_that_is_reached_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three episodes of one task each fill the evenings without a gap: the shortest first is the best, and proved."""
    tasks = tuple([Task(f"t{i}", minutes, "shop", True, i) for i, minutes in enumerate((170, 90, 90))])
    job = Job(tasks, ((), (), ()), {0: 0, 1: 0, 2: 0})
    booker = Booker(job, EVENINGS)
    best = min(booker.booked(order).cost for order in permutations(range(3)))
    assert bound_of(booker).least == best == Cost(190 + 280 + 1710, 1710, 0)
    monkeypatch.setattr("planner.plan.calendar.search._improve", lambda *_: pytest.fail("it is proved already"))
    assert find_calendar(job, EVENINGS).cost == best
