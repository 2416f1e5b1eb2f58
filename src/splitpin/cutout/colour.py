"""The thing's own colour where the picture shows a mixture.

T. Germer, T. Uelwer, S. Conrad, S. Harmeling, "Fast multi-level foreground estimation", ICPR 2020: find the
smoothest colours of the thing and of what is behind it that mix to the picture, from coarse to fine.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

Floats = NDArray[np.float32]
SMOOTH, STEEP = 1e-5, 1.0
"""How strongly neighbours are drawn together, everywhere and by the coverage's steps."""
SMALL, ROUNDS = 32, (10, 2)
"""Levels up to this size get the first number of rounds, larger ones the second."""
BESIDE = 9
"""Around a mixture colours are found in a square of this side, pixels."""


def colours(light: Floats, alpha: Floats) -> tuple[Floats, Floats]:
    """Colours of the thing and of what is behind it.

    Parameters
    ----------
    light
        float32 (h, w, 3), linear light.
    alpha
        float32 (h, w), 0..1.

    Returns
    -------
    thing, behind
        float32 (h, w, 3) each, 0..1: ``alpha · thing + (1 - alpha) · behind`` is near ``light``.
    """
    h, w = alpha.shape
    levels = max(1, int(np.ceil(np.log2(max(h, w)))))
    thing, behind = _mean(light, alpha > 0.9), _mean(light, alpha < 0.1)
    for level in range(levels + 1):
        size = (
            max(1, round(w ** (level / levels))),
            max(1, round(h ** (level / levels))),
        )
        near = cv2.INTER_NEAREST
        a = np.asarray(cv2.resize(alpha, size, interpolation=near), np.float32)
        i = np.asarray(cv2.resize(light, size, interpolation=near), np.float32)
        f = np.asarray(cv2.resize(thing, size, interpolation=near), np.float32)
        b = np.asarray(cv2.resize(behind, size, interpolation=near), np.float32)
        thing, behind = f.reshape(*a.shape, 3), b.reshape(*a.shape, 3)
        small = max(size) <= SMALL
        # Far from any mixture the picture's own colour is asked for, not one of these.
        mixed = ((a > 0) & (a < 1)).astype(np.uint8)
        asked = np.ones_like(mixed) if small else cv2.dilate(mixed, np.ones((BESIDE, BESIDE), np.uint8))
        _settle(i.reshape(*a.shape, 3), a, asked, thing, behind, ROUNDS[0] if small else ROUNDS[1])
    return thing, behind


def _mean(light: Floats, where: NDArray[np.bool_]) -> Floats:
    mean = cv2.mean(light, where.view(np.uint8))[:3] if where.any() else (0.5, 0.5, 0.5)
    return np.array(mean, np.float32).reshape(1, 1, 3)


@kernel
def _settle(light: Any, alpha: Any, asked: Any, thing: Any, behind: Any, rounds: Any) -> None:
    h, w = alpha.shape
    f, b = np.empty(3), np.empty(3)
    for _ in range(rounds):
        for y in range(h):
            for x in range(w):
                if not asked[y, x]:
                    continue
                a = alpha[y, x]
                whole = 0.0
                f[:] = 0.0
                b[:] = 0.0
                for k in range(4):
                    yy = min(max(y + (k == 0) - (k == 1), 0), h - 1)
                    xx = min(max(x + (k == 2) - (k == 3), 0), w - 1)
                    g = SMOOTH + STEEP * abs(a - alpha[yy, xx])
                    whole += g
                    for c in range(3):
                        f[c] += g * thing[yy, xx, c]
                        b[c] += g * behind[yy, xx, c]
                # The mean of the neighbours, moved as little as makes it mix to the picture.
                by = 1.0 / (a * a + (1 - a) * (1 - a) + whole)
                for c in range(3):
                    mf, mb = f[c] / whole, b[c] / whole
                    off = (light[y, x, c] - a * mf - (1 - a) * mb) * by
                    thing[y, x, c] = min(max(mf + a * off, 0.0), 1.0)
                    behind[y, x, c] = min(max(mb + (1 - a) * off, 0.0), 1.0)
