"""Where it is sure what a pixel belongs to, and where that must be found out.

The band follows the edge as the picture shows it: beside a paper edge all pixels fit the colours of their own
side and the band is narrow; among hair they fit neither, or those of the other side, and the band grows over
them.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]
Floats = NDArray[np.float32]

CORE = 0.02
"""How far from the edge colours are taken to know a side, as a share of the thing's size."""
AROUND = 0.06
"""How far around a pixel they are collected, in the same measure."""
STRANGE = 9.0
"""The squared distance, in variances, from which a colour is strange to its side."""
GRAIN = 2e-4
"""The least variance of a colour, 0..1: noise and print."""
REACH = 0.3
"""How far from the edge strange pixels are looked for, in the same measure as CORE."""


def trimap(colour: Floats, mask: Mask, inside: Mask, edge: int = 2) -> Floats:
    """Where the thing surely is (1), surely is not (0), and where it must be found out (0.5).

    Parameters
    ----------
    colour
        float32 (h, w, 3), 0..1.
    mask
        (h, w): the thing, roughly.
    inside
        (h, w): within the loop.
    edge
        Half the width of the band along a sharp edge, pixels.
    """
    if not mask.any() or mask.all():
        return mask.astype(np.float32)
    size = float(np.sqrt(np.count_nonzero(mask)))
    ground = ~mask
    within, beyond = _distance(mask), _distance(ground)
    core = max(edge + 1.0, min(CORE * size, 0.5 * float(within.max())))
    around = max(3, round(AROUND * size))
    to_thing = _strangeness(colour, within > core, around)
    to_ground = _strangeness(colour, beyond > core, around)
    strange = np.where(
        mask, (to_thing > STRANGE) & (to_ground < to_thing), (to_ground > STRANGE) & (to_thing < to_ground)
    )
    mixed = ground & (to_ground > 2 * STRANGE)
    strange |= mixed
    strange &= inside & (np.minimum(within + beyond, 1e6) < REACH * size)
    band = (within <= edge) & mask | (beyond <= edge) & ground
    band |= _touching(_dense(strange), band)
    known = mask.astype(np.float32)
    known[band & inside] = 0.5
    known[~inside] = 0.0
    return known


def _distance(mask: Mask) -> Floats:
    return np.asarray(cv2.distanceTransform(mask.astype(np.uint8), cv2.DIST_L2, 5), np.float32)


def _dense(strange: Mask) -> Mask:
    # A grain of print is strange alone; a hair is strange together with its neighbours.
    s = strange.astype(np.float32)
    lot = cv2.blur(s, (3, 3)) > 0.3
    grown = cv2.dilate((strange & lot).astype(np.uint8), np.ones((3, 3), np.uint8))
    return np.asarray(grown, bool)


def _touching(some: Mask, band: Mask) -> Mask:
    _, labels = cv2.connectedComponents((some | band).astype(np.uint8), connectivity=8)
    touched = np.zeros(int(labels.max()) + 1, bool)
    touched[np.unique(labels[band])] = True
    touched[0] = False
    return np.asarray(some & touched[labels], bool)


def _strangeness(colour: Floats, side: Mask, around: int) -> Floats:
    """Squared Mahalanobis distance to the colours of a side nearby."""
    h, w = side.shape
    s = side.astype(np.float32)
    moments = np.empty((h, w, 10), np.float32)
    moments[..., 0] = s
    moments[..., 1:4] = colour * s[..., None]
    pairs = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))
    for n, (i, j) in enumerate(pairs):
        moments[..., 4 + n] = colour[..., i] * colour[..., j] * s
    summed = np.zeros_like(moments)
    # Far from the side a wider neighbourhood is asked, with little weight, so that there is always an answer.
    for reach, weight in ((around, 1.0), (4 * around, 1e-3), (4 * max(h, w), 1e-6)):
        k = 2 * min(reach, max(h, w)) + 1
        for c in range(10):
            summed[..., c] += weight * cv2.blur(moments[..., c], (k, k), borderType=cv2.BORDER_CONSTANT)
    n = np.maximum(summed[..., :1], 1e-12)
    mean = summed[..., 1:4] / n
    cov = np.empty((h, w, 3, 3), np.float32)
    for m, (i, j) in enumerate(pairs):
        cov[..., i, j] = cov[..., j, i] = summed[..., 4 + m] / n[..., 0] - mean[..., i] * mean[..., j]
    for i in range(3):
        cov[..., i, i] = np.maximum(cov[..., i, i], 0) + GRAIN
    off = colour - mean
    return np.einsum("yxi,yxij,yxj->yx", off, np.linalg.inv(cov), off).astype(np.float32)
