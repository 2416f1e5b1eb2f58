"""Haze beside an edge: faint coverage where the ground happens to have the thing's colours.

Hair fades out in lines, and an edge out of focus fades as slowly farther out as it does farther in. What is
faint, broad, and lies farther off than the edge is soft belongs to neither, and no more to the thing.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

FAINT, SOLID = 0.25, 0.8
"""Coverage below which there may be haze, and from which there is no doubt of the thing."""
BESIDE = 1.5
"""How far from the edge coverage may be faint in any case, pixels."""
BROAD = 1.5
"""What is less than this far from its own rim in its middle is a line, pixels."""
SHREDS = 4.0
"""How far around broad haze its shreds lie, pixels."""


def without_haze(alpha: Floats, asked: Mask) -> Floats:
    """Coverage without haze around the thing; glass and nets, which the thing goes round, stay.

    Parameters
    ----------
    alpha
        float32 (h, w), 0..1; not changed.
    asked
        (h, w): where a person said what is what.

    Returns
    -------
    ndarray
        float32 (h, w).
    """
    core, solid = alpha >= FAINT, alpha >= SOLID
    faint = (alpha > 0) & ~core & ~asked
    if not (faint.any() and solid.any()):
        return alpha
    away, nearest = cv2.distanceTransformWithLabels(
        (~core).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    # How far the edge goes on to fade, from where it is faint to where it is solid, at each place of it.
    fades = np.zeros(int(nearest.max()) + 1, np.float32)
    fades[nearest[core]] = _distance(~solid)[core]
    broad = _opened(cv2.morphologyEx(faint.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8)) > 0)
    _, parts = cv2.connectedComponents(
        np.pad(~core, 1, constant_values=True).astype(np.uint8), connectivity=4
    )
    outside = (parts == parts[0, 0])[1:-1, 1:-1]
    far = faint & outside & (away > BESIDE + fades[nearest])
    # Its shreds go with it.
    gone = far & (_distance(~(far & broad)) <= SHREDS)
    return np.where(gone, np.float32(0), alpha)


def _opened(mask: Mask) -> Mask:
    deep = _distance(mask) > BROAD
    return np.asarray(_distance(~deep) <= BROAD + 1) if deep.any() else np.zeros_like(mask)


def _distance(mask: Mask) -> Floats:
    return np.asarray(cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 5), np.float32)
