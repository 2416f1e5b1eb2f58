"""Holes from pictures of them, and the mended part alone, to be printed and laid under the piece."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.mistake import CutError

Mask = NDArray[np.bool_]

LEAST_BESIDE, MOST_BESIDE = 3, 40
"""By how much a hole is wider than a crisp piece, and by how much more at most than a soft one, pixels."""
FADING = 0.5
"""How much wider, as a share of the width of the edge."""
SOLID, CRISP = 230, 1.5
"""Coverage that is solid, 0..255, and how far from it a crisp edge ends, pixels."""
MOSTLY = 95
"""A percentile: the edge is as wide as this of its pixels tell."""


class Patch(NamedTuple):
    """A part of a mended picture."""

    rgba: NDArray[np.uint8]
    """uint8 (height, width, 4): opaque where it is paper, clear elsewhere."""
    box: tuple[int, int, int, int]
    """Left, top, width and height in the picture's pixels."""


def hole_in(rgba: NDArray[np.uint8]) -> Mask:
    """The hole that a picture shows: what is light, or, where parts are clear, what is painted.

    Light is from 128 of 255 in any channel; painted is from 128 of 255 of coverage.

    Parameters
    ----------
    rgba
        uint8 (height, width, 4), sRGB, straight alpha.
    """
    alpha = rgba[..., 3]
    light: Mask = alpha > 127 if (alpha < 255).any() else rgba[..., :3].max(axis=2) > 127
    return light


def hole_of(alpha: NDArray[np.uint8], box: tuple[int, int, int, int], shape: tuple[int, int]) -> Mask:
    """The hole that a piece leaves: wherever it covers anything.

    Parameters
    ----------
    alpha
        uint8 (height, width) of the piece.
    box
        Where it was: left, top, width, height in the picture's pixels.
    shape
        Height and width of the picture.

    Raises
    ------
    CutError
        When it was not in this picture.
    """
    left, top, width, height = box
    if left < 0 or top < 0 or left + width > shape[1] or top + height > shape[0]:
        raise CutError(
            "the piece",
            f"a place that reaches to {left + width}, {top + height}",
            f"one within the picture's {shape[1]} × {shape[0]} pixels",
            "name the picture that it was cut from",
        )
    hole = np.zeros(shape, bool)
    hole[top : top + height, left : left + width] = alpha > 0
    return hole


def beside(alpha: NDArray[np.uint8]) -> int:
    """By how many pixels the hole that a piece leaves must be wider than the piece: an edge that fades slowly
    leaves a trace of the thing farther out than any coverage is found.

    Parameters
    ----------
    alpha
        uint8 (height, width) of the piece.
    """
    solid = alpha >= SOLID
    edge = (alpha > 0) & ~solid
    if not (edge.any() and solid.any()):
        return LEAST_BESIDE
    far = cv2.distanceTransform((~solid).view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    soft = float(np.percentile(far[edge], MOSTLY)) - CRISP
    return LEAST_BESIDE + int(np.clip(np.ceil(soft * FADING), 0, MOST_BESIDE))


def grown(hole: Mask, pixels: float) -> Mask:
    """A hole widened by a distance, round about."""
    if pixels <= 0 or not hole.any():
        return hole
    far = cv2.distanceTransform((~hole).view(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    wider: Mask = far <= pixels
    return wider


def patch(rgb: NDArray[np.uint8], hole: Mask, underlap: float) -> Patch:
    """The mended part with a margin that lies under what is around it.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), mended.
    hole
        bool (height, width).
    underlap
        The margin's width, pixels.

    Raises
    ------
    CutError
        When there is no hole.
    """
    if not hole.any():
        raise CutError("the hole", "nothing", "something that was mended", "draw the hole in white on black")
    paper = grown(hole, underlap)
    rows, columns = np.flatnonzero(paper.any(axis=1)), np.flatnonzero(paper.any(axis=0))
    y0, y1, x0, x1 = int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1
    cover = np.where(paper, 255, 0).astype(np.uint8)
    rgba = np.dstack([rgb, cover])[y0:y1, x0:x1].copy()
    rgba[rgba[..., 3] == 0] = 0
    return Patch(rgba, (x0, y0, x1 - x0, y1 - y0))
