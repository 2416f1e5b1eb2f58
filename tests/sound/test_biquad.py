"""Second-order sections against the library's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from splitpin.sound.biquad import filtered
from splitpin.sound.loudness import K_WEIGHTING


@pytest.mark.parametrize("kind", [np.float32, np.float64])
@pytest.mark.parametrize("parts", [[4000], [1, 999, 3000], [0, 17, 3983]])
def test_sections_filter_as_scipys_do_in_parts_of_any_length(parts: list[int], kind: type) -> None:
    """scipy.signal.sosfilt."""
    sound: np.ndarray[tuple[int, int], np.dtype[np.floating]] = (
        np.random.default_rng(3).standard_normal((2, 4000)).astype(kind)
    )
    for sections in (K_WEIGHTING, butter(6, 0.3, output="sos")):
        state = np.zeros((len(sections), 2, 2))
        cuts = np.cumsum(parts)[:-1]
        found = np.hstack(
            [filtered(sections, np.ascontiguousarray(part), state) for part in np.split(sound, cuts, axis=1)]
        )
        expected, _ = sosfilt(sections, sound.astype(np.float64), axis=1, zi=np.zeros((len(sections), 2, 2)))
        assert np.allclose(found, expected, rtol=1e-12, atol=1e-13)
