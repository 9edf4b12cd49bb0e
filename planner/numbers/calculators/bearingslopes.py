"""The slope that bearings take, which more than one calculator judges by."""

from __future__ import annotations

SOURCE = "Budynas & Nisbett, Shigley's Mechanical Engineering Design, Table 7-2"
#: Slope in rad that a bearing takes: from, to.
BEARINGS = {
    "tapered-roller": (0.0005, 0.0012),
    "cylindrical-roller": (0.0008, 0.0012),
    "deep-groove-ball": (0.001, 0.003),
}
