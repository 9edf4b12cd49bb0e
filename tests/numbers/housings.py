"""Housings to narrow, made up but consistent, for the tests of ``narrow``.

Everything is in whole 64ths of an inch, so that an oracle in exact fractions is possible.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from hypothesis import strategies as st

Typed = str | Mapping[str, str]
SIDES = ("driver", "passenger")


def inches(count: int) -> str:
    """So many 64ths as a person types them."""
    sign, count = ("-" if count < 0 else ""), abs(count)
    whole, above = divmod(count, 64)
    return f"{sign}{whole} {above}/64 in"


def millimetres(count: int) -> str:
    """The same length in millimetres, exactly."""
    return f"{float(Fraction(count, 64) * Fraction(254, 10)):.9f} mm"


def value(count: Fraction | int) -> float:
    """So many 64ths as a float of millimetres."""
    return float(Fraction(count) / 64 * Fraction(254, 10))


class Housing(NamedTuple):
    """Readings and choices in 64ths; pairs are first and second side."""

    pinion: tuple[int, int]  # P
    plate: tuple[int, int]  # e
    overlap: tuple[int, int]  # P - L
    hat: tuple[int, int]  # t
    finished: tuple[int, int] | None  # e'
    first: tuple[int, int]  # a
    removed: int  # how much narrower, from flange to flange
    kerf: int
    dressing: int
    gap: int
    shrinkage: tuple[int, int]
    to_centre: int
    pocket: int
    choice: str  # keep, centre, equal-shafts

    @property
    def flanges(self) -> int:
        """F."""
        return sum(self.pinion)

    @property
    def pads(self) -> int:
        """W'."""
        return self.flanges - self.removed + sum(self.hat)

    @property
    def new_offset(self) -> Fraction:
        """o'."""
        if self.choice == "keep":
            return Fraction(self.pinion[0] - self.pinion[1], 2)
        return Fraction(self.overlap[0] - self.overlap[1], 2) if self.choice == "equal-shafts" else Fraction(0)

    def new_pinion(self, side: int) -> Fraction:
        """P'."""
        return Fraction(self.flanges - self.removed, 2) + (self.new_offset if side == 0 else -self.new_offset)

    def finished_plate(self, side: int) -> int:
        """e'."""
        return (self.finished or self.plate)[side]

    def shorten(self, side: int) -> Fraction:
        """R."""
        return (self.pinion[side] - self.plate[side]) - (self.new_pinion(side) - self.finished_plate(side))

    def between(self, side: int) -> Fraction:
        """N."""
        return self.shorten(side) + self.gap - Fraction(sum(self.shrinkage), 2)

    def swapped(self) -> Housing:
        """The same housing seen from the other side."""
        return self._replace(
            pinion=self.pinion[::-1], plate=self.plate[::-1], overlap=self.overlap[::-1], hat=self.hat[::-1],
            finished=None if self.finished is None else self.finished[::-1], first=self.first[::-1],
        )  # fmt: skip

    def typed(self, unit: str = "in", plus_minus: str = "") -> dict[str, Typed]:
        """As it is typed into a file."""
        write = inches if unit == "in" else millimetres

        def one(count: int) -> str:
            return write(count) + plus_minus

        def each(pair: tuple[int, int]) -> dict[str, str]:
            return {side: one(count) for side, count in zip(SIDES, pair, strict=True)}

        def chosen(pair: tuple[int, int]) -> dict[str, str]:
            return {side: write(count) for side, count in zip(SIDES, pair, strict=True)}

        low, high = self.shrinkage
        plates = self.flanges - sum(self.plate)
        lengths = (self.pinion[0] - self.overlap[0], self.pinion[1] - self.overlap[1])
        found: dict[str, Typed] = {
            "flange-to-flange": one(self.flanges), "pinion-to-flange": each(self.pinion),
            "flange-to-plate": each(self.plate), "plate-to-plate": one(plates), "shaft": each(lengths),
            "pads": write(self.pads), "hat": chosen(self.hat), "first-line": chosen(self.first),
            "kerf": write(self.kerf), "dressing": write(self.dressing), "gap": write(self.gap),
            "shrinkage": f"{write(low)}..{write(high)}" if unit == "mm" else f"{low / 64:.6f}..{high / 64:.6f} in",
            "to-centre": write(self.to_centre), "pocket": write(self.pocket), "pinion": self.choice,
            "tube-first": "3 in", "tube-second": "3 in",
        }  # fmt: skip
        if self.finished is not None:
            found["finished-flange-to-plate"] = each(self.finished)
        return found


@st.composite
def housings(draw: st.DrawFn) -> Housing:
    """Housings that can be narrowed: every line on the tube, both sides shortened by more than the kerfs."""

    def pair(low: int, high: int) -> tuple[int, int]:
        return draw(st.integers(low, high)), draw(st.integers(low, high))

    plate = pair(100, 220)
    return Housing(
        pinion=pair(1900, 2100),
        plate=plate,
        overlap=pair(40, 90),
        hat=pair(0, 30),
        finished=draw(st.sampled_from([None, (plate[0] + 8, plate[1] - 6)])),
        first=pair(200, 330),
        removed=draw(st.integers(480, 900)),
        kerf=draw(st.integers(3, 10)),
        dressing=draw(st.integers(0, 3)),
        gap=draw(st.integers(0, 8)),
        shrinkage=draw(st.sampled_from([(1, 5), (0, 0), (2, 2)])),
        to_centre=draw(st.integers(250, 400)),
        pocket=draw(st.integers(0, 120)),
        choice=draw(st.sampled_from(["keep", "centre", "equal-shafts"])),
    )


#: One that is the same on every run, for examples.
PLAIN = Housing(
    (1984, 1856), (192, 192), (64, 64), (16, 16), None, (256, 224), 400, 8, 2, 4, (1, 5), 320, 128, "keep"
)  # fmt: skip
