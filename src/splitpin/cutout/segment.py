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

from splitpin.cutout.divide import MOST, bins_of, counted, divided, odds

SEED = 20
"""OpenCV's first guess of the colours is by chance; this makes it the same chance every time."""
RIM = 0.07
"""The rim, as a share of the loop's size."""
GRAIN = 5
"""The side of the median that takes grain and print away, pixels."""
OWN = 0.4
"""From which likelihood a pixel is taken to be the thing's at first."""
FEWEST = 0.06
"""If fewer of the loop's pixels than this share stand out by colour, only the rim is taken for ground."""
CLEAR = 0.02
"""If no more than this share of the ground around the loop looks like the thing, colours alone tell them
apart."""
SPLIT, AGAIN, REST = 500.0, 200.0, 100.0
"""How far the odds of colours are trusted: where they are clear, at first and again; and elsewhere."""
STAY = 0.5
"""How much, in the logarithm of odds, speaks for what GrabCut has found."""
ROUNDS, MORE = 2, 1
"""Rounds after the loop, and after the strokes."""
BESIDE = 4
"""How far from where it was found the edge is looked for again, pixels."""
LEAST = 30
"""Fewer pixels than these have no colours that could be counted."""
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
    clear: Mask | None
    """What colours alone show, where they tell thing and ground apart: a wheel with all its spokes."""


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
    likely = _own(rgb, inside)
    own = middle & (cv2.GaussianBlur(likely, (0, 0), 2.0) > OWN)
    if np.count_nonzero(own) < FEWEST * np.count_nonzero(inside):
        own = middle
    marks[inside & ~own] = cv2.GC_PR_BGD
    thing, behind = np.zeros((1, 65)), np.zeros((1, 65))
    if _divided(marks):
        cv2.setRNGSeed(SEED)
        cv2.grabCut(rgb, marks, None, behind, thing, ROUNDS, cv2.GC_INIT_WITH_MASK)  # type: ignore[call-overload]
    return Segments(marks, thing, behind, _clear(rgb, inside, likely))


def _clear(rgb: NDArray[np.uint8], inside: Mask, likely: NDArray[np.float32]) -> Mask | None:
    if inside.all():
        return None
    near = cv2.GaussianBlur(likely, (0, 0), 0.7)
    if np.count_nonzero(near[~inside] > 0.5) > CLEAR * np.count_nonzero(~inside):
        return None
    says = np.asarray(1.5 * np.log((near + 0.02) / (1.02 - near)), np.float32)
    none = np.zeros_like(inside)
    mask = divided(says, rgb, inside, none, none, SPLIT)
    return mask if np.count_nonzero(mask) > LEAST else None


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
    mask = without_specks((marks == cv2.GC_FGD) | (marks == cv2.GC_PR_FGD), keep, drop)
    mask = without_specks(_by_colours(rgb, found, mask, keep, drop), keep, drop)
    return without_specks(_at_the_edge(rgb, mask, keep, drop), keep, drop)


def _by_colours(rgb: NDArray[np.uint8], found: Segments, mask: Mask, keep: Mask, drop: Mask) -> Mask:
    """The same, divided anew by how common each colour is on either side."""
    inside = found.marks != cv2.GC_BGD
    bins = bins_of(rgb)
    if found.clear is not None:
        mask = (found.clear | keep) & ~drop
        for _ in range(2):
            if not LEAST < np.count_nonzero(mask) < mask.size - LEAST:
                return mask
            mask = divided(odds(bins, mask), rgb, inside, keep, drop, AGAIN)
        return mask
    if not LEAST < np.count_nonzero(mask) < mask.size - LEAST:
        return mask
    stay = STAY * cv2.GaussianBlur(mask.astype(np.float32) * 2 - 1, (0, 0), 3.0)
    says = np.clip(odds(bins, mask), -MOST, MOST) + stay
    anew = divided(np.asarray(says, np.float32), rgb, inside, keep, drop, REST)
    # Colours that the ground has too do not prove a hole: where GrabCut saw the thing all round, it is there.
    return anew | (_enclosed(anew) & mask & ~drop)


def _enclosed(mask: Mask) -> Mask:
    """The holes of a mask."""
    _, labels = cv2.connectedComponents(
        np.pad(~mask, 1, constant_values=True).astype(np.uint8), connectivity=4
    )
    return np.asarray((labels != labels[0, 0])[1:-1, 1:-1] & ~mask)


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
    bins = bins_of(rgb)
    within, around = (counted(bins[side]) for side in (inside, ~inside))
    often = around > np.median(around[around > 0])
    ratio, weight = within[often] / around[often], around[often]
    order = np.argsort(ratio, kind="stable")
    quarter = int(np.searchsorted(np.cumsum(weight[order]), 0.25 * weight.sum()))
    share = max(0.1, float(ratio[order][quarter]))
    own = 1 - np.clip(share * around / np.maximum(within, 1e-12), 0, 1)
    return np.asarray(own[bins], np.float32)


def _divided(marks: NDArray[np.uint8]) -> bool:
    ground = (marks == cv2.GC_BGD) | (marks == cv2.GC_PR_BGD)
    # Fewer pixels than Gaussians cannot be divided among them.
    return int(ground.sum()) >= 10 and int((~ground).sum()) >= 10
