"""What every calculator takes and yields, by key alone, so that a file of numbers can be judged without loading them.

The declarations in the calculators' own modules hold the rest; a test keeps the two alike. An @ behind a key says that
it is, or may be, per side.
"""

from __future__ import annotations

from collections.abc import Iterable

_INPUTS = {
    "tyre": "size rim measured",
    "wheel": "width overall offset backspacing",
    "fit": (
        "lip@ arch@ frame@ spring@ tank@ section@ inboard@ outboard@ offset@ outer-clearance@ inner-clearance@ "
        "side-play@ travel-outer@ travel-inner@ solve pads"
    ),
    "narrow": (
        "flange-to-flange pinion-to-flange@ flange-to-plate@ plate-to-plate shaft@ pads hat@ "
        "finished-flange-to-plate@ first-line@ kerf@ dressing@ gap@ shrinkage@ to-centre@ pocket@ stub-least@ "
        "bracket@ keep-out@ pinion tube-first@ tube-second@ wall-first@ wall-second@ ends@ joint-face@ "
        "measured-half@"
    ),
    "cradle": (
        "plates differential differential-offset clearance differential-clearance tube@ tube-inner@ vee leg "
        "leg-thickness uprights upright-width upright-height inset first-line@ window out-of-line bearing"
    ),
    "bars": "stock kerf trim pieces",
    "wrap": "diameter squareness mismatch positions cut angle onto sideways wall",
    "tube": "diameter wall load arm arm-after span span-after modulus",
    "shaft": (
        "diameter bore torque allowed teeth pitch pressure-angle engagement taper@ stud stud-length@ hat@ "
        "wheel-pad@ length@ retention"
    ),
    "driveline": (
        "angle plan-angle speed most-fluctuation gearbox pinion pinion-bump pinion-droop drop pinion-offset "
        "gearbox-offset shaft bump droop back-bump back-droop slip-in slip-out phase joint-limit"
    ),
}

_OUTPUTS = {
    "tyre": "diameter section",
    "wheel": "backspacing offset inboard outboard",
    "fit": (
        "pads-least pads-most pads offset-least offset-most offset section-most room tightest outer-clearance@ "
        "inner-clearance@"
    ),
    "narrow": (
        "flange-to-flange offset new-offset brackets-move pinion-to-flange@ half@ shorten@ between@ first-line@ "
        "second-line@ saw-first@ saw-second@ waste@ tube-left@ stub@ bracket-to-plate@ shaft@ shaft-order@ "
        "plate-to-plate"
    ),
    "cradle": (
        "length gap half@ upright-outer@ upright-inner@ upright-places centre-height contact-angle contact@ "
        "contact-apart@ packing-outer@ packing-inner@ lift-outer@ lift-inner@ bears@ loose-rests@ window-from@ "
        "window-to@ tilt cut-list pieces"
    ),
    "bars": "bars fewest-possible waste used longest-left plan",
    "wrap": "circumference mismatch squareness round curve deepest shallowest",
    "tube": (
        "area second-moment section-modulus torsion-constant gyration mass stress stress-after deflection "
        "deflection-after"
    ),
    "shaft": (
        "stress inner-stress torque-allowed pitch-diameter base-diameter major-diameter minor-diameter "
        "root-stress engagement-wanted stud-engagement@ order"
    ),
    "driveline": (
        "compound fluctuation acceleration unit-ratio angle-allowed phasing residual-allowed front-bump "
        "front-ride front-droop rear-bump rear-ride rear-droop residual-bump residual-ride residual-droop "
        "excitation-bump excitation-ride excitation-droop length-bump length-ride length-droop slip-in-bump "
        "slip-in-ride slip-in-droop slip-out-bump slip-out-ride slip-out-droop"
    ),
}


def input_keys(name: str) -> dict[str, bool]:
    """The inputs of a calculator: key -> whether it may be given per side.

    >>> input_keys("tyre")
    {'size': False, 'rim': False, 'measured': False}
    """
    return _keys(_INPUTS[name])


def output_keys(name: str) -> dict[str, bool]:
    """The outputs of a calculator: key -> whether it is per side.

    >>> output_keys("tyre")
    {'diameter': False, 'section': False}
    """
    return _keys(_OUTPUTS[name])


def _keys(text: str) -> dict[str, bool]:
    return {word.removesuffix("@"): word.endswith("@") for word in text.split()}


def known_names(names: Iterable[str]) -> dict[str, bool]:
    """Every number that these calculators yield, as steps name it, with whether it has sides."""
    return {f"{name}.{key}": sided for name in names if name in _OUTPUTS for key, sided in output_keys(name).items()}
