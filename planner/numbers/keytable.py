"""The keys of every calculator, written from its declaration: python -m tests.numbers.write_keys.

An @ behind a key says that it is, or may be, per side. The declarations cost the import of their calculators, which
a build that only wants its file of numbers judged does not pay.
"""

from __future__ import annotations

INPUTS = {
    "wheel": "width overall offset backspacing",
    "tyre": "size rim wheel-width measured",
    "fit": (
        "lip@ arch@ frame@ spring@ tank@ section@ inboard@ outboard@ offset@ outer-clearance@ inner-clearance@ "
        "side-play@ travel-outer@ travel-inner@ solve pads"
    ),
    "shrink": "thickness gap angle face cap area coupon-before coupon-after",
    "shafts": (
        "in-hand@ pinion-to-flange@ flange-to-plate@ shaft@ finished-flange-to-plate@ hat@ pads-least pads-most"
    ),
    "narrow": (
        "flange-to-flange pinion-to-flange@ flange-to-plate@ plate-to-plate shaft@ pads hat@ "
        "finished-flange-to-plate@ first-line@ kerf@ dressing@ gap@ shrinkage@ to-centre@ pocket@ stub-least@ "
        "bracket@ keep-out@ pinion tube-first@ tube-second@ wall-first@ wall-second@ ends@ joint-face@ "
        "measured-half@"
    ),
    "donor": "donor-studs studs donor-bore wheel-bore donor-width width donor-brake rim-inside brake-air",
    "perches": "half@ new-offset spring@ perch-length pocket@ tube perch pack plate nut pitch bolt",
    "pipes": "run@ shorten@ bends radius flare spare hose reach droop",
    "cradle": (
        "plates differential differential-offset clearance differential-clearance tube@ tube-inner@ vee leg "
        "leg-thickness uprights upright-width upright-height inset first-line@ window out-of-line bearing"
    ),
    "tacks": "diameter number length vee rests first",
    "beads": "diameter length layers joints first bead-time wait",
    "bars": "stock kerf trim pieces",
    "wrap": "diameter squareness mismatch positions cut angle onto sideways wall",
    "tube": "diameter wall load arm arm-after span span-after modulus",
    "shaft": (
        "diameter bore torque allowed teeth pitch pressure-angle root engagement taper@ stud stud-length@ hat@ "
        "wheel-pad@ length@ measured-length@ retention"
    ),
    "driveline": (
        "angle plan-angle speed most-fluctuation gearbox pinion pinion-bump pinion-droop drop pinion-offset "
        "gearbox-offset shaft bump droop back-bump back-droop path slip-in slip-out phase joint-limit"
    ),
    "skew": "out diameter long-point tyre bearing",
    "tilt": "readings radius plus-minus tyre bearing limit",
    "runout": "reading readings plus-minus limit",
    "bearing": "bearing radius",
    "seat": "nominal class measured bearing",
    "sees": "length radius tape feeler dial",
    "pull": "toward metal",
    "arc": "process volts amps travel run took wire feed",
    "preheat": (
        "metal thickness carbon silicon manganese chromium molybdenum vanadium nickel copper boron hydrogen heat "
        "joint metal-at"
    ),
    "cool": "diameter wall hot air target emissivity wind heated readings now",
    "touch": "metal",
    "watch": "nearest",
}

OUTPUTS = {
    "wheel": "width backspacing offset inboard outboard",
    "tyre": "diameter section",
    "fit": (
        "pads-least pads-most pads offset-least offset-most offset section-most room tightest outer-clearance@ "
        "inner-clearance@"
    ),
    "shrink": "shrinkage rule-least rule-most weld-area",
    "shafts": "pads flange-to-flange new-offset pinion-to-flange@ half@ shorten@ can@ swapped",
    "narrow": (
        "flange-to-flange offset new-offset brackets-move pinion-to-flange@ half@ shorten@ between@ first-line@ "
        "second-line@ saw-first@ saw-second@ waste@ tube-left@ stub@ bracket-to-plate@ shaft@ shaft-order@ "
        "plate-to-plate"
    ),
    "donor": "studs across bore-room narrow-by brake-room compared",
    "perches": "perch-to-plate@ bolt-length bolt-width bar",
    "pipes": "pipe@ hose-slack",
    "cradle": (
        "length gap half@ upright-outer@ upright-inner@ upright-places centre-height contact-angle contact@ "
        "contact-apart@ packing-outer@ packing-inner@ lift-outer@ lift-inner@ bears@ loose-rests@ window-from@ "
        "window-to@ tilt cut-list pieces"
    ),
    "tacks": "order places apart contacts turn clear beds-down",
    "beads": "number bead rounds places worst worst-round write stand whole",
    "bars": "bars fewest-possible waste used longest-left plan",
    "wrap": "circumference mismatch squareness round curve deepest shallowest",
    "tube": (
        "area second-moment section-modulus torsion-constant gyration mass stress stress-after deflection "
        "deflection-after"
    ),
    "shaft": (
        "stress inner-stress torque-allowed torque-allowed-body torque-allowed-root weakest pitch-diameter "
        "base-diameter major-diameter minor-diameter root-stress engagement-wanted stud-engagement@ order"
    ),
    "driveline": (
        "compound fluctuation acceleration unit-ratio angle-allowed phasing residual-allowed front-bump front-ride "
        "front-droop rear-bump rear-ride rear-droop residual-bump residual-ride residual-droop excitation-bump "
        "excitation-ride excitation-droop length-bump length-ride length-droop slip-in-bump slip-in-ride "
        "slip-in-droop slip-out-bump slip-out-ride slip-out-droop"
    ),
    "skew": "lean camber toe camber-at-tyre toe-at-tyre verdict",
    "tilt": "tilt toward camber toe toe-at-tyre camber-at-tyre up aside residual verdict against-limit",
    "runout": "eccentricity toward full residual verdict",
    "bearing": "full-least full-most slope-least slope-most",
    "seat": "least most interference verdict",
    "sees": "by-tape aside by-straight-edge by-dial by-four-readings",
    "pull": "heat-at never-at",
    "arc": "heat energy travel laid wire-used mass",
    "preheat": "ce cet pcm by-table by-cet least most transition t8-5",
    "cool": "to-touch to-measure to-target slower film-hot film-cold biot along",
    "touch": "at-most says",
    "watch": "least wanted",
}
