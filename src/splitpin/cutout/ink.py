"""Blacken a cut edge, as the white edge of paper is blackened with a pen before it comes under the camera."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.distance import edge_loops, signed_distance
from splitpin.cutout.mistake import CutError
from splitpin.measure.light import to_light, to_signal

SOFT = 0.3
"""How much of the ink's width its inner end takes to fade; a pixel at least, that its steps do not show."""
MOST_MM = 20.0


def ink(
    rgba: NDArray[np.uint8],
    width_mm: float,
    mm_per_px: float,
    colour: tuple[int, int, int] = (12, 11, 10),
    strength: float = 0.985,
) -> NDArray[np.uint8]:
    """Darken the edge of a cut-out.

    Parameters
    ----------
    rgba
        uint8 (height, width, 4), sRGB, straight alpha.
    width_mm
        How far from the edge inwards the ink reaches half its strength, mm, 0..20. Paper is 0.1 to 0.4 thick.
    mm_per_px
        The size of a pixel, mm.
    colour
        The ink, sRGB.
    strength
        How much of the light of the paper under it the ink takes, 0..1. Felt pens are near-black on white
        paper too: their density is about 1.8 (from memory), which leaves a sixtieth.

    Returns
    -------
    ndarray
        The same shape; alpha is the same, and colours farther inside than ``width_mm`` and its soft end, too.

    Raises
    ------
    CutError
        When a number is out of its range.
    """
    if not (0 <= width_mm <= MOST_MM and mm_per_px > 0 and 0 <= strength <= 1):
        raise CutError(
            "ink",
            f"{width_mm} mm wide, strength {strength}, {mm_per_px} mm a pixel",
            f"0 to {MOST_MM:g} mm wide, strength 0 to 1, pixels above 0 mm",
            "give other numbers",
        )
    out = rgba.copy()
    height, width = rgba.shape[:2]
    loops = edge_loops(rgba[..., 3])
    if width_mm == 0 or not loops:
        return out
    soft = max(width_mm * SOFT, mm_per_px)
    end = width_mm + soft / 2
    deep = -signed_distance(loops, width, height, -end / mm_per_px, 1.0) * mm_per_px
    fade = np.clip((end - deep) / soft, 0, 1)
    inked = (fade > 0) & (rgba[..., 3] > 0)
    # Smooth at both ends; one half in the middle.
    share = (strength * fade**2 * (3 - 2 * fade))[inked][:, None]
    light = to_light(rgba[..., :3][inked] / 255) * (1 - share) + to_light(np.array(colour) / 255) * share
    out[..., :3][inked] = np.rint(to_signal(light) * 255).astype(np.uint8)
    return out
