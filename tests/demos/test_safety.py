"""The cautions of the trade stand with the kinds of work they belong to, and reach the person who does it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner.files.build.kinds import shipped_kinds
from tests.demos.kindplans import told, write_build

KINDS = shipped_kinds()
ARC = ("weld", "fillet-weld", "stitch", "weld-bracket")

#: The hazard, the phrases that must all stand in one kind's cautions, and the kinds it must stand with.
HAZARDS = {
    "out of the disc's plane": (
        ("out of the plane of the disc",),
        ("cut", "cut-away", "cut-out", "bevel", "dress"),
    ),
    "guard": (("guard on",), ("cut", "cut-away", "cut-out", "bevel", "dress")),
    "kerf closes": (("kerf", "locked-in stress"), ("cut",)),
    "both halves supported": (("both halves supported",), ("cut",)),
    "support at the cut": (("support both sides",), ("cut-out",)),
    "no gloves": (("no gloves",), ("drill", "machine")),
    # NFPA 51B-2019: one hour; 29 CFR 1910.252(a)(2)(iii)(B): at least half an hour.
    "fire watch": (("fire watch one hour",), (*ARC, "flame")),
    "fire watch named": (("one hour", "nfpa 51b-2019", "29 cfr 1910.252", "30 min"), ("fire-watch",)),
    "sparks of grinding": (("combustibles", "fire watch"), ("dress",)),
    "combustibles": (("combustibles",), ("weld", "fillet-weld", "weld-bracket", "flame", "dress")),
    "shade is a minimum": (("shade numbers are minimums",), (*ARC, "tack")),
    # 29 CFR 1910.252(a)(3): containers cleaned, hollow spaces vented before heat.
    "drain and vent": (
        ("drain, degrease and vent",),
        ("cut", "preheat", "flame", "weld", "fillet-weld", "weld-bracket"),
    ),
    "sealed or oily": (("never weld a sealed",), ("weld", "fillet-weld", "weld-bracket", "vent")),
    "emptied tank": (("emptied tank", "vapour"), ("drain",)),
    "phosgene": (("no chlorinated cleaner near an arc", "phosgene"), ("clean", *ARC)),
    "phosgene at tacks": (("no chlorinated cleaner near an arc",), ("tack",)),
    "zinc and cadmium": (("zinc and cadmium off first",), ("clean", *ARC)),
    "stands": (("stands under it, never a jack alone",), ("lift", "strip", "mock-up")),
    "springs": (("springs store force",), ("strip", "mock-up")),
    "presses": (("press behind a guard",), ("press", "press-on")),
    "line of force": (("stand clear of the line of force",), ("straighten",)),
    # 29 CFR 1910.1001 appendix F: wet or enclosed vacuum methods for brake and clutch dust.
    "brake dust": (("brake dust: wet or vacuum, never air",), ("strip", "clean", "blow-out")),
    # 29 CFR 1910.242(b).
    "compressed air": (("under 30 psi", "29 cfr 1910.242(b)"), ("blow-out",)),
    "battery": (("battery off",), (*ARC, "tack")),
    "earth clamp": (("earth clamp by the weld and never through a bearing",), (*ARC, "tack")),
    "hot looks cold": (("hot metal and cold metal look alike",), ("cool", "preheat", "turn-over")),
    "axle shafts": (("never weld an axle shaft",), ("weld", "weld-bracket")),
    "axle shafts and heat": (("never heat an axle shaft",), ("flame",)),
    "cast centres": (("cast centres are not plain steel",), ("weld", "weld-bracket", "preheat")),
    "before the road": (("inspection before the road",), ("sign-off",)),
    "local rules": (("local rules", "licensed practice"), ("sign-off",)),
    "qualified eye": (("inspection by someone qualified",), ("inspect",)),
    "jump on release": (("locked-in stress",), ("release",)),
    "silica": (("never silica sand",), ("blast",)),
    "paint": (("isocyanate",), ("paint",)),
}


@pytest.mark.parametrize(
    ("hazard", "kind"), [(hazard, kind) for hazard, (_, kinds) in HAZARDS.items() for kind in kinds]
)
def test_a_hazard_is_told_with_the_work_that_has_it(hazard: str, kind: str) -> None:
    """Every phrase stands in the cautions of the kind."""
    said = " ".join(KINDS[kind].cautions).lower()
    for phrase in HAZARDS[hazard][0]:
        assert phrase in said, f"{kind} does not say “{phrase}”"


def test_a_caution_is_one_short_sentence() -> None:
    """Read at arm's length, in a mask: one sentence, whole, no longer than it must be."""
    for kind in KINDS.values():
        assert len(kind.cautions) <= 7, kind.name
        for caution in kind.cautions:
            assert caution[0].isupper() and caution.endswith("."), caution  # a comma in a list cuts it in two
            assert 4 <= len(caution.split()) <= 30, caution


#: Least filter shade by current, 29 CFR 1910.133(a)(5): process, from ampere, to ampere, shade.
SHADES = {
    ("stick", 60, 160, 8),
    ("stick", 160, 250, 10),
    ("MIG", 60, 500, 10),
    ("TIG", 50, 150, 8),
    ("TIG", 150, 500, 10),
}


def test_the_shades_shown_are_those_of_the_standard() -> None:
    """The numbers are read back out of the caution, so that a typing slip is found."""
    (line,) = [caution for caution in KINDS["weld"].cautions if "Shade numbers" in caution]
    assert "29 CFR 1910.133(a)(5)" in line
    told_shades = set()
    for process, ranges in re.findall(r"(stick|MIG|TIG) ([^;(]+)", line):
        for low, high, shade in re.findall(r"(\d+)-(\d+) A (\d+)", ranges):
            told_shades.add((process, int(low), int(high), int(shade)))
    assert told_shades == SHADES


def test_the_hour_of_the_fire_watch_is_its_usual_time() -> None:
    """NFPA 51B-2019."""
    assert KINDS["fire-watch"].time == 3600


def test_cautions_reach_the_person_on_every_side(tmp_path: Path) -> None:
    """Those of the kind come with the step's own, with or without a piece, on each operation."""
    plan = "bright clean joint\n hot flame - cautions: [Mind the hose.]"
    operations = told("steps", write_build(tmp_path, plan))["operations"]
    hot = [each["cautions"] for each in operations if each["op"].startswith("hot")]
    assert len(hot) == 2
    for cautions in hot:
        assert "Mind the hose." in cautions
        assert set(KINDS["flame"].cautions) <= set(cautions)
