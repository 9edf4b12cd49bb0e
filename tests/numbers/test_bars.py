"""Cutting plans: against every possible plan for small lists, and against OR-tools for larger ones."""

from __future__ import annotations

import doctest
import math
import random
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.linear_solver import pywraplp
from ortools.sat.python import cp_model

from planner.numbers.calculators import barfill, barplan, cradle
from planner.numbers.calculators.barplan import fewest_bars
from tests.numbers.asking import ask, bad_numbers, refused, rows_of

Sizes = dict[int, int]


def brute_force(sizes: Sizes, bar: int) -> int:
    """The fewest bars, by trying every way to fill the bar that takes the longest piece left."""

    @cache
    def need(left: tuple[int, ...]) -> int:
        if not left:
            return 0
        return 1 + min(need(rest) for rest in fills(left[1:], bar - left[0]))

    def fills(left: tuple[int, ...], room: int) -> set[tuple[int, ...]]:
        out = {left}
        for i, size in enumerate(left):
            if size <= room and (i == 0 or left[i - 1] != size):
                before = left[:i]
                out |= {before + rest for rest in fills(left[i + 1 :], room - size)}
        return out

    return need(tuple(sorted((s for s, n in sizes.items() for _ in range(n)), reverse=True)))


def integer_programme(sizes: Sizes, bar: int, enough: int) -> int | None:
    """The fewest bars by a bin-by-bin integer programme (PyPI ortools, SCIP); None when it runs out of time."""
    solver = pywraplp.Solver.CreateSolver("SCIP")
    used = [solver.BoolVar("") for _ in range(enough)]
    take = [[solver.IntVar(0, n, "") for _ in range(enough)] for n in sizes.values()]
    for row, n in zip(take, sizes.values(), strict=True):
        solver.Add(sum(row) == n)
    for b in range(enough):
        solver.Add(sum(s * row[b] for s, row in zip(sizes, take, strict=True)) <= bar * used[b])
        if b:
            solver.Add(used[b - 1] >= used[b])
    solver.Minimize(sum(used))
    solver.SetTimeLimit(10_000)
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return None
    fewest: float = solver.Objective().Value()
    return round(fewest)


def planned(sizes: Sizes, bar: int) -> tuple[int, int]:
    """Bars and their lower bound, after checking that the plan cuts every piece and overfills no bar."""
    falling = sorted(sizes, reverse=True)
    plan = fewest_bars(falling, [sizes[s] for s in falling], bar)
    for at, size in enumerate(falling):
        assert sum(pattern[at] * count for pattern, count in plan.patterns) == sizes[size]
    for pattern, _ in plan.patterns:
        assert 0 < sum(n * size for n, size in zip(pattern, falling, strict=True)) <= bar
    assert plan.bars == sum(count for _, count in plan.patterns)
    return plan.bars, plan.at_least


@settings(max_examples=300, deadline=None)
@given(st.integers(10, 60).flatmap(lambda bar: st.tuples(st.just(bar), st.lists(st.integers(1, bar), max_size=9))))
def test_small_lists_have_the_fewest_bars_of_all_plans(case: tuple[int, list[int]]) -> None:
    bar, pieces = case
    sizes = {s: pieces.count(s) for s in pieces}
    if sizes:
        fewest = brute_force(sizes, bar)
        assert planned(sizes, bar) == (fewest, fewest)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(st.integers(120, 520), st.integers(1, 4), min_size=2, max_size=6),
    st.sampled_from([1000, 1100, 1203]),
)
def test_middling_lists_agree_with_an_integer_programme(sizes: Sizes, bar: int) -> None:
    bars, at_least = planned(sizes, bar)
    assert bars == at_least
    fewest = integer_programme(sizes, bar, bars)
    assert fewest in (None, bars)


def cut_in_three(bars: int, seed: int) -> Sizes:
    """Bars of 1000, each cut in three with nothing left: the hardest sort of list, and its answer is known."""
    rng = random.Random(seed)
    sizes: Sizes = {}
    for _ in range(bars):
        a = rng.randint(380, 490)
        b = rng.randint(251, (1000 - a) // 2)
        for piece in (a, b, 1000 - a - b):
            sizes[piece] = sizes.get(piece, 0) + 1
    return sizes


@pytest.mark.parametrize("bars", [12, 20, 23, 30])
def test_a_list_made_by_cutting_whole_bars_needs_no_more_of_them(bars: int) -> None:
    assert planned(cut_in_three(bars, bars), 1000) == (bars, bars)


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(st.integers(50, 900), st.integers(1, 30), min_size=1, max_size=12),
    st.integers(0, 6),
    st.integers(900, 3000),
)
def test_bounds_hold_and_the_plan_adds_up(sizes: Sizes, kerf: int, stock: int) -> None:
    typed = {
        "stock": f"{stock} mm",
        "kerf": f"{kerf} mm",
        "pieces": ", ".join(f"{s} mm x {n}" for s, n in sizes.items()),
    }
    found = ask("bars", typed)
    total = sum(s * n for s, n in sizes.items())
    bars = found.value("bars")
    assert math.ceil(total / stock) <= found.value("fewest-possible") <= bars
    assert found.value("waste") == pytest.approx(bars * stock - total)
    assert found.value("used") == pytest.approx(total / (bars * stock))
    cut: Sizes = {}
    for row in rows_of(found, "plan"):
        count, pairs, left = row[0], row[2:-2], row[-1]
        assert isinstance(count, int)
        assert isinstance(left, float)
        length = 0.0
        pieces = 0
        for n, size in zip(pairs[::3], pairs[2::3], strict=True):
            assert isinstance(n, int)
            assert isinstance(size, float)
            cut[round(size)] = cut.get(round(size), 0) + n * count
            length += n * size
            pieces += n
        assert length + (pieces - 1) * kerf <= stock + 1e-6
        assert left == pytest.approx(max(0.0, stock - length - pieces * kerf), abs=1e-6)
    assert cut == sizes


def test_worked_examples_run() -> None:
    assert doctest.testmod(barplan).failed == 0
    assert doctest.testmod(barfill).failed == 0
    assert doctest.testmod(cradle).failed == 0


def test_more_kerf_never_needs_fewer_bars() -> None:
    pieces = "400x7, 333x9, 250x8, 199x11"
    counts = [
        ask("bars", {"stock": "1000 mm", "kerf": f"{k} mm", "pieces": pieces}).value("bars") for k in range(0, 20, 2)
    ]
    assert counts == sorted(counts)


def test_pieces_that_fill_the_bar_to_the_last_fraction_fit() -> None:
    """Eight pieces of 2 1/128 in and seven saw cuts of 1/128 in are 16 15/128 in, and not a hair more."""
    typed = {"stock": "16 15/128 in", "kerf": "1/128 in", "pieces": "2 1/128 in x 8"}
    assert ask("bars", typed).value("bars") == 1
    assert ask("bars", typed | {"stock": "16 14/128 in"}).value("bars") == 2


def test_inches_and_millimetres_give_the_same_plan() -> None:
    inches = ask("bars", {"stock": "20 ft", "kerf": "1/8 in", "pieces": "30 1/2 in x 4; 2' 6 3/8\" x 3, 19 in"})
    pieces = "774.7 mm x 4, 771.525 mm x 3, 482.6 mm"
    metric = ask("bars", {"stock": "6096 mm", "kerf": "3.175 mm", "pieces": pieces})
    assert rows_of(inches, "plan") == rows_of(metric, "plan")


def test_a_bar_of_doubtful_length_is_taken_at_its_short_end() -> None:
    pieces = {"kerf": "0 mm", "pieces": "500 mm x 4"}
    assert ask("bars", {"stock": "1000 mm", **pieces}).value("bars") == 2
    assert ask("bars", {"stock": "1000 mm ± 2", **pieces}).value("bars") == 4
    assert ask("bars", {"stock": "1004 mm ± 2", **pieces}).value("bars") == 2
    assert ask("bars", {"stock": "1004 mm", "trim": "5 mm", **pieces}).value("bars") == 4


def test_a_bound_that_cannot_be_reached_is_raised_by_looking_everywhere() -> None:
    """All pieces together fill 1.96 bars, and even with bars mixed in fractions two would do; whole bars take three."""
    sizes = {44: 2, 33: 3, 12: 6}
    assert brute_force(sizes, 132) == 3
    assert planned(sizes, 132) == (3, 3)


def relaxation(sizes: Sizes, bar: int) -> float:
    """The linear relaxation over all patterns, column by column (PyPI ortools: GLOP, CP-SAT for the pattern)."""
    lengths = list(sizes)
    patterns = [{s: min(n, bar // s)} for s, n in sizes.items()]
    while True:
        solver = pywraplp.Solver.CreateSolver("GLOP")
        rows = {s: solver.Constraint(n, solver.infinity()) for s, n in sizes.items()}
        aim = solver.Objective()
        aim.SetMinimization()
        for pattern in patterns:
            share = solver.NumVar(0, solver.infinity(), "")
            aim.SetCoefficient(share, 1)
            for s, n in pattern.items():
                rows[s].SetCoefficient(share, n)
        solver.Solve()
        value = {s: max(0, round(rows[s].dual_value() * 10**7)) for s in lengths}
        model = cp_model.CpModel()
        take = {s: model.new_int_var(0, min(n, bar // s), "") for s, n in sizes.items()}
        model.add(sum(s * take[s] for s in lengths) <= bar)
        model.maximize(sum(value[s] * take[s] for s in lengths))
        pricing = cp_model.CpSolver()
        pricing.parameters.num_workers = 1
        pricing.solve(model)
        found = {s: pricing.value(take[s]) for s in lengths if pricing.value(take[s])}
        if sum(value[s] * n for s, n in found.items()) <= 10**7 + 100:
            bars: float = aim.Value()
            return bars
        patterns.append(found)


@settings(max_examples=8, deadline=None)
@given(st.dictionaries(st.integers(150, 480), st.integers(1, 3), min_size=4, max_size=9))
def test_the_bound_is_no_weaker_than_the_relaxation(sizes: Sizes) -> None:
    bars, at_least = planned(sizes, 1000)
    assert at_least >= math.ceil(relaxation(sizes, 1000) - 1e-4)
    assert bars >= at_least


def assigned(sizes: Sizes, bar: int, bars: int) -> bool | None:
    """Whether so many bars can do (PyPI ortools, CP-SAT); None when it runs out of its work."""
    model = cp_model.CpModel()
    take = [[model.new_int_var(0, min(n, bar // s), "") for s, n in sizes.items()] for _ in range(bars)]
    for at, n in enumerate(sizes.values()):
        model.add(sum(row[at] for row in take) == n)
    for row in take:
        model.add(sum(s * n for s, n in zip(sizes, row, strict=True)) <= bar)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 4
    status = solver.solve(model)
    return {cp_model.OPTIMAL: True, cp_model.FEASIBLE: True, cp_model.INFEASIBLE: False}.get(status)


@pytest.mark.parametrize("seed", range(6))
def test_side_by_side_with_a_constraint_solver(seed: int) -> None:
    """What CP-SAT finds is never fewer than what is proved here, and what it proves impossible is never claimed."""
    rng = random.Random(seed)
    sizes = {rng.randint(180, 490): rng.randint(1, 3) for _ in range(8)}
    bars, at_least = planned(sizes, 1000)
    assert assigned(sizes, 1000, bars) in (True, None)
    assert assigned(sizes, 1000, bars - 1) in (False, None) or bars > at_least
    assert assigned(sizes, 1000, at_least - 1) in (False, None)


@pytest.mark.parametrize("seed", [0, 2])
def test_a_hundred_and_twenty_lengths_are_planned_close_to_their_bound(seed: int) -> None:
    """Proved, or best found with its bound: within one bar in thirty; the material alone is a bound of its own."""
    rng = random.Random(seed)
    sizes = {s: rng.choice([1, 1, 1, 2, 3, 8]) for s in rng.sample(range(300, 2900), 120)}
    bars, at_least = planned(sizes, 6000)
    assert at_least >= math.ceil(sum(s * n for s, n in sizes.items()) / 6000)
    assert bars - at_least <= at_least / 30


def test_it_says_when_a_plan_is_not_proved() -> None:
    """Few fit on a bar beside each other: the search is cut short, and the bound says how near it came."""
    rng = random.Random(1)
    lengths = sorted(rng.sample(range(1200, 2900), 120), reverse=True)
    sizes = {s: rng.choice([1, 1, 1, 2, 3, 8]) for s in lengths}
    pieces = ", ".join(f"{s}x{n}" for s, n in sizes.items())
    found = ask("bars", {"stock": "6000 mm", "kerf": "0 mm", "pieces": pieces})
    bars, least = found.value("bars"), found.value("fewest-possible")
    assert bars > least
    assert any(f"not proved the best: at least {least:g}" in warning for warning in found.warnings)


def test_what_was_assumed_is_said() -> None:
    found = ask("bars", {"stock": "5600 mm", "pieces": "1380x2"})
    assert any("no kerf" in warning for warning in found.warnings)
    assert any("millimetres" in warning for warning in found.warnings)


@pytest.mark.parametrize(("key", "bad"), bad_numbers(["stock", "kerf", "trim"]))
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("bars", {"stock": "5600 mm", "kerf": "3 mm", "pieces": "1380x2", key: bad}, key)


@pytest.mark.parametrize(
    ("pieces", "says"),
    [
        ("", "is missing"),
        (",", "empty place"),
        ("1380x2,,1200x1", "empty place"),
        ("812,5 mm x 2", "neither unit nor count"),
        ("30x4, 22.5x2", "tiny beside the stock"),
        ("30 in x 4, 800x2", "partly without a unit"),
        ("-3 mm x 2", "nothing to cut"),
        ("0 mm x 2", "nothing to cut"),
        ("30 in x 0", "nothing to cut"),
        ("nan x 2", "not a length"),
        ("inf mm x 2", "not a length"),
        ("30 in x 2.5", "not a length"),
        ("30 in x -2", "not a length"),
        ("30 1/7 in x 2", "on no tape"),
        ("30 in ± 1/32 x 2", "one length"),
        ("20..30 in x 2", "one length"),
        ("221 in x 1", "at most 220 15/32 in"),
        ("10 mm x 2001", "at most 2000"),
        (", ".join(f"{100 + i} mm" for i in range(121)), "120 lengths"),
        ("1 mm x 1," * 3000, "more than 20000 characters"),
    ],
)
def test_bad_pieces_say_what_is_allowed(pieces: str, says: str) -> None:
    problem = refused("bars", {"stock": "5600 mm", "kerf": "3 mm", "pieces": pieces}, "pieces")
    assert says in problem


@pytest.mark.parametrize(
    ("change", "key", "says"),
    [
        ({"stock": "0 mm"}, "stock", "100 mm to 30000 mm"),
        ({"stock": ""}, "stock", "is missing"),
        ({"kerf": "-1 mm"}, "kerf", "0 mm to 20 mm"),
        ({"stock": "100 mm", "trim": "100 mm"}, "trim", "less than the stock"),
    ],
)
def test_bad_input_says_what_is_allowed(change: dict[str, str], key: str, says: str) -> None:
    assert says in refused("bars", {"stock": "5600 mm", "kerf": "3 mm", "pieces": "1380x2"} | change, key)
