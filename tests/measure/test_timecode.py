"""Time code against SMPTE ST 12-1 (values from memory, confirmed by running opentimelineio 0.18.1)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from opentimelineio.opentime import RationalTime

from splitpin.measure.timecode import before, frame_of, frames_in_label, label_of

NTSC = Fraction(30000, 1001)
FAST = Fraction(60000, 1001)
FILM = Fraction(24000, 1001)
LIBRARY_RATES = [FILM, Fraction(24), Fraction(25), NTSC, Fraction(30), Fraction(50), FAST, Fraction(60)]
"""Rates whose labels opentimelineio knows."""


@pytest.mark.parametrize(
    ("frame", "label"),
    [
        (0, "00:00:00;00"),
        (1799, "00:00:59;29"),
        (1800, "00:01:00;02"),
        (3597, "00:01:59;29"),
        (3598, "00:02:00;02"),
        (17981, "00:09:59;29"),
        (17982, "00:10:00;00"),
        (19782, "00:11:00;02"),
        (107892, "01:00:00;00"),
        (2589407, "23:59:59;29"),
    ],
)
def test_drop_frame_labels_at_29_97(frame: int, label: str) -> None:
    """SMPTE ST 12-1, from memory; the library agrees."""
    assert label_of(frame, NTSC, drop=True) == label
    assert frame_of(label, NTSC) == frame


def test_labels_begin_again_after_a_day() -> None:
    """The count of frames in a day, 2,589,408, from SMPTE ST 12-1 (from memory)."""
    assert label_of(2589408, NTSC, drop=True) == "00:00:00;00"
    assert label_of(86400 * 24, Fraction(24)) == "00:00:00:00"


@given(st.integers(0, 2589407), st.integers(0, 3_000_000))
def test_so_many_frames_before_a_label_it_is_so_many_frames_on_again(frame: int, back: int) -> None:
    for label, rate, day in (
        (label_of(frame, NTSC, drop=True), NTSC, 2589408),
        (label_of(frame % 2073600, Fraction(24)), Fraction(24), 2073600),
    ):
        earlier = before(label, back, rate)
        assert (frame_of(earlier, rate) + back - frame_of(label, rate)) % day == 0


@pytest.mark.parametrize(("frame", "label"), [(3600, "00:01:00;04"), (35964, "00:10:00;00")])
def test_drop_frame_labels_at_59_94(frame: int, label: str) -> None:
    """SMPTE ST 12-1, from memory; the library agrees."""
    assert label_of(frame, FAST, drop=True) == label
    assert frame_of(label, FAST) == frame


@pytest.mark.parametrize(
    ("frame", "rate", "label"), [(86399, Fraction(24), "00:59:59:23"), (100, Fraction(25), "00:00:04:00")]
)
def test_non_drop_labels_count_every_frame(frame: int, rate: Fraction, label: str) -> None:
    """Arithmetic."""
    assert label_of(frame, rate) == label


@given(rate=st.sampled_from(LIBRARY_RATES), data=st.data())
def test_labels_are_those_of_opentimelineio(rate: Fraction, data: st.DataObject) -> None:
    """Within a day, with and without dropped labels."""
    frame = data.draw(st.integers(0, 86400 * frames_in_label(rate) - 90_000))
    drop = data.draw(st.booleans()) if rate in (NTSC, FAST) else False
    theirs = RationalTime(frame, float(rate)).to_timecode(float(rate), drop)
    assert label_of(frame, rate, drop=drop) == theirs


@given(
    rate=st.sampled_from([Fraction(12), *LIBRARY_RATES]), frame=st.integers(0, 1_000_000), drop=st.booleans()
)
def test_reading_a_label_gives_its_frame_back(rate: Fraction, frame: int, drop: bool) -> None:
    drop = drop and rate in (NTSC, FAST)
    assert frame_of(label_of(frame, rate, drop=drop), rate) == frame


@given(frame=st.integers(0, 2_000_000))
def test_drop_frame_labels_grow_with_the_frames_and_are_never_used_twice(frame: int) -> None:
    assert label_of(frame, NTSC, drop=True) < label_of(frame + 1, NTSC, drop=True)


@given(frame=st.integers(0, 2589407))
def test_drop_frame_labels_keep_up_with_the_clock(frame: int) -> None:
    """Two frames (1/15 s) from true time within ten minutes, and 0.0864 s more at the end of a day.

    Arithmetic: 2,589,408 frames × 1001/30000 s are 86,400.0864 s.
    """
    hours, minutes, seconds, frames = (
        int(part) for part in label_of(frame, NTSC, drop=True).replace(";", ":").split(":")
    )
    labelled = 3600 * hours + 60 * minutes + seconds + Fraction(frames, 30)
    assert abs(labelled - frame / NTSC) <= Fraction(1, 15) + Fraction(864, 10000)


@pytest.mark.parametrize(
    ("label", "rate"),
    [
        ("00:01:00;00", NTSC),
        ("00:01:00;01", NTSC),
        ("00:01:00;03", FAST),
        ("00:00:00:24", Fraction(24)),
        ("00:00:60:00", Fraction(24)),
        ("00:60:00:00", Fraction(24)),
        ("24:00:00:00", Fraction(24)),
        ("0:00:00:00", Fraction(24)),
        ("00:00:00.00", Fraction(24)),
        ("00:00:00:00\n", Fraction(24)),
        ("٠٠:00:00:00", Fraction(24)),
        ("", Fraction(24)),
        ("00:00:01;00", FILM),
        ("00:00:01;00", Fraction(30)),
    ],
)
def test_labels_that_do_not_exist_are_refused(label: str, rate: Fraction) -> None:
    """00:01:00;00 does not exist at 29.97 (ST 12-1, from memory); the library takes it silently."""
    with pytest.raises(ValueError, match="expected"):
        frame_of(label, rate)


@pytest.mark.parametrize("rate", [FILM, Fraction(24), Fraction(25), Fraction(30), Fraction(12)])
def test_drop_frame_is_refused_where_it_does_not_exist(rate: Fraction) -> None:
    with pytest.raises(ValueError, match="no drop-frame labels"):
        label_of(0, rate, drop=True)


@pytest.mark.parametrize("rate", [Fraction(47, 2), Fraction(100), Fraction(2997, 100), Fraction(0)])
def test_a_rounded_or_odd_rate_has_no_time_code(rate: Fraction) -> None:
    with pytest.raises(ValueError, match="no time code"):
        label_of(0, rate)


def test_a_frame_before_the_first_has_no_label() -> None:
    with pytest.raises(ValueError, match="no time code"):
        label_of(-1, Fraction(24))
