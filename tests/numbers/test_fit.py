"""``fit``: what fits clears, what does not is told by how much."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.numbers.calculator import RefusedError, Show
from planner.numbers.registry import figure
from planner.numbers.showing import as_json
from planner.numbers.together import all_numbers
from tests.numbers.asking import ask, refused, text_of

SIDES = ("driver", "passenger")
PLAIN: dict[str, Any] = {
    "lip": "800 mm", "frame": "480 mm", "section": "220 mm", "offset": "10 mm", "outer-clearance": "20 mm",
    "inner-clearance": "25 mm", "side-play": "3 mm", "travel-outer": "5 mm", "travel-inner": "5 mm",
}  # fmt: skip


@st.composite
def cars(draw: st.DrawFn, roomy: bool = False) -> dict[str, Any]:
    """Cars of all sorts, in which something may or may not fit; in ``roomy`` ones nearly always."""
    out, inside, wide, off = (760, 440, 230, 15) if roomy else (600, 520, 330, 60)

    def pair(low: float, high: float) -> dict[str, str]:
        return {side: f"{draw(st.floats(low, high)):.3f} mm" for side in SIDES}

    found: dict[str, Any] = {
        "lip": pair(out, 900), "frame": pair(350, inside), "section": pair(150, wide), "offset": pair(-off, off),
        "outer-clearance": pair(5, 30), "inner-clearance": pair(5, 30), "side-play": pair(0, 5),
        "travel-outer": pair(0, 20), "travel-inner": pair(0, 20),
    }  # fmt: skip
    for key, low, high in (("arch", out, 900), ("spring", 300, inside), ("tank", 300, inside)):
        if draw(st.booleans()):
            found[key] = pair(low, high)
    if draw(st.booleans()):
        rim = pair(140, wide)  # reaching inward of the pad by half of it and the offset
        for key, sign in (("inboard", 1), ("outboard", -1)):
            reach = {side: number(rim[side]) / 2 + sign * number(found["offset"][side]) for side in SIDES}
            found[key] = {side: f"{each:.4f} mm" for side, each in reach.items()}
    return found


def number(text: str) -> float:
    """Millimetres as typed."""
    return float(text.removesuffix(" mm"))


def clears(car: dict[str, Any], pads: float, offset: float | None = None, slack: float = 1e-6) -> bool:
    """Whether nothing is nearer than it may be, worked out spot by spot."""
    for side in SIDES:
        get = {key: number(each[side]) for key, each in car.items() if isinstance(each, dict)}
        width = max(get["section"], get.get("inboard", -999) + get.get("outboard", -999))
        middle = pads / 2 - (get["offset"] if offset is None else offset)
        out = middle + width / 2 + get["outer-clearance"] + get["side-play"] + get["travel-outer"]
        inside = middle - width / 2 - get["inner-clearance"] - get["side-play"] - get["travel-inner"]
        if any(out > get[key] + slack for key in ("lip", "arch") if key in get):
            return False
        if any(inside < get[key] - slack for key in ("frame", "spring", "tank") if key in get):
            return False
    return True


def fits(car: dict[str, Any]) -> bool:
    """Whether some width clears of those that these cars could have, by trying every half millimetre."""
    return any(clears(car, 560 + step * 0.5, slack=0.0) for step in range(2900))


@settings(max_examples=50)
@given(cars(roomy=True))
def test_the_limits_are_limits(car: dict[str, Any]) -> None:
    """Just inside them everything clears, just outside something touches."""
    try:
        found = ask("fit", car)
    except RefusedError:
        assume(False)
        raise
    least, most = found.value("pads-least"), found.value("pads-most")
    for pads in (least, most, found.value("pads")):
        assert clears(car, pads)
    assert not clears(car, least - 0.01)
    assert not clears(car, most + 0.01)
    assert found.value("pads") == pytest.approx((least + most) / 2)
    assert found.value("room") == pytest.approx(most - least)
    for side in SIDES:
        assert found.value("outer-clearance", side) >= number(car["outer-clearance"][side]) - 1e-6
        assert found.value("inner-clearance", side) >= number(car["inner-clearance"][side]) - 1e-6


@settings(max_examples=50)
@given(cars())
def test_what_does_not_fit_is_told_by_how_much(car: dict[str, Any]) -> None:
    """The tyre that is proposed would do, where the tyre and not the rim is the widest."""
    car = {key: each for key, each in car.items() if key not in ("inboard", "outboard")}
    try:
        assert ask("fit", car).value("room") >= 0
        return
    except RefusedError as error:
        rows = error.problems
    assert not fits(car)
    assert rows[0][0] == "section"
    assert "nothing fits, by" in rows[0][1]
    if "no tyre would do" in rows[0][1]:
        return
    width = re.search(r"at most .*?([\d.]+) mm[,)]", rows[0][1])
    assert width is not None
    widest = float(width.group(1)) - 0.001
    assume(widest > 75)
    narrower = {side: f"{min(number(each), widest):.3f} mm" for side, each in car["section"].items()}
    assert ask("fit", car | {"section": narrower}).value("room") >= -1e-3


@settings(max_examples=50)
@given(cars(roomy=True))
def test_solving_for_offset(car: dict[str, Any]) -> None:
    """At the middle of the widths that fit, the offset that fits includes the one of the wheel."""
    for side in SIDES if "inboard" in car else ():
        half = (number(car["inboard"][side]) + number(car["outboard"][side])) / 2
        car["inboard"][side], car["outboard"][side] = f"{half + 12:.4f} mm", f"{half - 12:.4f} mm"
    car["offset"] = "12 mm"
    try:
        found = ask("fit", car)
    except RefusedError:
        assume(False)
        raise
    pads = f"{found.value('pads'):.9f} mm"
    solved = ask("fit", {**car, "solve": "offset", "pads": pads})
    assert solved.value("offset-least") - 1e-6 <= 12 <= solved.value("offset-most") + 1e-6
    car["offset"] = dict.fromkeys(SIDES, "12 mm")
    for key, other in (("offset-least", -0.01), ("offset-most", 0.01)):
        assert clears(car, found.value("pads"), solved.value(key))
        assert not clears(car, found.value("pads"), solved.value(key) + other)


@settings(max_examples=50)
@given(cars(roomy=True))
def test_solving_for_section(car: dict[str, Any]) -> None:
    """The widest tyre just clears."""
    car = {key: each for key, each in car.items() if key not in ("inboard", "outboard")}
    try:
        found = ask("fit", car)
    except RefusedError:
        assume(False)
        raise
    pads = found.value("pads")
    solved = ask("fit", {**car, "solve": "section", "pads": f"{pads:.9f} mm"})
    widest = solved.value("section-most")
    for width, wanted in ((widest - 1e-3, True), (widest + 0.01, False)):
        assert clears(car | {"section": dict.fromkeys(SIDES, f"{width:.6f} mm")}, pads) is wanted


def test_swapping_the_sides_swaps_the_results() -> None:
    """The limits stay, the spots change sides."""
    car = PLAIN | {"lip": {"driver": "790 mm", "passenger": "805 mm"}}
    car["frame"] = {"driver": "470 mm", "passenger": "490 mm"}
    turned = {
        key: {"driver": each["passenger"], "passenger": each["driver"]} if isinstance(each, dict) else each
        for key, each in car.items()
    }
    one, other = ask("fit", car), ask("fit", turned)
    for key in ("pads-least", "pads-most", "pads", "room"):
        assert one.value(key) == other.value(key)
    assert one.value("outer-clearance", "driver") == other.value("outer-clearance", "passenger")
    assert text_of(one, "tightest") == "outside: lip on the driver side; inside: frame on the passenger side"
    assert text_of(other, "tightest") == "outside: lip on the passenger side; inside: frame on the driver side"


def test_the_nearest_obstruction_counts() -> None:
    """Of several on a side."""
    found = ask("fit", {**PLAIN, "arch": "790 mm", "spring": "500 mm", "tank": "450 mm"})
    said = "outside: arch on driver and passenger alike; inside: spring on driver and passenger alike"
    assert text_of(found, "tightest") == said
    assert found.value("pads-most") == pytest.approx(2 * (790 - 20 - 3 - 5 + 10 - 110))


def test_a_rim_wider_than_its_tyre_counts() -> None:
    """The wider of the two."""
    found = ask("fit", {**PLAIN, "inboard": "137.5 mm", "outboard": "117.5 mm"})
    assert found.value("pads-most") == pytest.approx(2 * (800 - 20 - 3 - 5 + 10 - 127.5))


@settings(max_examples=40, deadline=None)
@given(st.floats(240, 320), st.floats(-40, 40))
def test_one_reach_and_the_offset_say_how_wide_the_rim_is(rim: float, offset: float) -> None:
    """Inboard alone, outboard alone and both together are one rim."""
    car = {**PLAIN, "frame": "300 mm", "offset": f"{offset:.6f} mm"}
    reaches = {"inboard": f"{rim / 2 + offset:.6f} mm", "outboard": f"{rim / 2 - offset:.6f} mm"}
    both = ask("fit", car | reaches)
    for key, text in reaches.items():
        alone = ask("fit", car | {key: text})
        assert alone.value("pads-most") == pytest.approx(both.value("pads-most"), abs=1e-4)
        assert alone.value("pads-least") == pytest.approx(both.value("pads-least"), abs=1e-4)


def test_reach_and_offset_that_contradict_each_other_are_refused() -> None:
    says = refused(
        "fit", {**PLAIN, "inboard": "140 mm", "outboard": "100 mm"}, "offset"
    )  # which is 20, and 10 is given
    assert "contradict" in says
    assert any("alone" in each for each in ask("fit", {
        **{key: text for key, text in PLAIN.items() if key != "offset"}, "inboard": "140 mm", "solve": "offset",
        "pads": "1300 mm",
    }).warnings)  # fmt: skip


def test_a_width_within_its_doubt_of_a_limit_says_so() -> None:
    car = {**PLAIN, "lip": "800 mm ± 2"}
    most = ask("fit", car).value("pads-most")
    near = ask("fit", {**car, "pads": f"{most - 1:.3f} mm"})
    assert any("within its doubt of the most" in each for each in near.warnings)
    far = ask("fit", {**car, "pads": f"{most - 40:.3f} mm"})
    assert not any("within its doubt" in each for each in far.warnings)


@settings(max_examples=60, deadline=None)
@given(st.integers(600 * 64, 900 * 64), st.integers(100 * 64, 300 * 64))
def test_what_fits_exactly_is_not_refused(lip: int, section: int) -> None:
    """Not even by the last binary digit: the frame stands just where the tyre ends."""
    car = {
        "lip": f"{lip / 640:.7f} cm", "section": f"{section / 64 / 25.4:.12f} in", "offset": "0 mm",
        "frame": f"{(lip - section) / 64:.9f} mm", "outer-clearance": "0 mm", "inner-clearance": "0 mm",
    }  # fmt: skip
    assume((lip - section) / 64 < 1300)
    assert ask("fit", car).value("room") == pytest.approx(0, abs=1e-6)


def test_a_guess_is_never_surer_than_a_measurement() -> None:
    """A computed section and a defaulted width carry a ±, and what rests on them says so, as far as it goes."""
    sections = {
        "wheel": {"width": "7 in", "offset": "10 mm"}, "tyre": {"size": "205/55R16"},
        "fit": {key: text for key, text in PLAIN.items() if key not in ("section", "offset")},
    }  # fmt: skip
    found = all_numbers(sections, SIDES, Show())
    rests = [each for each in found["fit"].result.warnings if "rests on a guess" in each]  # type: ignore[union-attr]
    assert any(each.startswith("section rests on a guess at tyre.size") for each in rests)
    assert any(each.startswith("inboard rests on a guess at wheel.overall") for each in rests)
    guessed = found["tyre"].result.results["section"]  # type: ignore[union-attr]
    measured = all_numbers(sections | {"tyre": {"size": "205/55R16", "measured": "8 1/2 in ± 1/16"}}, SIDES, Show())
    read = measured["tyre"].result.results["section"]  # type: ignore[union-attr]
    assert guessed.plus_minus > read.plus_minus  # type: ignore[union-attr]
    assert not any("section rests" in each for each in measured["fit"].result.warnings)  # type: ignore[union-attr]


def test_the_tyres_rim_and_the_wheels_width_are_one() -> None:
    sections = {"wheel": {"width": "8 in", "offset": "10 mm"}, "tyre": {"size": "205/55R16", "rim": "7 in"}}
    found = all_numbers(sections, SIDES, Show())
    assert found["tyre"].result is None
    assert "the one that is meant" in found["tyre"].problems[0][1]
    same = all_numbers(sections | {"tyre": {"size": "205/55R16", "rim": "8 in"}}, SIDES, Show())
    assert same["tyre"].result is not None


def test_limits_are_shown_to_the_safe_side() -> None:
    """The least is rounded up, the most down."""
    cells = as_json(ask("fit", PLAIN), Show(8))["results"]
    step = 25.4 / 8
    for key, up in (("pads-least", True), ("pads-most", False)):
        inches = cells[key]["shown"].partition(" in")[0]
        whole, _, part = inches.partition(" ")
        above, _, below = (part or "0/1").partition("/")
        mm = (int(whole) + int(above) / int(below)) * 25.4
        gap = mm - cells[key]["value"]
        assert 0 <= (gap if up else -gap) < step


def test_a_width_that_is_decided() -> None:
    """It is taken as it is where it fits, and refused with the limits where it does not."""
    assert ask("fit", {**PLAIN, "pads": "1330 mm ± 2"}).value("pads") == 1330
    says = refused("fit", {**PLAIN, "pads": "1450 mm"}, "pads")
    assert "at least" in says
    assert "at most" in says


@pytest.mark.parametrize(
    ("change", "key", "words"),
    [
        ({"lip": None}, "lip", "measure lip or arch"),
        ({"frame": None}, "frame", "measure frame or spring or tank"),
        ({"section": None}, "section", "missing"),
        ({"offset": None}, "offset", "missing"),
        ({"outer-clearance": None}, "outer-clearance", "missing"),
        ({"solve": "offset"}, "pads", "missing"),
        ({"solve": "length"}, "solve", "not one of pads, offset, section"),
        ({"lip": "31.5 mm"}, "lip", "was in meant"),
        ({"section": "8.7 mm"}, "section", "was in meant"),
        ({"offset": "35"}, "offset", "no unit"),
        ({"solve": "section", "pads": "2500 mm"}, "pads", "no room for any tyre"),
    ],
)
def test_refusals(change: dict[str, Any], key: str, words: str) -> None:
    """By name, with what to do."""
    typed = {name: each for name, each in {**PLAIN, **change}.items() if each is not None}
    assert words in refused("fit", typed, key)


def test_what_was_left_out_is_said() -> None:
    """Side play and travel are not forgotten in silence."""
    bare = {key: each for key, each in PLAIN.items() if not key.startswith(("side", "travel"))}
    warnings = " ".join(ask("fit", bare).warnings)
    assert all(key in warnings for key in ("side-play", "travel-outer", "travel-inner", "weight on the wheels"))


def test_room_within_its_doubt_is_said() -> None:
    """What fits only on paper."""
    tight = {**PLAIN, "lip": "779 mm ± 3", "frame": "497 mm ± 3", "section": "220 mm"}
    found = ask("fit", tight)
    assert found.value("room") < 5
    assert any("less than the doubt" in each for each in found.warnings)


def test_any_two_names_of_sides() -> None:
    """And a build with one side, or four corners."""
    assert figure("fit", PLAIN, ("left", "right")).value("pads") == ask("fit", PLAIN).value("pads")
