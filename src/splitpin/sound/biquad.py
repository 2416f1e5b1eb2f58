"""Filters of second-order sections, run over sound."""

from __future__ import annotations

from typing import Any

import numpy as np

from splitpin.measure.compiled import kernel


@kernel
def filtered(sections: Any, sound: Any, state: Any) -> Any:
    """Sound through second-order sections one after the other (transposed direct form II).

    ``scipy.signal.sosfilt`` gives the same; to load it takes longer than to make a film again that is there.

    Parameters
    ----------
    sections
        float64 (s, 6): b0, b1, b2, 1, a1, a2 of each.
    sound
        float32 or float64 (channels, n).
    state
        float64 (s, channels, 2): what the sections remember, brought up to date in place.

    Returns
    -------
    ndarray
        float64 (channels, n).
    """
    out = np.empty(sound.shape, np.float64)
    for c in range(sound.shape[0]):
        for i in range(sound.shape[1]):
            x = np.float64(sound[c, i])
            for s in range(sections.shape[0]):
                y = sections[s, 0] * x + state[s, c, 0]
                state[s, c, 0] = sections[s, 1] * x - sections[s, 4] * y + state[s, c, 1]
                state[s, c, 1] = sections[s, 2] * x - sections[s, 5] * y
                x = y
            out[c, i] = x
    return out
