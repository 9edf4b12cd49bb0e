"""Every key of the plan files: taken with values of its type, refused with any other, at the value's place."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from planner.plan.model import After, Build, Ref
from tests.badinput.asking import EPISODE, loaded, told
from tests.badinput.samples import SMALL_EPISODE, SMALL_JOB, write

HOURS = "timezone: Europe/Lisbon"


class Key(NamedTuple):
    """A key, values it takes with what they become, and values it does not take."""

    name: str
    attribute: str
    good: dict[str, Any]
    bad: list[str]
    beside: str = ""  # other keys that it wants beside it


NO_TEXT = ["12", "1.5", "true", "~", "[a]", "{a: b}", "''", "' '"]
NO_NAME = [*NO_TEXT, "Two Words", "a_b", "é", "a@b", "A"]
NO_LIST = ["12", "a.flat", "true", "~", "{a: b}", "''"]
NO_NUMBER = ["0", "-1", "100", "1.5", "'2'", "two", "true", "~", "[2]", "{a: b}", "1e1", "0x2", "02"]
NO_SWITCH = ["yes", "on", "1", "0", "True", "'true'", "~", "[true]", "{a: b}"]
NO_DURATION = [
    "20",
    "20 minutes",
    "1.5 h",
    "min",
    "-5 min",
    "20min 3",
    "3 min 1 h",
    "~",
    "true",
    "[20 min]",
    "{a: b}",
    "''",
]
NO_TEXTS = ["12", "true", "~", "{a: b}", "[12]", "[[a]]", "['']", "''"]

STEP = [
    Key("kind", "kind", {"weld": "weld", "cool": "cool"}, [*NO_TEXT, "wled"]),
    Key("piece", "piece", {"left-foot": "left-foot", "4x4": "4x4", "'12'": "12"}, NO_NAME),
    Key(
        "sides",
        "sides",
        {"each": ("near", "far"), "once": ("near", "far"), "[far, near]": ("near", "far")},
        ["12", "near", "true", "~", "[]", "[up]", "[near, near]", "[1]", "{a: b}", "all", "''"],
    ),
    Key("sides", "named", {"each": False, "once": False, "[far]": True}, [], "why: x"),
    Key(
        "why",
        "why",
        {"the other is bolted": "the other is bolted", "|\n          two\n          lines": "two\nlines\n"},
        NO_TEXT,
    ),
    Key("rounds", "rounds", {"1": 1, "8": 8, "+8": 8, "99": 99}, NO_NUMBER),
    Key(
        "turns",
        "turns",
        {"alternate": "alternate", "side-first": "side-first", "[far, near]": ("far", "near")},
        ["12", "true", "~", "sidefirst", "[near]", "[near, far, far]", "[near, up]", "[]", "{a: b}", "''"],
        "rounds: 2",
    ),
    Key("first", "first", {"far": "far", "near": "near"}, [*NO_TEXT, "up", "all"]),
    Key(
        "needs",
        "needs",
        {
            "[]": (),
            "[a.flat]": (Ref("a.flat"),),
            "[a.flat@all, a.flat@others]": (Ref("a.flat", "all"), Ref("a.flat", "others")),
            "[a.flat@near, a.true]": (Ref("a.flat", "near"), Ref("a.true")),
            "\n          - a.flat": (Ref("a.flat"),),
        },
        [*NO_LIST, "[12]", "[a.falt]", "[a.flat@up]", "[a.true@near]", "[a.flat@]", "[[a.flat]]", "[~]", "[A.flat]"],
    ),
    Key("gives", "gives", {"[a.true]": (Ref("a.true"),)}, [*NO_LIST, "[a.falt]", "[a.true@all]"]),
    Key("spoils", "spoils", {"[a.flat@far]": (Ref("a.flat", "far"),)}, [*NO_LIST, "[a.falt]", "[a.flat@own]"]),
    Key(
        "without",
        "kind",
        {"[]": "weld", "[foot.tacked]": "weld", "[tacked, cleaned]": "weld"},
        [*NO_LIST, "[12]", "[painted-on]", "[other.tacked]"],
        "kind: weld\npiece: foot",
    ),
    Key(
        "after",
        "after",
        {"[other]": (After("other", False),), "[other@own]": (After("other", True),), "[]": ()},
        [*NO_LIST, "[12]", "[othre]", "[other@near]", "[other@]", "[Other]", "[~]"],
    ),
    Key("setup", "setup", {"in-cradle": "in-cradle", "on the bench": "on the bench"}, NO_TEXT),
    Key(
        "time",
        "time",
        {"90 s": 90, "20 min": 1200, "1 h 30 min": 5400, "21 days": 1814400, "1 day": 86400, "1 h": 3600},
        NO_DURATION,
    ),
    Key("wait", "wait", {"3 min": 180, "2 days 12 h": 216000}, NO_DURATION),
    Key("one-way", "one_way", {"true": True, "false": False}, NO_SWITCH),
    Key("rework", "rework", {"true": True, "false": False}, NO_SWITCH),
    Key(
        "where",
        "where",
        {"shop": "shop", "desk": "desk"},
        ["12", "true", "~", "garage", "Shop", "[shop]", "{a: b}", "''"],
    ),
    Key("hands", "hands", {"1": 1, "2": 2, "20": 20}, [*NO_NUMBER, "21"]),
    Key("film", "film", {"near": "near", "all": "all", "none": "none"}, [*NO_TEXT, "up", "others", "each"]),
    Key("shots", "shots", {"close": ("close",), "[close, wide]": ("close", "wide"), "[]": ()}, NO_TEXTS),
    Key("say", "say", {"hello": ("hello",), "[one, two]": ("one", "two")}, NO_TEXTS),
    Key("cautions", "cautions", {"Sharp.": ("Sharp.",), "[Hot., Sharp.]": ("Hot.", "Sharp.")}, NO_TEXTS),
    Key("note", "note", {"a": ("a",), "[a, b]": ("a", "b")}, NO_TEXTS),
]

STAGE = [
    Key("pace", "pace", {"step-first": "step-first", "side-first": "side-first"}, ["12", "~", "sides", "[a]", "true"]),
    Key("rounds", "rounds", {"1": 1, "99": 99}, NO_NUMBER),
    Key("first", "first", {"far": "far"}, [*NO_TEXT, "up"]),
    Key("film", "film", {"far": "far", "all": "all", "none": "none"}, [*NO_TEXT, "up"]),
    Key(
        "sequence",
        "sequence",
        {
            "[saw@far, saw@near, other@near, other@far]": ("saw@far", "saw@near", "other@near", "other@far"),
            "[saw@far]": ("saw@far",),
            "[]": (),
        },
        [*NO_LIST, "[saw]", "[saw@up]", "[12]", "[saw@near, saw@near]", "[[saw@near]]", "[~]"],
    ),
]

EPISODE_KEYS = [
    Key("film", "film", {"far": "far", "all": "all", "none": "none"}, [*NO_TEXT, "up"]),
    Key(
        "publish",
        "publish",
        {
            "2027-02-13 17:00": ("2027-02-13 17:00", 1802538000.0),
            "'2027-07-13T17:00'": ("2027-07-13T17:00", 1815494400.0),
        },
        [
            *NO_TEXT,
            "2027-02-13",
            "13.2.2027 17:00",
            "2027-02-30 17:00",
            "2027-02-13 25:00",
            "2027-2-13 17:00",
            "2027-02-13 17:00 Z",
            "2027-03-28 01:30",
            "soon",
        ],
    ),
    Key("runtime", "runtime", {"18 min": 1080, "1 h 2 min": 3720}, NO_DURATION),
    Key("edit", "edit", {"4 h": 14400, "2 days": 172800}, NO_DURATION),
    Key(
        "refers-to",
        "refers_to",
        {"[1, 2]": ("1", "2"), "[the bench build]": ("the bench build",), "[]": ()},
        ["1", "a", "true", "{a: b}", "[1.5]", "[true]", "[[1]]", "[~]"],
    ),
    Key("promises", "promises", {"[weld next]": ("weld next",), "weld next": ("weld next",)}, NO_TEXTS),
    Key("keeps", "keeps", {"[the weld]": ("the weld",), "[]": ()}, NO_TEXTS),
]

JOB_KEYS = [
    Key("film", "film", {"far": "far", "all": "all", "none": "none"}, [*NO_TEXT, "up"]),
    Key(
        "show",
        "show",
        {
            "{lengths: mm}": {"lengths": "mm"},
            "{lengths: inch 1/64, temperature: F}": {"lengths": "inch 1/64", "temperature": "F"},
            "{}": {},
        },
        [
            "12",
            "mm",
            "[mm]",
            "~",
            "{lengths: inch}",
            "{lengths: inch 1/3}",
            "{lengths: cm}",
            "{temperature: K}",
            "{weights: kg}",
        ],
    ),
    Key(
        "start",
        "start",
        {
            "[]": frozenset(),
            "[a.flat]": {"a.flat@near", "a.flat@far"},
            "[a.flat@far, a.true]": {"a.flat@far", "a.true"},
            "[a.flat@all]": {"a.flat@near", "a.flat@far"},
        },
        [*NO_LIST, "[12]", "[a.falt]", "[a.flat@others]", "[a.flat@up]", "[a.true@near]"],
    ),
    Key(
        "pieces",
        "pieces",
        {
            "{}": {},
            "{foot: {in: leg}, leg: {in: bench}}": {"foot": "leg", "leg": "bench", "bench": None},
            "{foot: {}}": {"foot": None},
        },
        [
            "12",
            "foot",
            "[foot]",
            "~",
            "{foot: leg}",
            "{foot: {on: leg}}",
            "{Foot: {in: leg}}",
            "{foot: {in: 12}}",
            "{foot: {in: foot}}",
        ],
    ),
    Key(
        "on-camera",
        "on_camera",
        {
            "{needs: [a.true]}": ((Ref("a.true"),), (), ()),
            "{}": ((), (), ()),
            "{spoils: [a.flat], gives: [a.true]}": ((), (Ref("a.true"),), (Ref("a.flat"),)),
        },
        ["12", "[a.true]", "~", "{needs: a.true}", "{needs: [a.ture]}", "{after: [saw]}"],
    ),
    Key("conditions", "sides", {"{}": ("near", "far")}, []),
]

SHOP = [
    ("{timezone: Europe/Lisbon}", {}, {}),
    ("{timezone: UTC, hours: {wed: '19:00-22:00'}}", {"wed": ((1140, 1320),)}, {}),
    ("{timezone: UTC, hours: {sat: '08:00-12:30 14:00-18:00'}, desk: {sun: '00:00-24:00'}}",
     {"sat": ((480, 750), (840, 1080))}, {"sun": ((0, 1440),)}),
    ("{timezone: UTC, hours: {sat: '08:00-12:00 12:00-18:00'}}", {"sat": ((480, 720), (720, 1080))}, {}),
]  # fmt: skip

NO_SHOP = [
    "{timezone: UTC, away: 2027-03-01}", "{timezone: UTC, away: [2027-03-32]}", "{timezone: UTC, away: [20270301]}",
    "{timezone: UTC, away: [2027-03-07..2027-03-01]}", "{helper: {sat: '08:00-12:00'}}",
    "{timezone: UTC, away: ['..']}",
    "12", "~", "[UTC]", "{timezone: Nowhere/Land}", "{timezone: 12}", "{timezone: ''}", "{zone: UTC}",
    "{hours: {sat: '08:00-12:00'}}", "{desk: {sat: '08:00-12:00'}}",
    "{timezone: UTC, hours: '08:00-12:00'}", "{timezone: UTC, hours: {sat: 8}}",
    "{timezone: UTC, hours: {saturday: '08:00-12:00'}}",
    "{timezone: UTC, hours: {sat: '08:00'}}", "{timezone: UTC, hours: {sat: '8:00-12:00'}}",
    "{timezone: UTC, hours: {sat: '08:00-12:60'}}", "{timezone: UTC, hours: {sat: '08:00-24:01'}}",
    "{timezone: UTC, hours: {sat: '12:00-08:00'}}", "{timezone: UTC, hours: {sat: '08:00-08:00'}}",
    "{timezone: UTC, hours: {sat: '08:00-12:00 11:59-13:00'}}",
    "{timezone: UTC, hours: {sat: '14:00-18:00 08:00-12:00'}}",
    "{timezone: UTC, hours: {sat: '08:00-12:00, 14:00-18:00'}}", "{timezone: UTC, hours: {sat: '٠٨:٠٠-12:00'}}",
    "{timezone: UTC, hours: {sat: ['08:00-12:00']}}", "{timezone: UTC, desk: {sat: 'all day'}}",
]  # fmt: skip

CONDITIONS = [
    "12", "[a.flat]", "~", "{a.flat: {on: side}}", "{a.flat: {means: x}}", "{a.flat: {on: bench, means: x}}",
    "{a.flat: flat}", "{A.flat: {on: side, means: x}}", "{a flat: {on: side, means: x}}",
    "{a..b: {on: job, means: x}}", "{.a: {on: job, means: x}}", "{a.flat: {on: side, means: 12}}",
    "{a.flat: {on: side, means: x, start: true}}",
]  # fmt: skip


def build_of(level: str, key: str, value: str, beside: str) -> dict[str, str]:
    """The files of a build that says this at that level, and whether it must load."""
    job, episode = SMALL_JOB, SMALL_EPISODE
    other = "      - {step: other, do: Do another}\n"
    lines = [*beside.splitlines(), f"{key}: {value}"]
    if level == "step":
        episode += "".join(f"        {line}\n" for line in lines) + other
    elif level == "stage":
        episode = episode.replace("    steps:\n", "".join(f"    {line}\n" for line in lines) + "    steps:\n") + other
    elif level == "episode":
        job += f"shop: {{{HOURS}}}\n"
        episode = episode.replace("stages:\n", "".join(f"{line}\n" for line in lines) + "stages:\n")
    else:
        job = (job.partition("conditions:")[0] if key == "conditions" else job) + "".join(f"{line}\n" for line in lines)
    return {"build.yaml": job, EPISODE: episode}


def cases(kind: str) -> Iterator[Any]:
    """Every key with each value of that kind."""
    for level, keys in (("step", STEP), ("stage", STAGE), ("episode", EPISODE_KEYS), ("build", JOB_KEYS)):
        for key in keys:
            for value in key.good if kind == "good" else key.bad:
                yield pytest.param(level, key, value, id=f"{level}-{key.name}-{' '.join(value.split())[:40]}")


def part_of(build: Build, level: str) -> Any:
    """The value of the model where a level's keys end up."""
    episode = build.episodes[0]
    stage = episode.stages[0]
    return {"build": build, "episode": episode, "stage": stage, "step": stage.steps[0]}[level]


@pytest.mark.parametrize(("level", "key", "value"), list(cases("good")))
def test_a_key_takes_values_of_its_type(tmp_path: Path, level: str, key: Key, value: str) -> None:
    build = loaded(write(tmp_path, build_of(level, key.name, value, key.beside)))
    got = getattr(part_of(build, level), key.attribute)
    if key.name == "pieces":
        got = {name: piece.inside for name, piece in got.items()}
    expected = key.good[value]
    if key.name == "needs" and key.attribute == "needs":
        got = got[: len(expected)]
    assert got == expected


@pytest.mark.parametrize(("level", "key", "value"), list(cases("bad")))
def test_a_key_refuses_values_of_other_types(tmp_path: Path, level: str, key: Key, value: str) -> None:
    """The problem stands at the value or within it, on its line, and names the key or the word."""
    files = build_of(level, key.name, value, key.beside)
    found = told(write(tmp_path, files))
    file = "build.yaml" if level == "build" else EPISODE
    line, column = place_of_value(files[file], key.name, value)
    for where, at_line, at_column, message in found:
        assert (where, at_line) == (file, line), message
        assert at_column >= column, message
    if key.name not in ("show", "pieces", "on-camera"):  # there it may be about a key within
        assert any(key.name in message or "not a name" in message for *_, message in found)


def place_of_value(text: str, key: str, value: str) -> tuple[int, int]:
    """The line and column where a value begins."""
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip() == f"{key}: {value}":
            return number, line.index(f"{key}: ") + len(key) + 3
    raise AssertionError(value)


@pytest.mark.parametrize(("value", "hours", "desk"), SHOP)
def test_hours(tmp_path: Path, value: str, hours: object, desk: object) -> None:
    shop = loaded(write(tmp_path, build_of("build", "shop", value, ""))).shop
    assert (shop.hours, shop.desk) == (hours, desk)


@pytest.mark.parametrize("value", NO_SHOP)
def test_hours_that_are_none(tmp_path: Path, value: str) -> None:
    ((file, line, column, message),) = told(write(tmp_path, build_of("build", "shop", value, "")))
    assert (file, line) == ("build.yaml", 7) and column >= 7, message


@pytest.mark.parametrize("value", CONDITIONS)
def test_conditions_that_are_none(tmp_path: Path, value: str) -> None:
    ((file, line, column, message),) = told(write(tmp_path, build_of("build", "conditions", value, "")))
    assert (file, line) == ("build.yaml", 4) and column >= 13, message


REQUIRED = {
    "build.yaml": ("format: 1", "build: Trial", "sides: [near, far]"),
    EPISODE: ("format: 1", "episode: 1", "title: Trial"),
}


@pytest.mark.parametrize(("file", "line"), [(file, line) for file, lines in REQUIRED.items() for line in lines])
def test_required_keys(tmp_path: Path, file: str, line: str) -> None:
    """One that is missing is told at the top, one that is empty at its place."""
    files = {"build.yaml": SMALL_JOB, EPISODE: SMALL_EPISODE}
    key = line.partition(":")[0]
    missing = told(write(tmp_path / "missing", {**files, file: files[file].replace(line + "\n", "")}))
    assert (file, 1, 1) in [each[:3] for each in missing]
    assert any(f"lacks the key {key}:" in message for *_, message in missing)
    empty = told(write(tmp_path / "empty", {**files, file: files[file].replace(line, f"{key}:")}))
    assert any(f"{key}: must be" in message for *_, message in empty)


@pytest.mark.parametrize(
    "sides", ["[a]", "[a, b, c, d, e, f, g, h]", "[front-left, front-right, rear-left, rear-right]", "['1', '2']"]
)
def test_sides_are_any_names_one_to_eight(tmp_path: Path, sides: str) -> None:
    build = loaded(write(tmp_path, {"build.yaml": SMALL_JOB.replace("[near, far]", sides), EPISODE: SMALL_EPISODE}))
    assert len(build.sides) == sides.count(",") + 1


@pytest.mark.parametrize(
    "sides",
    ["[]", "[a, b, c, d, e, f, g, h, i]", "a", "{a: b}", "[A]", "[a b]", "[1]", "[a, a]", "[~]", "true",
     "[all]", "[own]", "[others]", "[once]", "[each]", "[none]"],
)  # fmt: skip
def test_sides_that_are_none(tmp_path: Path, sides: str) -> None:
    found = told(write(tmp_path, {"build.yaml": SMALL_JOB.replace("[near, far]", sides), EPISODE: SMALL_EPISODE}))
    assert [(file, line) for file, line, *_ in found] == [("build.yaml", 3)]
