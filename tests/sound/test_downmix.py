"""Many channels to two."""

from __future__ import annotations

import numpy as np
import pytest

from splitpin.sound.downmix import MOST_CHANNELS, downmix


@pytest.mark.parametrize("ogg", [False, True])
@pytest.mark.parametrize("channels", range(1, MOST_CHANNELS + 1))
def test_left_and_right_are_treated_alike(channels: int, ogg: bool) -> None:
    matrix = downmix(channels, ogg)
    assert matrix.shape == (channels, 2)
    assert matrix[:, 0].sum() == pytest.approx(matrix[:, 1].sum())
    assert sorted(matrix[:, 0].tolist()) == sorted(matrix[:, 1].tolist())


def test_mono_goes_to_both_sides_as_it_is_and_stereo_stays() -> None:
    assert downmix(1).tolist() == [[1, 1]]
    assert np.array_equal(downmix(2), np.eye(2))


@pytest.mark.parametrize("channels", range(1, MOST_CHANNELS + 1))
def test_the_two_orders_hold_the_same_channels(channels: int) -> None:
    assert sorted(downmix(channels).tolist()) == sorted(downmix(channels, ogg=True).tolist())


def test_five_one_in_the_order_of_wav() -> None:
    """ITU-R BS.775-3, annex 4, table 2, from memory: the middle and the surrounds at 0.7071."""
    half = pytest.approx(0.7071, abs=1e-4)
    assert downmix(6).tolist() == [[1, 0], [0, 1], [half, half], [0, 0], [half, 0], [0, half]]
