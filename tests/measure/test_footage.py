"""Footage against the frame counts of the gauges (read second-hand)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.measure.footage import Footage, Gauge, footage_of, frames_in


@pytest.mark.parametrize(
    ("frames", "gauge", "footage"),
    [(100, "35", (6, 4)), (100, "16", (2, 20)), (1440, "35", (90, 0)), (1440, "16", (36, 0))],
)
def test_footage_of_the_gauges(frames: int, gauge: Gauge, footage: tuple[int, int]) -> None:
    """35 mm with four perforations: 16 frames a foot; 16 mm: 40 frames a foot (second-hand)."""
    assert footage_of(frames, gauge) == footage


@given(frames=st.integers(0, 10_000_000), gauge=st.sampled_from(["35", "16"]))
def test_footage_and_frames_are_the_same_length(frames: int, gauge: Gauge) -> None:
    assert frames_in(footage_of(frames, gauge), gauge) == frames


@pytest.mark.parametrize("footage", [Footage(1, 16), Footage(-1, 0), Footage(0, -1)])
def test_a_foot_of_frames_over_is_refused(footage: Footage) -> None:
    with pytest.raises(ValueError, match="expected 0 to 15"):
        frames_in(footage)


def test_less_than_nothing_has_no_footage() -> None:
    with pytest.raises(ValueError, match="expected 0 or more"):
        footage_of(-1)


def test_footage_is_written_in_words() -> None:
    assert str(footage_of(100)) == "6 ft 4 fr"
