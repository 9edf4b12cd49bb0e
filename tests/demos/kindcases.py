"""Wrong and right plans for the kinds of work, one pair a mistake of the trade.

Where no source is named, the order is common practice, no source.
"""

from __future__ import annotations

from tests.demos.kindlines import (
    BRACKET,
    CHECK,
    COOL,
    CUT,
    DONE,
    LOOK,
    ORDER,
    PREP,
    SIGN,
    WELD,
    Case,
    gap,
    less,
    trap,
)

# Rolling bears on both joints; the other side's roll fails for the same cause, so it is the same finding.
ROLLED = {"roll": (trap("spoiled", "next@driver", "housing.flush@{s}", "run@{s}"),)}
LOOSE = (("measure", "hold"), ("check", "clamp"), ("turn-over", "bolt"), ("roll", "clamp"), ("mock-up", "align"))
PROVED = BRACKET + "\n ride mock-up perch"
HEATED = (("fillet-weld", BRACKET), ("stitch", BRACKET), ("weld-bracket", PROVED), ("flame", ""), ("straighten", ""))

CASES = [
    # 1. Welding what is not cleaned, not bevelled, not tacked.
    Case("never cleaned", less("bright") + WELD, (gap("tacks@{s}", "joint.cleaned@{s}"),), PREP + WELD),
    Case(
        "cleaned after the tacks",
        less("bright") + "\n bright clean joint" + WELD,
        (trap("given-later", "tacks@{s}", "joint.cleaned@{s}", "bright@{s}"),),
        PREP + WELD,
    ),
    Case("never bevelled", less("prep") + WELD, (gap("run@{s}", "joint.bevelled@{s}"),), PREP + WELD),
    Case(
        "bevelled after the weld",
        less("prep") + WELD + "\n prep bevel joint",
        (trap("given-later", "run@{s}", "joint.bevelled@{s}", "prep@{s}"),),
        PREP + WELD,
    ),
    Case(
        "bevelled before the cut took the bevel off",
        "prep bevel joint" + less("prep") + WELD,
        (trap("spoiled", "run@{s}", "joint.bevelled@{s}", "saw-off@{s}"),),
        PREP + WELD,
    ),
    Case("never tacked", less("tacks") + WELD, (gap("run@{s}", "joint.tacked@{s}"),), PREP + WELD),
    Case(
        "tacked after the weld",
        less("tacks") + WELD + "\n tacks tack joint",
        (trap("given-later", "run@{s}", "joint.tacked@{s}", "tacks@{s}"),),
        PREP + WELD,
    ),
    Case(
        "tacked before the ends are offered up",
        less("seat", less("offer-up")) + "\n offer-up fit-up joint\n again tack joint",
        (trap("spoiled", "tacks@{s}", "joint.in-place@{s}", "saw-off@{s}"),),
        PREP,
    ),
    # 2. What is hot or loose is not measured, checked or turned. Steel grows about 12 micrometres a metre and
    # kelvin (value from memory): a metre of housing still 100 K up reads 1.2 mm long.
    *[
        Case(
            f"{kind} while hot",
            PREP + WELD + f"\n next {kind} joint",
            (
                trap("spoiled", "next@{s}", "housing.cool@{s}", "run@{s}"),
                *ROLLED.get(kind, ()),
            ),
            PREP + WELD + COOL + "\n smooth dress joint" + f"\n next {kind} joint",
        )
        for kind in ("measure", "inspect", "turn-over", "release", "roll")
    ],
    *[
        Case(
            f"{kind} while loose",
            f"offer-up fit-up joint\n next {kind} joint",
            (trap("spoiled", "next@{s}", "housing.held@{s}", "offer-up@{s}"),),
            f"offer-up fit-up joint\n down {holder} joint\n next {kind} joint",
        )
        for kind, holder in LOOSE
    ],
    *[
        Case(
            f"{kind} with the end just cut off",
            CUT + f"\n next {kind} housing",
            (trap("spoiled", "next@{s}", "housing.held@{s}", "saw-off@{s}"),),
            CUT + f"\n down {holder} joint\n next {kind} housing",
        )
        for kind, holder in LOOSE
    ],
    # Hot: a seat has grown, paint blisters, a lead's skin melts and oil catches fire; cold straightening is cold.
    *[
        Case(
            f"{kind} on hot metal",
            f"plate retainer shaft\n warm preheat housing\n next {kind} shaft",
            (trap("spoiled", "next@{s}", "housing.cool@{s}", "warm@{s}"),),
            f"plate retainer shaft\n warm preheat housing\n cold cool housing\n next {kind} shaft",
        )
        for kind in ("press", "press-on", "paint", "prime", "fill", "wire", "machine", "straighten")
    ],
    Case(
        "measured hot from preheat",
        "warm preheat housing\n size measure housing",
        (trap("spoiled", "size@{s}", "housing.cool@{s}", "warm@{s}"),),
        "size measure housing\n warm preheat housing",
    ),
    # 3. Cutting before marking, and before the clock marks.
    Case(
        "cut before it is marked",
        less("lay-out") + "\n lay-out mark joint",
        (trap("given-later", "saw-off@{s}", "joint.marked@{s}", "lay-out@{s}"),),
        PREP,
    ),
    Case(
        "cut before the clock marks",
        less("witness") + "\n witness clock-mark joint",
        (trap("given-later", "saw-off@{s}", "joint.clocked@{s}", "witness@{s}"),),
        PREP,
    ),
    Case(
        "cut with no marks at all",
        "saw-off cut bar",
        (gap("saw-off@{s}", "bar.marked@{s}"), gap("saw-off@{s}", "bar.clocked@{s}")),
        "line mark bar\n clock clock-mark bar\n saw-off cut bar",
    ),
    Case(
        "an opening cut before it is marked",
        "rot cut-away sill\n outline mark sill",
        (trap("given-later", "rot@{s}", "sill.marked@{s}", "outline@{s}"),),
        "outline mark sill\n rot cut-away sill",
    ),
    # 4. Scribed lines wiped off before they are punched or used.
    *[
        Case(
            f"lines lost to {kind}",
            f"line mark joint\n wipe {kind} joint",
            (trap("spoiled", "wipe@{s}", "joint.lines-kept@{s}", "line@{s}"),),
            right,
        )
        for kind, right in (
            ("clean", "line mark joint\n pop punch joint\n wipe clean joint"),
            ("clean", "wipe clean joint\n line mark joint"),
            ("clean", "line mark plate\n saw cut-out plate\n wipe clean plate"),
            ("blast", "line mark plate\n hole drill plate\n wipe blast plate"),
        )
    ],
    Case(
        "lines lost although it is clamped down",
        "line mark joint\n down clamp joint\n wipe clean joint",
        (trap("spoiled", "wipe@{s}", "joint.lines-kept@{s}", "line@{s}"),),
        "line mark joint\n down clamp joint\n pop punch joint\n wipe clean joint",
    ),
    # 5. Grit left inside before the tube is shut.
    *[
        Case(
            f"shut over the grit of {kind}",
            f"grit {kind} tube\n lid close cap",
            (trap("spoiled", "lid@{s}", "housing.swept@{s}", "grit@{s}"),),
            f"grit {kind} tube\n air blow-out housing\n lid close cap",
        )
        for kind in ("dress", "bevel", "drill", "machine", "blast")
    ],
    Case(
        "shut over the grit of a cut",
        less("grit") + "\n lid close cap",
        (trap("spoiled", "lid@{s}", "housing.swept@{s}", "saw-off@{s}"),),
        PREP + "\n air blow-out housing\n lid close cap",
    ),
    Case(
        "dressed after it was blown out",
        "air blow-out housing\n smooth dress joint\n lid close cap",
        (trap("spoiled", "lid@{s}", "housing.swept@{s}", "smooth@{s}"),),
        "smooth dress joint\n air blow-out housing\n lid close cap",
    ),
    Case(
        "oil poured onto swarf",
        "hole drill tube\n oil fill housing",
        (trap("spoiled", "oil@{s}", "housing.swept@{s}", "hole@{s}"),),
        "hole drill tube\n air blow-out housing\n oil fill housing",
    ),
    # 6. Bearings, seals or electronics in place while welding.
    *[
        Case(
            f"welding after {kind}",
            f"{first}in {kind} shaft" + PREP,
            (trap("spoiled", "tacks@{s}", "housing.heat-safe@{s}", "in@{s}"),),
            f"{first}in {kind} shaft\n out strip housing" + PREP,
        )
        for kind, first in (("press", ""), ("wire", ""))
    ],
    Case(
        "seal pressed in between tacks and weld",
        PREP + "\n seal press housing" + WELD,
        (trap("spoiled", "run@{s}", "housing.heat-safe@{s}", "seal@{s}"),),
        PREP + WELD + COOL + "\n seal press housing",
    ),
    Case(
        "flame on a fitted bearing",
        "seal press housing\n coax flame housing",
        (trap("spoiled", "coax@{s}", "housing.heat-safe@{s}", "seal@{s}"),),
        "coax flame housing\n cold cool housing\n seal press housing",
    ),
    # 7. The bearing goes on after its retainer, or it has to come off again.
    Case(
        "bearing before its retainer",
        "bearing press-on shaft\n plate retainer shaft",
        (trap("given-later", "bearing@{s}", "shaft.retainer-on@{s}", "plate@{s}"),),
        "plate retainer shaft\n bearing press-on shaft",
    ),
    Case(
        "retainer forgotten",
        "bearing press-on shaft",
        (gap("bearing@{s}", "shaft.retainer-on@{s}"),),
        "plate retainer shaft\n bearing press-on shaft",
    ),
    # 8. Ordered from a measurement older than the last heat. Published rules for how much a weld draws a
    # joint together disagree about twofold, and none says nothing: no size taken before it holds after it.
    *[
        Case(
            f"ordered on a size older than {kind}",
            f"size measure housing\n heat {kind} housing\n buy order shaft sides: once",
            (trap("spoiled", "buy", "housing.measured@{s}", "heat@{s}"),),
            f"heat {kind} housing\n cold cool housing\n size measure housing\n buy order shaft sides: once",
        )
        for kind in ("flame", "straighten")
    ],
    Case(
        "ordered on a size older than the weld",
        PREP + "\n size measure housing" + WELD + COOL + "\n buy order shaft",
        (trap("spoiled", "buy@driver", "housing.measured@{s}", "run@{s}"),),
        DONE + "\n size measure housing\n buy order shaft",
    ),
    Case(
        "only one side measured again",
        "first measure housing" + DONE + "\n size measure housing sides: [driver], why: gauge was there"
        "\n buy order shaft sides: once",
        (trap("spoiled", "buy", "housing.measured@passenger", "saw-off@passenger"),),
        DONE + "\n size measure housing\n buy order shaft sides: once",
    ),
    Case(
        "ordered while the joint is only tacked",
        PREP + "\n size measure housing\n buy order shaft sides: once",
        (trap("spoiled", "buy", "housing.joined@{s}", "saw-off@{s}"),),
        DONE + "\n size measure housing\n buy order shaft sides: once",
    ),
    Case(
        "ordered with no measurement",
        "buy order shaft sides: once",
        (gap("buy", "housing.measured@{s}"),),
        "size measure housing\n buy order shaft sides: once",
    ),
    # The size was fresh when the part was ordered; the heat, the force or the saw came after.
    Case(
        "ordered before the cut and the weld",
        ORDER + PREP + WELD,
        (trap("spoiled", "saw-off@{s}", "housing.unordered@{s}", "buy"),),
        DONE + ORDER,
    ),
    *[
        Case(
            f"ordered before {kind}",
            f"{prep}{ORDER}\n heat {kind} perch",
            (trap("spoiled", "heat@{s}", "housing.unordered@{s}", "buy"),),
            f"{prep}\n heat {kind} perch\n cold cool perch{ORDER}",
        )
        for kind, prep in HEATED
    ],
    Case(
        "one side's part ordered before the heat on both",
        "size measure housing\n buy order shaft sides: [driver], why: the other is in stock\n heat flame housing",
        (trap("spoiled", "heat@{s}", "housing.unordered@{s}", "buy@driver"),),
        "heat flame housing\n cold cool housing\n size measure housing\n buy order shaft",
    ),
    # 9. Brackets are finish-welded once a mock-up has proved them.
    Case(
        "bracket welded before the mock-up",
        BRACKET + "\n run weld-bracket perch\n ride mock-up perch",
        (trap("given-later", "run@{s}", "perch.proved@{s}", "ride@{s}"),),
        PROVED + "\n run weld-bracket perch",
    ),
    Case(
        "bracket never mocked up",
        BRACKET + "\n run weld-bracket perch",
        (gap("run@{s}", "perch.proved@{s}"),),
        "ride mock-up perch\n" + BRACKET + "\n run weld-bracket perch",
    ),
    # 10. Paint before welding.
    *[
        Case(
            f"{kind} before welding",
            PREP + f"\n coat {kind} housing" + WELD,
            (trap("spoiled", "run@{s}", "joint.bare@{s}", "coat@{s}"),),
            DONE + f"\n coat {kind} housing",
        )
        for kind in ("prime", "paint")
    ],
    Case(
        "tacked over primer",
        less("tacks") + "\n coat prime joint\n tacks tack joint",
        (trap("spoiled", "tacks@{s}", "joint.bare@{s}", "coat@{s}"),),
        less("tacks") + "\n coat prime joint\n back clean joint\n tacks tack joint",
    ),
    # 11. Weld metal proud where a fixture bears: one side finished keeps the other from bedding down.
    Case(
        "one side finished before the other beds down",
        less("tacks") + "\n down clamp joint\n tacks tack joint\n bar check joint" + WELD,
        (trap("spoiled", "down@passenger", "housing.flush@driver", "run@driver"),),
        less("tacks")
        + "\n down clamp joint\n tacks tack joint\n bar check joint"
        + WELD
        + COOL
        + "\n smooth dress joint",
        "side-first",
    ),
    # 12. Signing off on an old check; out of the fixture too soon.
    *[
        Case(
            f"signed off on a check older than {kind}",
            f"{prep}{CHECK}\n heat {kind} perch{COOL}{LOOK}{SIGN}",
            (trap("spoiled", "end", "housing.checked@{s}", "heat@{s}"),),
            f"{prep}\n heat {kind} perch{COOL}{LOOK}{CHECK}{SIGN}",
        )
        for kind, prep in HEATED
    ],
    *[
        Case(
            f"signed off with the {kind} not looked over since",
            f"{prep}{LOOK}\n heat {kind} perch{COOL}{CHECK}{SIGN}",
            (trap("spoiled", "end", "housing.looked-over@{s}", "heat@{s}"),),
            f"{prep}\n heat {kind} perch{COOL}{CHECK}{LOOK}{SIGN}",
        )
        for kind, prep in (("weld", PREP.replace("joint", "perch")), *HEATED[:3])
    ],
    Case(
        "painted before the welds are looked over",
        DONE + "\n coat paint housing" + LOOK,
        (trap("spoiled", "look@{s}", "housing.bare@{s}", "coat@{s}"),),
        DONE + LOOK + "\n coat paint housing",
    ),
    Case(
        "signed off with a bracket still only tacked on one side",
        BRACKET + "\n run fillet-weld perch sides: [driver], why: filmed" + COOL + CHECK + LOOK + SIGN,
        (trap("spoiled", "end", "housing.welded@passenger", "tacks@passenger"),),
        BRACKET + "\n run fillet-weld perch" + COOL + CHECK + LOOK + SIGN,
    ),
    Case(
        "signed off with a joint only tacked",
        PREP + CHECK + "\n end sign-off housing",
        (
            trap("spoiled", "end@{s}", "housing.joined@{s}", "saw-off@{s}"),
            trap("spoiled", "end@{s}", "housing.welded@{s}", "tacks@{s}"),
        ),
        DONE + CHECK + LOOK + "\n end sign-off housing",
    ),
    Case(
        "signed off with air in the brakes",
        "hose brake-line housing\n straight check housing\n end sign-off housing",
        (trap("spoiled", "end@{s}", "housing.bled@{s}", "hose@{s}"),),
        "hose brake-line housing\n air bleed housing\n straight check housing\n end sign-off housing",
    ),
    Case(
        "out of the fixture before the tacks",
        less("tacks") + "\n down clamp joint\n out release housing",
        (trap("spoiled", "out@{s}", "housing.fast@{s}", "offer-up@{s}"),),
        less("tacks") + "\n down clamp joint\n tacks tack joint\n out release housing",
    ),
    # Oil and heat: 29 CFR 1910.252(a)(3), containers are cleaned and hollow spaces vented before heat.
    *[
        Case(
            f"{kind} with oil in it",
            f"{prep}\n oil fill housing\n heat {kind} joint",
            (trap("spoiled", "heat@{s}", "housing.dry@{s}", "oil@{s}"),),
            f"{prep}\n oil fill housing\n out drain housing\n heat {kind} joint",
        )
        for kind, prep in (
            ("weld", PREP + "\n air blow-out housing"),
            ("preheat", ""),
            ("flame", ""),
            ("cut", "line mark joint\n turn clock-mark joint"),
        )
    ],
]
