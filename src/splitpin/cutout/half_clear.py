"""Where a piece is half clear though no edge runs there: what is behind it will show through."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Alpha = NDArray[np.uint8]
Mask = NDArray[np.bool_]

CLEAR, SOLID = 25, 230
"""Coverage below and above which a pixel is taken to be clear and solid, 0..255."""
WIDE, LEAST_WIDE = 0.01, 3
"""Half clear this far in every direction is no edge: a share of the piece's size, and pixels."""
MUCH = 0.02
"""A share of the piece that is worth a word."""
SPOT = 8
"""Spots smaller than this many pixels are grain."""
SEEN = 205
"""A spot no clearer than this is not seen, 0..255."""


class HalfClear(NamedTuple):
    """Half-clear places of a piece."""

    share: float
    """How much of what the piece covers is half clear, edges and all, 0..1."""
    places: int
    """In how many places."""
    at: tuple[int, int]
    """x, y of the largest place, pixels of the piece."""


def veils(alpha: Alpha) -> HalfClear | None:
    """Where the piece is half clear in all its breadth; None where that is little of it.

    Parameters
    ----------
    alpha
        uint8 (h, w).
    """
    half = _half(alpha)
    some = int((alpha > 0).sum())
    radius = max(LEAST_WIDE, round(WIDE * float(np.sqrt(some))))
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1))
    padded = np.pad(half.astype(np.uint8), radius + 1)
    wide = cv2.morphologyEx(padded, cv2.MORPH_OPEN, disc)[radius + 1 : -radius - 1, radius + 1 : -radius - 1]
    if some == 0 or wide.sum() < MUCH * some:
        return None
    count, at = _largest(wide > 0)
    return HalfClear(float(half.sum()) / some, count, at)


def spots(alpha: Alpha) -> HalfClear | None:
    """Half-clear spots that solid paper goes round; holes, which are wholly clear, are none."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(
        (np.pad(alpha, 1) < SOLID).astype(np.uint8), connectivity=4
    )
    lowest = np.asarray(ndimage.minimum(np.pad(alpha, 1), np.asarray(labels, np.int32), np.arange(count)))
    found = (stats[:, cv2.CC_STAT_AREA] >= SPOT) & (lowest >= CLEAR) & (lowest <= SEEN)
    found[[0, labels[0, 0]]] = False
    if not found.any():
        return None
    places = found[labels][1:-1, 1:-1]
    number, at = _largest(places)
    return HalfClear(float(places.sum()) / int((alpha > 0).sum()), number, at)


def _half(alpha: Alpha) -> Mask:
    return np.asarray((alpha >= CLEAR) & (alpha < SOLID))


def _largest(places: Mask) -> tuple[int, tuple[int, int]]:
    """How many there are that hang together, and the innermost pixel of the largest."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(places.astype(np.uint8), connectivity=4)
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    inner = cv2.distanceTransform(np.pad((labels == largest).astype(np.uint8), 1), cv2.DIST_L2, 5)[1:-1, 1:-1]
    y, x = np.unravel_index(int(np.argmax(inner)), inner.shape)
    return count - 1, (int(x), int(y))
