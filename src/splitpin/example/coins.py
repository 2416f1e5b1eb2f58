"""Old coins from the picture ``coins``, printed in copper, silver and gold."""

from __future__ import annotations

import numpy as np

from splitpin.example.paper import INK, Colour, Cutting, Picture, cut, enlarge, luminance, ramp, screen, stock
from splitpin.example.scissors import ellipse

COINS: dict[str, tuple[float, float, float, float, str]] = {
    "coin-1": (102.0, 195.5, 21.6, 21.6, "copper"),
    "coin-2": (213.0, 193.0, 25.0, 25.0, "silver"),
    "coin-3": (155.5, 50.5, 24.5, 24.0, "gold"),
    "coin-4": (271.0, 119.5, 26.5, 26.5, "copper"),
    "coin-5": (347.5, 187.0, 33.5, 33.0, "gold"),
    "coin-6": (46.5, 260.5, 29.5, 29.0, "silver"),
    "coin-7": (275.5, 52.5, 21.5, 20.5, "gold"),
    "coin-8": (154.5, 198.0, 20.5, 20.0, "copper"),
}
"""Centre and radii of each coin in the found picture, in its pixels, and its metal."""

METALS: dict[str, tuple[Colour, ...]] = {
    "copper": (INK, (104, 52, 34), (186, 98, 58), (232, 160, 112), (252, 220, 184)),
    "silver": (INK, (92, 92, 92), (158, 160, 156), (214, 214, 206), (250, 248, 238)),
    "gold": (INK, (112, 74, 26), (206, 150, 52), (238, 200, 104), (254, 240, 190)),
}


def coin(found: Picture, name: str, diameter: int) -> Cutting:
    """One coin, cut close to its edge.

    Parameters
    ----------
    found
        The picture of all coins.
    name
        One of :data:`COINS`.
    diameter
        Pixels.
    """
    x, y, rx, ry, metal = COINS[name]
    margin = 3
    left, top = int(x - rx) - margin, int(y - ry) - margin
    right, bottom = int(x + rx) + margin + 1, int(y + ry) + margin + 1
    part = found[top:bottom, left:right]
    scale = diameter / (2 * max(rx, ry))
    grown = enlarge(part, scale, 0.9)
    tone = luminance(grown)
    low, high = np.percentile(tone, (6, 97))
    tone = np.clip((tone - low) / (high - low), 0, 1) ** 0.85
    height, width = tone.shape
    centre = ((x - left + 0.5) * scale, (y - top + 0.5) * scale)
    radii = (rx * scale, ry * scale)
    # a raised edge: worn coins of different sharpness get the same one
    gy, gx = np.mgrid[0:height, 0:width].astype(np.float32)
    radius = np.hypot((gx + 0.5 - centre[0]) / radii[0], (gy + 0.5 - centre[1]) / radii[1])
    lit = -(gx - centre[0]) / radii[0] - (gy - centre[1]) / radii[1]
    tone = 0.16 + 0.80 * tone + 0.16 * lit * np.exp(-(((radius - 0.93) / 0.045) ** 2))
    tone -= 0.22 * np.exp(-(((radius - 0.83) / 0.03) ** 2))
    printed = ramp(np.asarray(np.clip(tone, 0, 1), np.float32), *METALS[metal])
    return cut(
        stock(screen(printed, 0.07), name),
        ellipse(height, width, centre, radii),
        name,
        rim_mm=0.22,
        shade=0.3,
    )
