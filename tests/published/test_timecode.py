"""Time code labels against SMPTE ST 12-1 and a library of its own."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from timecode.timecode import Timecode  # PyPI timecode: a second opinion on every label

from planner.paper.timecode import RATES, Rate, TimecodeError, frames_of, label_of, rate_of

DROP = Rate("29.97", drop=True)


@pytest.mark.parametrize(
    ("frame", "label"),
    [(1799, "00:00:59;29"), (1800, "00:01:00;02"), (17982, "00:10:00;00"), (107892, "01:00:00;00")],
)
def test_drop_frame_labels(frame: int, label: str) -> None:
    """SMPTE ST 12-1, drop-frame counting at 30 000/1001."""
    assert label_of(frame, DROP) == label
    assert frames_of(label, DROP) == frame


@pytest.mark.parametrize("label", ["00:01:00;00", "00:01:00;01", "13:59:00;01"])
def test_a_label_that_is_left_out_is_refused(label: str) -> None:
    """SMPTE ST 12-1: these labels do not exist. Libraries let them through."""
    with pytest.raises(TimecodeError, match="does not exist"):
        frames_of(label, DROP)


@given(st.integers(0, 24 * 3600 * 30 - 1), st.sampled_from(["23.976", "24", "25", "29.97", "30", "50", "60"]))
def test_labels_as_the_library_counts_them(frame: int, name: str) -> None:
    rate = Rate(name, drop=False)
    frame %= rate.day
    other = Timecode("30" if name == "29.97" else "24" if name == "23.976" else name, frames=frame + 1)
    assert label_of(frame, rate) == str(other)


@given(st.integers(0, DROP.day - 1))
def test_drop_frame_labels_as_the_library_counts_them(frame: int) -> None:
    assert label_of(frame, DROP) == str(Timecode("29.97", frames=frame + 1))


@given(st.integers(0, 10_000_000), st.sampled_from(sorted(RATES)), st.booleans())
def test_every_frame_comes_back_from_its_label(frame: int, name: str, drop: bool) -> None:
    rate = Rate(name, drop and name in ("29.97", "59.94"))
    assert frames_of(label_of(frame, rate), rate) == frame % rate.day


def test_drop_frame_keeps_up_with_the_clock() -> None:
    """An hour of labels is an hour of time to within a hundredth of a second (108 frames are left out of 108 000)."""
    for name in ("29.97", "59.94"):
        rate = Rate(name, drop=True)
        assert abs(frames_of("01:00:00;00", rate) / float(rate.fps) - 3600) < 0.01


@pytest.mark.parametrize(("rate", "label"), [("25", "00:00:00;00"), ("26", "00:00:00:00"), ("x", "00:00:00:00")])
def test_rates_that_cannot_be(rate: str, label: str) -> None:
    with pytest.raises(TimecodeError):
        rate_of(rate, label)


@pytest.mark.parametrize(
    "label", ["", "1:2:3:4", "24:00:00:00", "00:60:00:00", "00:00:60:00", "00:00:00:25", "٠٠:00:00:00"]
)
def test_labels_that_cannot_be(label: str) -> None:
    with pytest.raises(TimecodeError):
        frames_of(label, Rate("25", drop=False))
