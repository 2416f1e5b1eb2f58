"""What a soft cut leaves lying around: scraps that are no part of the thing.

Whatever lies close together hangs together, as the tip of a whisker does that fades in between; what hangs
together and is little beside the whole is a scrap. Two shoes are each much of the pair, and both stay.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Alpha = NDArray[np.uint8]
Mask = NDArray[np.bool_]

CORE = 64
"""From this coverage on there is something; less is a haze around something."""
GAP = 0.04
"""How far apart parts may lie and yet hang together, as a share of the size of its largest part."""
LEAST_GAP = 4.0
"""The same in pixels, at least."""
SHARE = 0.02
"""How little of the whole, as a share of its area, is a scrap."""


def without_scraps(alpha: Alpha, speck: float, keep: Mask | None = None) -> Alpha:
    """Coverage without what lies apart and is too little to be a part of the thing.

    Parameters
    ----------
    alpha
        uint8 (h, w); not changed.
    speck
        Pixels: islands smaller than this are noise even close by.
    keep
        (h, w): where a person asked for something. What is touched stays.

    Returns
    -------
    ndarray
        uint8 (h, w).
    """
    some = (alpha > 0).astype(np.uint8)
    core = alpha >= CORE
    parts, _, stats, _ = cv2.connectedComponentsWithStats(core.astype(np.uint8), connectivity=8)
    if parts == 1 or (parts == 2 and cv2.connectedComponents(some)[0] == 2):
        return alpha
    largest = stats[1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))]
    # A wheel is as large as its rim, however little paper it is.
    size = float(np.sqrt(float(largest[cv2.CC_STAT_WIDTH]) * float(largest[cv2.CC_STAT_HEIGHT])))
    gap = max(LEAST_GAP, GAP * size)
    away = cv2.distanceTransform((~core).astype(np.uint8), cv2.DIST_L2, 5)
    together, group = cv2.connectedComponents((away <= gap / 2).astype(np.uint8), connectivity=8)
    much = np.bincount(group[core], minlength=together)
    lives = much >= SHARE * much.sum()
    if keep is not None:
        lives[np.unique(group[keep & core])] = True
    lives[0] = False
    alive = lives[group]
    living = cv2.distanceTransform((~(alive & core)).astype(np.uint8), cv2.DIST_L2, 5)
    left = (some > 0) & (alive | (group == 0)) & (living <= 2 * gap)
    # A haze that reaches nothing goes with what it lay around.
    _, island = cv2.connectedComponents(left.astype(np.uint8), connectivity=8)
    sizes = np.bincount(island.ravel())
    reaches = np.zeros(len(sizes), bool)
    reaches[np.unique(island[left & alive])] = True
    stays = reaches & (sizes >= speck)
    if keep is not None:
        stays[np.unique(island[keep & left])] = True
    stays[0] = False
    if not stays.any():
        return alpha
    return np.where(stays[island], alpha, np.uint8(0))
