"""Printed dots become tones again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.light import light_table, signal_table

Rgb = NDArray[np.uint8]

WIDTH = 0.36
"""The gaussian's sigma in cells: dots sink by exp(-2 (pi 0.36)^2), 22 dB."""


class Screen(NamedTuple):
    """One screen of printed dots."""

    cell: float
    """From dot to dot, pixels."""
    angle: float
    """The direction of its rows, degrees anticlockwise with y up, -45 to 45 or any turn of it by 90."""


def descreen(rgb: Rgb, screens: Sequence[Screen]) -> Rgb:
    """Smooth printed dots into tones.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    screens
        The screens it was printed with; the coarsest sets how far is averaged.
    """
    if not screens:
        return rgb
    sigma = WIDTH * max(s.cell for s in screens)
    light = light_table()[rgb].astype(np.float32)
    mean = cv2.GaussianBlur(light, (0, 0), sigma, borderType=cv2.BORDER_REFLECT)
    return np.asarray(signal_table()[np.clip(np.rint(mean), 0, 65535).astype(np.uint16)])
