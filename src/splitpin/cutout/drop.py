"""The cut of a piece that drops, as a jaw does: along the line, with black paper behind the gap.

Where a joint turns, each piece reaches round under or over the other. Where a piece is pulled straight down
from its line, such a lobe would show. So the holder ends at the line, and what drops lies under it and
carries black paper above its edge: the inside of a mouth.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.joint import Division, Joint, Mask

Real = NDArray[np.float64]

BLACK = (26, 20, 20)
"""The paper behind a mouth, sRGB."""
SOFT = 0.6
"""How soft the cut is, pixels, so that a slanting one shows no steps."""
INSIDE = np.ones((5, 5), np.uint8)
"""How far black paper keeps inside the outline."""


def part_straight(
    division: Division, joint: Joint, alphas: list[Real], colours: list[NDArray[np.uint8]]
) -> None:
    """Part two pieces, in place, so that the far one can drop by half the length of the cut.

    Parameters
    ----------
    division, joint
        The pieces and where they meet.
    alphas
        Of each piece, (height, width), 0..255, as far as its own side goes.
    colours
        Of each piece, uint8 (height, width, 3), as what was split has them on both sides.
    """
    near, far = division.labels == joint.near, division.labels == joint.far
    share = _near_share(near, far)
    whole = alphas[joint.near - 1] * near + alphas[joint.far - 1] * far
    paper = _above(far, int(np.ceil(joint.radius))) & _inside(whole)
    alphas[joint.near - 1] = np.where(near | far, whole * share, alphas[joint.near - 1])
    alphas[joint.far - 1] = np.where(near & paper, 255.0, alphas[joint.far - 1])
    # Its own edge is as soft as the holder's, so that both meet in one fine dark line: lips.
    black = np.where(paper, share, 0)[..., None]
    mixed = colours[joint.far - 1] * (1 - black) + np.array(BLACK) * black
    colours[joint.far - 1][:] = np.rint(mixed).astype(np.uint8)


def _near_share(near: Mask, far: Mask) -> Real:
    """How much of each pixel is on the near side of the line, 0..1."""
    a, b = (cv2.GaussianBlur(side.astype(np.float64), (0, 0), SOFT) for side in (near, far))
    return np.asarray(np.divide(a, a + b, out=np.zeros_like(a), where=a + b > 0), np.float64)


def _above(far: Mask, rows: int) -> Mask:
    """A piece, and what is up to so many rows above it: no more of it shows when it is pulled down."""
    reach = min(rows, far.shape[0])
    tall = np.ones((reach + 1, 1), np.uint8)
    return np.asarray(cv2.dilate(far.astype(np.uint8), tall, anchor=(0, 0)) > 0, np.bool_)


def _inside(whole: Real) -> Mask:
    """Well inside the outline, but behind thin spots of the piece, too: there black is better than a hole."""
    return np.asarray(cv2.erode((whole >= 128).astype(np.uint8), INSIDE) > 0, np.bool_)
