"""Axle shafts: twist stress, involute splines, engagement, wheel studs, and the list to order by."""

from __future__ import annotations

import math
import re

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Item, Output, Sheet
from planner.numbers.lengths import DOWN, UP
from planner.numbers.quantity import Quantity, cos

_PRACTICE = "common practice, no source"
_TORSION = "Beer & Johnston, Mechanics of Materials, torsion formula T c / J"
_SPLINE = "ANSI B92.1-1970, table of equations"
_INCH = 25.4
#: Pitches of ANSI B92.1 (from memory); the second number is always twice the first.
_PITCHES = (2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 40, 48, 64, 80, 128)
_ANGLES = (30.0, 37.5, 45.0)
_PITCH = re.compile(r"(\d{1,3}(?:\.\d{1,3})?)(?:\s*/\s*(\d{1,3}(?:\.\d{1,3})?))?", re.ASCII)
CLIP, PLATE = "clip", "plate"
FLAT, FILLET = "flat", "fillet"
#: What a fillet root takes off the teeth under the pitch diameter, by pressure angle; at 30 deg the pitch decides too.
_FILLETS = {37.5: 1.3, 45.0: 1.0}
_KSI = 6.894757293168361


def shaft(given: Given, sheet: Sheet) -> None:
    """Stress in a shaft, the diameters of its splines, what its studs hold by, and what to order and measure.

    Formula
        stress = 16 T D / (pi (D^4 - bore^4)), which is 16 T / (pi D^3) when solid; in inches, N teeth, pitch P:
        pitch-diameter = N / P; base-diameter = pitch-diameter cos(pressure-angle); major-diameter = (N + 1) / P;
        minor-diameter at 30 deg: flat root (N - 1.35) / P, fillet root (N - 1.8) / P to pitch 12/24 and (N - 2) / P
        from 16/32; fillet root at 37.5 deg (N - 1.3) / P, at 45 deg (N - 1) / P; torque-allowed = the least of body
        and spline root, pi allowed minor-diameter^3 / 16; stud-engagement = stud-length - hat - wheel-pad
    Source
        Beer & Johnston, Mechanics of Materials (torsion); ANSI B92.1-1970 (splines; fillet roots as printed in tables
        after it, the finest from memory: copies disagree, and the deeper root is taken); engagement of about one
        diameter, in splines and on studs, and the order list: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("shaft", {"teeth": "30", "pitch": "24/48", "pressure-angle": "30 deg"})
    >>> [round(found.value(key) / 25.4, 4) for key in ("pitch-diameter", "base-diameter", "major-diameter")]
    [1.25, 1.0825, 1.2917]
    """
    if not any(given.has(each.key) for each in SHAFT.inputs):
        sheet.refuse(
            "diameter", "is missing: give a diameter with a torque, or teeth with a pitch, or a stud, or a length"
        )
    body = _twist(given, sheet)
    minor = _spline(given, sheet)
    _root(given, sheet, minor, body)
    _studs(given, sheet)
    _order(given, sheet)


def _root(given: Given, sheet: Sheet, minor: Quantity | None, body: Quantity | None) -> None:
    """The metal under the spline's teeth, beside the body: the weaker of the two decides what is allowed."""
    torque, allowed = given.get("torque"), given.get("allowed")
    root = None
    if minor is not None:
        twist = minor**3 * (math.pi / 16)
        if torque is not None:
            stress = sheet.give("root-stress", torque * 1000 / twist, "16 torque / (pi minor-diameter^3)", _TORSION)
            if allowed is not None:
                _over(given, sheet, "THE SPLINE ROOT", stress, allowed)
        if allowed is not None:
            root = allowed * twist / 1000
            sheet.give("torque-allowed-root", root, "allowed x pi minor-diameter^3 / 16", _TORSION)
    found = [(each, name) for each, name in ((body, "body"), (root, "spline root")) if each is not None]
    if not found:
        return
    weaker, name = min(found, key=lambda pair: pair[0].value)
    sheet.give("torque-allowed", weaker, "the least of body and spline root", _TORSION)
    sheet.give("weakest", name if len(found) > 1 else f"{name} alone was judged", "the least decides", _TORSION)
    if len(found) == 1:
        lacking = "teeth and pitch" if name == "body" and not given.has("teeth") else ""
        lacking = lacking or ("the spline's root form" if name == "body" else "the body's diameter")
        sheet.warn(
            f"what is allowed is by the {name} alone: the weaker of body and spline root decides; give {lacking}"
        )


def _over(given: Given, sheet: Sheet, what: str, stress: Quantity, allowed: Quantity) -> None:
    """Say what stress is over the allowed one, or so near that it may be."""
    over = stress - allowed
    if over.value > 0:
        sheet.warn(
            f"{what} IS OVER THE ALLOWED STRESS: {stress.value:.0f} MPa ({stress.value / _KSI:.1f} ksi) against"
            f" {allowed.value:.0f} MPa ({allowed.value / _KSI:.1f} ksi): a thicker shaft or less torque"
        )
    elif -over.value < over.plus_minus:
        sheet.warn(f"{what.lower()} is within its doubt of the allowed stress; measure more closely")


def _twist(given: Given, sheet: Sheet) -> Quantity | None:
    """Stress at the surface, and what torque an allowed stress stands for in the body; None where nobody asks."""
    diameter, torque, allowed = given.get("diameter"), given.get("torque"), given.get("allowed")
    if diameter is None:
        for key in ("bore", "allowed"):
            if given.has(key) and not (key == "allowed" and given.has("teeth")):
                sheet.refuse("diameter", f"is missing: with {key} given, give the outside diameter too")
        if torque is not None and not given.has("teeth"):
            sheet.refuse("diameter", "is missing: with a torque given, give the diameter that carries it")
        return None
    bore = given.default("bore", 0.0)
    if bore.value >= diameter.value:
        sheet.refuse("bore", f"leaves no metal; it must be less than {given.show.length(diameter.value, DOWN)}")
        return None
    twist = (diameter**4 - bore**4) * math.pi / (16 * diameter)
    sheet.work("twist-modulus", twist, "mm3", "pi (diameter^4 - bore^4) / (16 diameter)", _TORSION)
    surface = allowed
    if torque is not None:
        surface = torque * 1000 / twist
        sheet.give("stress", surface, "torque / twist-modulus", _TORSION)
        if allowed is not None:
            _over(given, sheet, "THE BODY", surface, allowed)
    body = None
    if allowed is not None:
        body = allowed * twist / 1000
        sheet.give("torque-allowed-body", body, "allowed x twist-modulus", _TORSION)
    if surface is not None and bore.value > 0:
        sheet.give("inner-stress", surface * bore / diameter, "stress x bore / diameter", _TORSION)
    if surface is not None:
        sheet.warn("shock, keyways, grooves and splines raise the stress well above this even, plain-shaft figure")
    return body


def _pitch(given: Given, sheet: Sheet) -> float | None:
    """The first number of the pitch, teeth an inch of pitch diameter."""
    text = given.text("pitch").strip()
    allowed = "write it as 24/48, or the first number alone"
    match = _PITCH.fullmatch(text)
    if match is None:
        sheet.refuse(
            "pitch", f"“{text}” is not a pitch; {allowed}" if text else f"is missing: with teeth given; {allowed}"
        )
        return None
    pitch = float(match[1])
    if not 1 <= pitch <= 128:
        sheet.refuse("pitch", f"“{text}” is outside what is allowed, 1 to 128; {allowed}")
        return None
    if match[2] is not None and abs(float(match[2]) - 2 * pitch) > NOTHING:
        sheet.refuse("pitch", f"“{text}”: the second number is twice the first; did you mean {match[1]}/{2 * pitch:g}?")
        return None
    if pitch not in _PITCHES:
        sheet.warn(f"pitch {pitch:g}/{2 * pitch:g} is not one of the pitches of ANSI B92.1; count and measure again")
    return pitch


def _spline(given: Given, sheet: Sheet) -> Quantity | None:
    """The diameters of the spline; returns the minor one where the formula for it is known."""
    if not given.has("teeth"):
        for key in ("pitch", "pressure-angle", "engagement", "taper"):
            if given.has(key):
                sheet.refuse("teeth", f"is missing: with {key} given, count the teeth")
                break
        return None
    pitch = _pitch(given, sheet)
    if pitch is None:
        return None
    teeth = given.need("teeth")
    angle = given.default("pressure-angle", 30.0)
    if not given.has("pressure-angle"):
        sheet.warn("no pressure angle was given: 30 deg is taken")
    elif not any(abs(angle.value - each) < 1e-6 for each in _ANGLES):
        sheet.warn("ANSI B92.1 has 30, 37.5 and 45 deg only; check the pressure angle")
    across = teeth / pitch * _INCH
    major = (teeth + 1) / pitch * _INCH
    sheet.give("pitch-diameter", across, "teeth / pitch, inches", _SPLINE)
    sheet.give("base-diameter", across * cos(angle), "pitch-diameter x cos(pressure-angle)", _SPLINE)
    sheet.give("major-diameter", major, "(teeth + 1) / pitch, inches", _SPLINE)
    minor = _minor(given, sheet, teeth, pitch, angle.value)
    sheet.give("engagement-wanted", across, "one pitch diameter", _PRACTICE)
    engagement = given.get("engagement")
    if engagement is not None and engagement.value - engagement.plus_minus < across.value - NOTHING:
        least = given.show.length(across.value, UP)
        sheet.warn(
            f"the splines may engage by less than about one pitch diameter, {least} (common practice, no source)"
        )
    _taper(given, sheet, major)
    return minor


def _minor(given: Given, sheet: Sheet, teeth: Quantity, pitch: float, angle: float) -> Quantity | None:
    """The diameter under the teeth; None where the formula for it is not known."""
    form = given.text("root", default=FLAT if abs(angle - 30.0) < 1e-6 else FILLET)
    less = None
    if form == FLAT and abs(angle - 30.0) < 1e-6:
        less = 1.35
    elif form == FILLET:
        less = next((each for degrees, each in _FILLETS.items() if abs(angle - degrees) < 1e-6), None)
        if less is None and abs(angle - 30.0) < 1e-6:
            less = 1.8 if pitch < 16 else 2.0
    if less is None:
        sheet.warn("the diameter under these teeth is not known here: measure it, and judge the root by what it is")
        return None
    if not given.has("root") and (given.has("torque") or given.has("allowed")):
        sheet.warn(f"no root form was given: a {form} root is taken; look at the bottom between two teeth")
    minor = (teeth - less) / pitch * _INCH
    return sheet.give("minor-diameter", minor, f"(teeth - {less:g}) / pitch, inches, {form} root", _SPLINE)


def _taper(given: Given, sheet: Sheet, major: Quantity) -> None:
    """New splines need metal out to their major diameter."""
    if not given.has("taper"):
        return
    least = given.show.length(major.value, UP)
    for side in given.sides if given.is_sided("taper") else (None,):
        taper = given.need("taper", side)
        if taper.value < major.value - NOTHING:
            says = (
                f"is thinner than the spline: the shaft must be at least {least} thick all along the new splines;"
                " do not re-spline it, order a new shaft"
            )
            sheet.refuse("taper", says, side)
        elif taper.value - taper.plus_minus < major.value:
            where = f" on the {side} side" if side else ""
            sheet.warn(f"the shaft{where} may be thinner than the spline by what its reading may be off; measure finer")


def _studs(given: Given, sheet: Sheet) -> None:
    """What the wheel nut holds by: at least one diameter of the stud."""
    stud, has_length = given.get("stud"), given.has("stud-length")
    if stud is None and not has_length:
        for key in ("hat", "wheel-pad"):
            if given.has(key):
                sheet.refuse("stud", f"is missing: with {key} given, give the stud's diameter and its length")
        return
    if stud is None or not has_length or not given.has("wheel-pad"):
        lacking = "stud" if stud is None else "wheel-pad" if has_length else "stud-length"
        sheet.refuse(lacking, "is missing: stud, stud-length and wheel-pad are needed together")
        return
    sided = given.is_sided("hat") or given.is_sided("wheel-pad") or given.is_sided("stud-length")
    for side in given.sides if sided else (None,):
        through = given.default("hat", 0.0, side) + given.need("wheel-pad", side)
        held = given.need("stud-length", side) - through
        if held.value < stud.value - NOTHING:
            least = given.show.length(through.value + stud.value, UP)
            says = (
                f"leaves less than one stud diameter for the nut (common practice, no source); it must be at least"
                f" {least}: longer studs, or a thinner hat or spacer"
            )
            sheet.refuse("stud-length", says, side)
            continue
        if held.value - held.plus_minus < stud.value - NOTHING:
            sheet.warn(
                "the nut may hold by less than one stud diameter, by what the readings may be off; measure again"
            )
        sheet.give("stud-engagement", held, "stud-length - hat - wheel-pad", _PRACTICE, side)


_MEASURE = {
    CLIP: (
        "wheel face of the flange to the inner end, and to the clip's groove: its width, depth and diameter",
        "end play of the old shafts, and whether a pin or block stands between the inner ends",
        "bearing and seal surface on the shaft: diameter, where it begins and ends from the wheel face",
    ),
    PLATE: (
        "wheel face of the flange to the inner face of the bearing, and to the inner end",
        "bearing: bore, outside diameter, width; depth of its pocket in the housing's end",
        "plate: thickness, bolt pattern and where it clamps; brake backing plate or bracket behind it",
    ),
}
_MEASURE_ALWAYS = (
    "splines: count the teeth, measure over them, length of full teeth",
    "flange: bolt circle, number and thread of studs, register for the wheel, outside diameter",
    "inner end to the bottom of the side gear with the shaft home, on both sides",
)


def to_measure(retention: str) -> tuple[str, ...]:
    """What to read on a shaft, cold, before it is ordered, by what holds it."""
    return (*_MEASURE.get(retention, ()), *_MEASURE_ALWAYS)


_NOT_YET = "its half is to be measured cold, after the last cut, heat or force"


def _order(given: Given, sheet: Sheet) -> None:
    """What to send to the maker, and what to measure first."""
    retention = given.text("retention")
    if not given.has("length") and not given.has("measured-length") and not retention:
        return
    rows: list[tuple[Item, ...]] = []
    measured = {side: given.get("measured-length", side) for side in given.sides}
    lengths: list[Quantity] = []
    for index, side in enumerate(given.sides):
        found = measured[side]
        planned = given.each("length")[index] if given.has("length") else None
        if found is not None:
            rows.append((f"{side}: order by, measured", found, "wheel face of the flange to the inner end"))
        elif planned is not None:
            rows.append((f"{side}: no length to order by yet; planned", planned, _NOT_YET))
        lengths += [each for each in (found, planned) if each is not None][:1]
    if lengths and max(q.value for q in lengths) - min(q.value for q in lengths) > 0.5:
        sheet.warn("THE SHAFTS DIFFER IN LENGTH: mark each with its side, and order them by side", sides=True)
    if lengths and None in measured.values():
        sheet.warn(
            "no length to order by yet: order shafts only from readings taken cold, after the last cut, heat or force"
            " on the housing"
        )
    if given.has("teeth"):
        angle = given.default("pressure-angle", 30.0).value
        pitch = given.text("pitch").partition("/")[0].strip()
        rows.append((f"splines: {given.need('teeth').value:.0f} teeth, pitch {pitch}, {angle:g} deg",))
    if retention == CLIP:
        rows.append(("held by a clip in a groove at the inner end",))
    elif retention == PLATE:
        rows.append(("held by a plate over the bearing at the outer end",))
    else:
        rows.append(("retention not stated: by a clip at the inner end, or by a plate at the outer end",))
        sheet.warn("say what holds the shafts before they are ordered: retention: clip, or plate")
    rows += [(f"measure {what}",) for what in to_measure(retention)]
    sheet.warn("never weld, sleeve or heat-straighten an axle shaft")
    sheet.give("order", tuple(rows), "lengths, splines, retention, then what to measure cold", _PRACTICE)


SHAFT = Calculator(
    "shaft",
    "stress, splines and studs of axle shafts, and the list to order by",
    (
        Input("diameter", "length", "outside diameter where the shaft is thinnest", 5.0, 200.0),
        Input("bore", "length", "of a hollow shaft, else solid", 0.0, 190.0),
        Input("torque", "torque", "on one shaft", 0.1, 100_000.0),
        Input("allowed", "stress", "shear stress that is allowed", 1.0, 2000.0),
        Input("teeth", "count", "teeth of the spline", 6.0, 100.0),
        Input("pitch", "text", "of the spline, as 24/48 or 24: teeth an inch of pitch diameter, 1 to 128"),
        Input("pressure-angle", "angle", "of the spline, else 30 deg", 14.0, 46.0),
        Input("root", "text", "form of the bottom between the teeth", choices=(FLAT, FILLET)),
        Input("engagement", "length", "length of spline that is in its gear", 1.0, 300.0),
        Input("taper", "length", "least diameter where new splines are to be cut", 5.0, 200.0, sided=True),
        Input("stud", "length", "diameter of a wheel stud", 5.0, 40.0),
        Input("stud-length", "length", "of a stud, beyond the flange", 5.0, 250.0, sided=True),
        Input("hat", "length", "drum or spacer between flange and wheel, else none", 0.0, 150.0, sided=True),
        Input("wheel-pad", "length", "thickness of the wheel at its studs", 1.0, 100.0, sided=True),
        Input("length", "length", "of the shaft, planned", 100.0, 2000.0, sided=True, taken="narrow.shaft"),
        Input(
            "measured-length",
            "length",
            "of the shaft, by the half measured cold: what it is ordered by",
            100.0,
            2000.0,
            sided=True,
            taken="narrow.shaft-order",
            one_by_one=True,
        ),
        Input("retention", "text", "what holds the shaft in the housing", choices=(CLIP, PLATE)),
    ),
    (
        Output("stress", "MPa", "shear at the surface from the torque"),
        Output("inner-stress", "MPa", "shear at the bore"),
        Output("torque-allowed", "N.m", "torque at the allowed stress, the least of body and spline root"),
        Output("torque-allowed-body", "N.m", "the same of the body, where it is thinnest"),
        Output("torque-allowed-root", "N.m", "the same of the solid metal under the spline's teeth"),
        Output("weakest", "text", "which of the two decides"),
        Output("pitch-diameter", "mm", "of the spline"),
        Output("base-diameter", "mm", "of the spline's involute"),
        Output("major-diameter", "mm", "over the spline's teeth"),
        Output("minor-diameter", "mm", "under the spline's teeth"),
        Output("root-stress", "MPa", "shear in the solid metal under the spline's teeth"),
        Output("engagement-wanted", "mm", "about one pitch diameter, common practice", rounding=UP),
        Output("stud-engagement", "mm", "thread left for the nut", sided=True, rounding=DOWN),
        Output("order", "list", "what to order, and what to measure first"),
    ),
    shaft,
)
