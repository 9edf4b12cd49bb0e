"""What ``narrow`` takes and yields, as it is declared."""

from __future__ import annotations

from planner.numbers.calculator import Input, Output


def _length(
    key: str,
    doc: str,
    low: float,
    high: float,
    *,
    needed: bool = False,
    sided: bool = True,
    ranged: bool = False,
    unless: str = "",
    one_by_one: bool = False,
) -> Input:
    return Input(
        key, "length", doc, low, high, needed=needed, sided=sided, ranged=ranged, unless=unless, one_by_one=one_by_one
    )


_NO_CUT = "a new end goes on or nothing is cut"


INPUTS = (
    _length("flange-to-flange", "F, wheel face to wheel face, at present", 400.0, 2600.0, needed=True, sided=False),
    _length("pinion-to-flange", "P, pinion line to the wheel face of the flange", 100.0, 1600.0, needed=True),
    _length("flange-to-plate", "e, wheel face of the flange to the plate face", 0.0, 400.0, needed=True),
    _length("plate-to-plate", "H, plate face to plate face", 300.0, 2600.0, needed=True, sided=False),
    _length("shaft", "L, wheel face of the flange to the inner end of the shaft", 100.0, 1600.0),
    Input("pads", "length", "W', pad to pad wanted", 400.0, 2600.0, needed=True, taken="fit.pads"),
    _length("hat", "t, hat, drum or spacer between flange and wheel", 0.0, 150.0),
    _length("finished-flange-to-plate", "e', the same on the finished axle, else the present reading", 0.0, 400.0),
    _length("first-line", "a, where the end is cut off, inward from the plate face", 5.0, 1300.0, unless=_NO_CUT),
    _length("kerf", "k, width of the saw cut", 0.2, 12.0, unless=_NO_CUT),
    _length("dressing", "m, left proud on each kept face, to dress off", 0.0, 12.0),
    _length("gap", "g, root gap measured after tacking", 0.0, 12.0),
    _length("shrinkage", "s, by how much welding closes the joint", 0.0, 12.0, ranged=True)._replace(
        taken="shrink.shrinkage"
    ),
    _length("to-centre", "q, pinion line to where the tube enters the centre", 0.0, 800.0),
    _length("pocket", "b, depth of the bearing pocket from the plate face", 0.0, 400.0),
    _length("stub-least", "the least tube wanted between pocket and joint", 0.0, 400.0),
    _length("bracket", "B, present plate face to a bracket on the tube", 0.0, 1300.0),
    Input("keep-out", "text", "where no line may lie, from the plate face: 8..11 in perch; 12..13 in vent", sided=True),
    Input("pinion", "text", "keep, centre, equal-shafts, or the offset wanted, + toward the second side"),
    _length("tube-first", "tube diameter at the first line", 25.0, 250.0),
    _length("tube-second", "tube diameter at the second line", 25.0, 250.0),
    _length("wall-first", "tube wall at the first line", 0.8, 30.0),
    _length("wall-second", "tube wall at the second line", 0.8, 30.0),
    Input("ends", "text", "whether the ends are used again or new ones go on", sided=True, choices=("again", "new")),
    _length("joint-face", "n, plate face of a new end to its joint face", 5.0, 1300.0, unless="the ends go on again"),
    _length("measured-half", "h' measured cold after the last heat, to order shafts by", 50.0, 1600.0, one_by_one=True),
)

OUTPUTS = (
    Output("flange-to-flange", "mm", "F', wheel face to wheel face of the finished flanges"),
    Output("offset", "mm", "o, present pinion offset, + toward the second side"),
    Output("new-offset", "mm", "o', pinion offset of the finished axle, + toward the second side"),
    Output("brackets-move", "mm", "how far brackets on the centre part move in the car, + toward the second side"),
    Output("pinion-to-flange", "mm", "P', pinion line to the wheel face of the finished flange", True),
    Output("half", "mm", "h', pinion line to the finished plate face", True),
    Output("shorten", "mm", "R, what this side of the housing loses", True),
    Output("between", "mm", "N, from the first line to the second", True),
    Output("first-line", "mm", "x1, from the present plate face to the first line", True),
    Output("second-line", "mm", "x2, from the present plate face to the second line", True),
    Output("saw-first", "mm", "edge of the first saw cut, dressing left proud", True),
    Output("saw-second", "mm", "edge of the second saw cut, dressing left proud", True),
    Output("waste", "mm", "the piece that falls out between two saw cuts; negative: one cut", True),
    Output("tube-left", "mm", "tube between the second line and the centre", True),
    Output("stub", "mm", "tube between the pocket and the joint", True),
    Output("bracket-to-plate", "mm", "the bracket from the new plate face", True),
    Output("shaft", "mm", "L', shaft length; planned until the finished half is measured", True),
    Output(
        "shaft-order",
        "mm",
        "shaft length to order, from the half measured cold after the last heat",
        True,
        until="no length to order by yet: the half is to be measured cold, after the last cut, heat or force",
    ),
    Output("plate-to-plate", "mm", "H', plate face to plate face of the finished housing"),
)
