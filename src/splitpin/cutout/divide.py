"""Dividing a picture by how likely each colour is the thing's.

Mixtures of Gaussians, which the segmentation begins with, forget thin things and colours that are rare. Here
colours are counted, and the picture is divided where that costs least: by a minimum cut (Y. Boykov, M.-P.
Jolly, "Interactive graph cuts", ICCV 2001).
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

BINS = 16
"""Colours are counted in this many steps a channel."""
FLOOR = 2e-5
"""Colours rarer than this share of their side say nothing."""
MOST = 6.0
"""Odds beyond e to this are not told apart."""

Mask = NDArray[np.bool_]
Floats = NDArray[np.float32]


def bins_of(rgb: NDArray[np.uint8]) -> NDArray[np.int64]:
    """The bin of each pixel's colour."""
    q = rgb.astype(np.int64) * BINS // 256
    return np.asarray((q[..., 0] * BINS + q[..., 1]) * BINS + q[..., 2])


def counted(bins: NDArray[np.int64]) -> NDArray[np.float64]:
    """How common each colour is, as a share; neighbours in colour share with one another."""
    counts = np.bincount(bins, minlength=BINS**3).reshape(BINS, BINS, BINS).astype(np.float64)
    return np.asarray(gaussian_filter(counts, 1.0), np.float64).ravel() / max(len(bins), 1)


def odds(bins: NDArray[np.int64], mask: Mask) -> Floats:
    """Logarithms of how much commoner each pixel's colour is within a mask than outside."""
    within, around = counted(bins[mask]), counted(bins[~mask])
    says = np.log((within + FLOOR) / (around + FLOOR))[bins].astype(np.float32)
    return np.asarray(cv2.GaussianBlur(says, (0, 0), 0.7), np.float32)


def divided(says: Floats, rgb: NDArray[np.uint8], inside: Mask, keep: Mask, drop: Mask, trust: float) -> Mask:
    """The cheapest division: each pixel with its likelier side, neighbours alike in colour together.

    Parameters
    ----------
    says
        (h, w): logarithms of odds that a pixel is the thing's.
    rgb
        uint8 (h, w, 3).
    inside
        Where the thing may be.
    keep, drop
        What is settled.
    trust
        How much the odds weigh beside the pull between neighbours, which is 50 at most.

    Notes
    -----
    OpenCV's minimum cut is reached through GrabCut with models that are frozen: in a picture whose first
    channel is the odds, two Gaussians of one width give costs that differ by just those odds. The other
    channels are the two in which the picture's colours differ most, and tell neighbours apart.
    """
    level = np.clip((says / MOST + 1) * 127.5, 0, 255)
    pretended = np.dstack([level[..., None], _main_colours(rgb)]).astype(np.uint8)
    width = 255.0**2 / (2 * trust)
    thing, behind = _one_gaussian(255.0, width), _one_gaussian(0.0, width)
    marks = np.where(inside, np.where(says > 0, cv2.GC_PR_FGD, cv2.GC_PR_BGD), cv2.GC_BGD).astype(np.uint8)
    marks[keep] = cv2.GC_FGD
    marks[drop] = cv2.GC_BGD
    if not ((marks == cv2.GC_PR_FGD) | (marks == cv2.GC_FGD)).any():
        return keep & ~drop
    cv2.grabCut(pretended, marks, None, behind, thing, 1, cv2.GC_EVAL_FREEZE_MODEL)  # type: ignore[call-overload]
    return np.asarray((marks == cv2.GC_FGD) | (marks == cv2.GC_PR_FGD), bool)


def _main_colours(rgb: NDArray[np.uint8]) -> Floats:
    flat = rgb.reshape(-1, 3).astype(np.float32)
    flat = flat - flat.mean(0)
    _, ways = np.linalg.eigh(flat.T @ flat)
    return np.asarray(np.clip(flat @ ways[:, :0:-1] + 128, 0, 255), np.float32).reshape(*rgb.shape[:2], 2)


def _one_gaussian(middle: float, width: float) -> NDArray[np.float64]:
    """As OpenCV keeps five: weights, means, covariances."""
    model = np.zeros((1, 65))
    model[0, 0] = 1.0
    model[0, 5:8] = middle, 128.0, 128.0
    for k in range(5):
        model[0, 20 + 9 * k : 29 + 9 * k] = np.diag([width, 1e6, 1e6] if k == 0 else [1.0] * 3).ravel()
    return model
