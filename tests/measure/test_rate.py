"""Rates are exact: seconds, frames and samples never drift apart."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.measure.rate import (
    NAMED,
    exposures_in,
    format_rate,
    nearest_frame,
    parse_rate,
    samples_of,
    seconds_of,
)

RATES = st.sampled_from([parse_rate(text) for text in NAMED])


@pytest.mark.parametrize("text", ["23.976", "29.97", "24.0", "0", "", "24000/1000", " 24", "60000/1001"])
def test_rounded_and_unknown_rates_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="expected one of"):
        parse_rate(text)


def test_a_rate_is_written_with_both_its_numbers() -> None:
    assert [format_rate(parse_rate(text)) for text in NAMED] == [
        "12/1",
        "24000/1001",
        "24/1",
        "25/1",
        "30000/1001",
        "30/1",
    ]


def test_frame_1000_at_24000_1001_is_at_41_708333_seconds() -> None:
    """Arithmetic: 1000 × 1001 / 24000."""
    assert round(float(seconds_of(1000, Fraction(24000, 1001))), 6) == 41.708333


@given(rate=RATES, frame=st.integers(0, 1_000_000))
def test_the_time_of_a_frame_leads_back_to_it(rate: Fraction, frame: int) -> None:
    assert nearest_frame(seconds_of(frame, rate), rate) == frame


@given(rate=RATES, frames=st.lists(st.integers(1, 500), min_size=1, max_size=50))
def test_the_samples_of_spans_that_follow_one_another_add_up(rate: Fraction, frames: list[int]) -> None:
    ends = [sum(frames[: i + 1]) for i in range(len(frames))]
    starts = [0, *ends[:-1]]
    parts = [samples_of(end, rate) - samples_of(start, rate) for start, end in zip(starts, ends, strict=True)]
    assert sum(parts) == samples_of(ends[-1], rate)


@given(rate=RATES, frame=st.integers(0, 1_000_000))
def test_a_sample_is_never_further_than_half_a_sample_from_its_frame(rate: Fraction, frame: int) -> None:
    assert abs(Fraction(samples_of(frame, rate), 48_000) - seconds_of(frame, rate)) <= Fraction(1, 96_000)


@given(frames=st.integers(1, 10_000), on=st.integers(1, 240))
def test_exposures_cover_a_span_and_no_more(frames: int, on: int) -> None:
    count = exposures_in(frames, on)
    assert (count - 1) * on < frames <= count * on
