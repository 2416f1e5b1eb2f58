"""Films shown at another rate, frame by frame."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.film.conform import MOST, ConformError, conform
from splitpin.measure.rate import NAMED, parse_rate, samples_of

rates = st.sampled_from([parse_rate(name) for name in NAMED])


@given(rates, rates, st.integers(1, 500_000))
def test_a_film_is_as_long_as_its_frames_at_the_new_rate_or_is_refused(
    rate: Fraction, shown: Fraction, frames: int
) -> None:
    if abs(shown / rate - 1) > MOST:
        with pytest.raises(ConformError, match="would run"):
            conform(rate, shown)
        return
    done = conform(rate, shown)
    assert done.samples(frames) == samples_of(frames, shown)
    assert abs(done.samples(frames) - samples_of(frames, rate) / done.speed) <= 1
    assert (done.told(frames) == "") == (rate == shown)


def test_24_goes_to_25_and_30_does_not() -> None:
    """Films at 24 are shown on television at 25 (common practice): 25/24 is 4.17 % faster."""
    assert conform(Fraction(24), Fraction(25)).speed == Fraction(25, 24)
    assert conform(Fraction(24000, 1001), Fraction(25)).speed == Fraction(1001, 960)
    with pytest.raises(ConformError) as refused:
        conform(Fraction(30), Fraction(25))
    assert "16.7% slower" in refused.value.remedy
