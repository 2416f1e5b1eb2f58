"""Linear light. Values: IEC 61966-2-1, from memory of the standard; WCAG 2.2 prints the same curve."""

from __future__ import annotations

import numpy as np
import pytest

from splitpin.measure.light import light_table, luminance, signal_table, to_light, to_signal


@pytest.mark.parametrize(
    ("value", "light"), [(10, 0.003035), (11, 0.003347), (64, 0.051269), (128, 0.215861), (188, 0.502886)]
)
def test_eight_bit_values_stand_for_the_light_of_the_standard(value: int, light: float) -> None:
    assert to_light(value / 255) == pytest.approx(light, abs=1e-6)


@pytest.mark.parametrize(("light", "value"), [(0.5, 187.516), (0.18, 117.646)])
def test_light_is_encoded_by_the_curve_of_the_standard(light: float, value: float) -> None:
    assert to_signal(light) * 255 == pytest.approx(value, abs=1e-3)


def test_encoding_undoes_decoding() -> None:
    signals = np.linspace(0, 1, 10_001)
    assert np.abs(to_signal(to_light(signals)) - signals).max() < 1e-7


def test_the_tables_undo_each_other_exactly() -> None:
    assert (signal_table()[light_table()] == np.arange(256)).all()


def test_the_tables_cannot_be_written() -> None:
    with pytest.raises(ValueError, match="read-only"):
        light_table()[0] = 1


def test_more_light_never_makes_a_darker_signal() -> None:
    assert (np.diff(signal_table().astype(int)) >= 0).all()
    assert (signal_table()[0], signal_table()[-1]) == (0, 255)


def test_white_has_luminance_one_and_green_the_most_of_it() -> None:
    """WCAG 2.2, relative luminance: .2126 R + .7152 G + .0722 B."""
    white, red, green, blue = luminance([[1, 1, 1], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    assert white == pytest.approx(1)
    assert (red, green, blue) == pytest.approx((0.2126, 0.7152, 0.0722))
