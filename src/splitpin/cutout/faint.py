"""Where a knife followed no edge, because none can be seen there."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d

from splitpin.cutout.cut import Piece
from splitpin.cutout.doubt import Doubt
from splitpin.cutout.recipe import Recipe

BESIDE = (2.0, 3.0, 4.0)
"""How far on either side of the cut its colours are asked for, pixels."""
ALONG = 21
"""Over how many pixels of its way they are averaged."""
FAINT = 5.0
"""Sides whose colours differ by less cannot be told apart, 8-bit steps."""
LEAST, SHARE = 24, 0.1
"""It is told from so many pixels on, and from this share of the way."""

Floats = NDArray[np.float64]


def faint(rgb: NDArray[np.uint8], recipe: Recipe, piece: Piece) -> Iterator[Doubt]:
    """Tell where the cut of a knife had no edge to follow.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB: what it was cut from.
    recipe
        How.
    piece
        What came of it, at full size.
    """
    if recipe.edge != "knife" or recipe.as_drawn:
        return
    places, across = _along(piece.outline[0])
    sides = [np.mean([_seen(rgb, places + side * d * across) for d in BESIDE], axis=0) for side in (1, -1)]
    ends = [places + side * max(BESIDE) * across for side in (1, -1)]
    size = rgb.shape[1], rgb.shape[0]
    within = np.all([(e >= 0) & (e <= size) for e in ends], axis=(0, 2))
    off = np.linalg.norm(uniform_filter1d(sides[0] - sides[1], ALONG, axis=0, mode="wrap"), axis=1)
    unseen = within & (off < FAINT)
    count = int(unseen.sum())
    if count < max(LEAST, SHARE * len(places)):
        return
    # The middle of where most of it lies.
    thick = uniform_filter1d(unseen.astype(np.float64), min(len(places), 4 * ALONG), mode="wrap")
    x, y = places[int(np.argmax(thick))]
    yield Doubt(
        "knife",
        f"no edge can be seen along {count / len(places):.0%} of its way, such as near {x:.0f}, {y:.0f}; "
        "it ran straight there, from point to point",
        "an edge whose two sides differ in colour",
        "set knife points closer together there, or draw the edge yourself and say --as-drawn",
    )


def _along(loop: Floats) -> tuple[Floats, Floats]:
    """Places about a pixel apart along a closed line, and at each the direction across it."""
    steps = np.roll(loop, -1, axis=0) - loop
    far = np.concatenate([[0.0], np.cumsum(np.hypot(*steps.T))])
    closed = np.vstack([loop, loop[:1]])
    at = np.linspace(0, far[-1], max(3, round(far[-1])), endpoint=False)
    places = np.column_stack([np.interp(at, far, closed[:, k]) for k in (0, 1)])
    way = np.roll(places, -3, axis=0) - np.roll(places, 3, axis=0)
    return places, np.column_stack([way[:, 1], -way[:, 0]]) / np.maximum(np.hypot(*way.T), 1e-9)[:, None]


def _seen(rgb: NDArray[np.uint8], places: Floats) -> Floats:
    x, y = (places - 0.5).astype(np.float32).T
    taken = [
        cv2.remap(
            rgb,
            x[a : a + 16384, None],
            y[a : a + 16384, None],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for a in range(0, len(x), 16384)
    ]
    return np.concatenate(taken)[:, 0].astype(np.float64)
