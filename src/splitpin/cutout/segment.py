"""From a rough loop to what is probably the thing.

C. Rother, V. Kolmogorov, A. Blake, "GrabCut", SIGGRAPH 2004, as OpenCV has it. What decides is where it
begins: with the colours that are commoner within the loop than around it, and with a rim just inside the loop
taken for ground, since people draw their loops a little outside of things.
"""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

SEED = 20
"""OpenCV's first guess of the colours is by chance; this makes it the same chance every time."""
RIM = 0.07
"""The rim, as a share of the loop's size."""
BINS = 16
"""Colours are counted in this many steps a channel."""
GRAIN = 5
"""The side of the median that takes grain and print away, pixels."""
OWN = 0.4
"""From which likelihood a pixel is taken to be the thing's at first."""
FEWEST = 0.06
"""If fewer of the loop's pixels than this share stand out by colour, only the rim is taken for ground."""
ROUNDS, MORE = 2, 1
"""Rounds after the loop, and after the strokes."""
BESIDE = 4
"""How far from where it was found the edge is looked for again, pixels."""
SPECK = 0.0015
"""Pieces and holes smaller than this share of the thing are noise, unless a stroke touches them."""

Mask = NDArray[np.bool_]


class Segments(NamedTuple):
    """What the loop alone gives: later strokes go on from here."""

    marks: NDArray[np.uint8]
    """OpenCV's four classes."""
    thing: NDArray[np.float64]
    behind: NDArray[np.float64]
    """The colours of the thing and of what is behind it: mixtures of Gaussians, as OpenCV keeps them."""


def segments(rgb: NDArray[np.uint8], inside: Mask) -> Segments:
    """Tell the thing from what is behind it.

    Parameters
    ----------
    rgb
        uint8 (h, w, 3), a reduced picture.
    inside
        (h, w): within the loop.
    """
    rgb = np.asarray(cv2.medianBlur(rgb, GRAIN), np.uint8)
    marks = np.where(inside, cv2.GC_PR_FGD, cv2.GC_BGD).astype(np.uint8)
    deep = cv2.distanceTransform(np.pad(inside, 1).astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    rim = max(1.0, RIM * float(np.sqrt(np.count_nonzero(inside))))
    middle = inside & (deep > min(rim, 0.3 * float(deep.max())))
    own = middle & (cv2.GaussianBlur(_own(rgb, inside), (0, 0), 2.0) > OWN)
    if np.count_nonzero(own) < FEWEST * np.count_nonzero(inside):
        own = middle
    marks[inside & ~own] = cv2.GC_PR_BGD
    thing, behind = np.zeros((1, 65)), np.zeros((1, 65))
    if _divided(marks):
        cv2.setRNGSeed(SEED)
        cv2.grabCut(rgb, marks, None, behind, thing, ROUNDS, cv2.GC_INIT_WITH_MASK)  # type: ignore[call-overload]
    return Segments(marks, thing, behind)


def stroked(rgb: NDArray[np.uint8], found: Segments, keep: Mask, drop: Mask) -> Mask:
    """The thing, after strokes that keep and drop.

    Parameters
    ----------
    rgb
        The same reduced picture.
    found
        What :func:`segments` found in it; not changed.
    keep, drop
        (h, w): where strokes were drawn. What is dropped is dropped, even where it is also kept.
    """
    calm = np.asarray(cv2.medianBlur(rgb, GRAIN), np.uint8)
    marks = found.marks.copy()
    if keep.any() or drop.any():
        marks[keep] = cv2.GC_FGD
        marks[drop] = cv2.GC_BGD
        if found.thing.any() and _divided(marks):
            thing, behind = found.thing.copy(), found.behind.copy()
            cv2.setRNGSeed(SEED)
            cv2.grabCut(calm, marks, None, behind, thing, MORE, cv2.GC_EVAL)  # type: ignore[call-overload]
    mask = (marks == cv2.GC_FGD) | (marks == cv2.GC_PR_FGD)
    return without_specks(_at_the_edge(rgb, without_specks(mask, keep, drop), keep, drop), keep, drop)


def without_specks(mask: Mask, keep: Mask, drop: Mask, share: float = SPECK) -> Mask:
    """Without small pieces and small holes, except where a stroke asked for them."""
    least = share * np.count_nonzero(mask)
    for value, wanted in ((True, keep), (False, drop)):
        here = mask == value
        count, labels, stats, _ = cv2.connectedComponentsWithStats(here.astype(np.uint8), connectivity=4)
        small = stats[:, cv2.CC_STAT_AREA] < least
        small[0] = False
        small[np.unique(labels[wanted & here])] = False
        mask = np.where(small[labels], not value, mask) if count > 1 else mask
    return mask


def _at_the_edge(rgb: NDArray[np.uint8], mask: Mask, keep: Mask, drop: Mask) -> Mask:
    """The same with its edge where the picture, grain and all, has it: the median rounds corners."""
    disc = np.ones((2 * BESIDE + 1, 2 * BESIDE + 1), np.uint8)
    flat = mask.astype(np.uint8)
    inner, outer = cv2.erode(flat, disc) > 0, cv2.dilate(flat, disc) > 0
    if np.count_nonzero(inner) < 0.3 * np.count_nonzero(mask):
        return mask  # a thin thing is all edge
    marks = np.where(mask, cv2.GC_PR_FGD, cv2.GC_PR_BGD).astype(np.uint8)
    marks[inner | keep] = cv2.GC_FGD
    marks[~outer | drop] = cv2.GC_BGD
    if not _divided(marks):
        return mask
    cv2.setRNGSeed(SEED)
    thing, behind = np.zeros((1, 65)), np.zeros((1, 65))
    cv2.grabCut(rgb, marks, None, behind, thing, 1, cv2.GC_INIT_WITH_MASK)  # type: ignore[call-overload]
    return np.asarray((marks == cv2.GC_FGD) | (marks == cv2.GC_PR_FGD), bool)


def _own(rgb: NDArray[np.uint8], inside: Mask) -> NDArray[np.float32]:
    """How likely each pixel is the thing's: by how much commoner its colour is within the loop than around.

    Within are thing and ground, around is ground alone: the share of ground within is that at which even its
    commonest colours are not commoner within than they should be.
    """
    if inside.all():
        return inside.astype(np.float32)
    q = rgb.astype(np.int64) * BINS // 256
    bins = (q[..., 0] * BINS + q[..., 1]) * BINS + q[..., 2]
    within, around = (_counted(bins[side]) for side in (inside, ~inside))
    often = around > np.median(around[around > 0])
    ratio, weight = within[often] / around[often], around[often]
    order = np.argsort(ratio, kind="stable")
    quarter = int(np.searchsorted(np.cumsum(weight[order]), 0.25 * weight.sum()))
    share = max(0.1, float(ratio[order][quarter]))
    own = 1 - np.clip(share * around / np.maximum(within, 1e-12), 0, 1)
    return np.asarray(own[bins], np.float32)


def _counted(bins: NDArray[np.int64]) -> NDArray[np.float64]:
    counts = np.bincount(bins, minlength=BINS**3).reshape(BINS, BINS, BINS).astype(np.float64)
    return np.asarray(gaussian_filter(counts, 1.0), np.float64).ravel() / len(bins)


def _divided(marks: NDArray[np.uint8]) -> bool:
    ground = (marks == cv2.GC_BGD) | (marks == cv2.GC_PR_BGD)
    # Fewer pixels than Gaussians cannot be divided among them.
    return int(ground.sum()) >= 10 and int((~ground).sum()) >= 10
