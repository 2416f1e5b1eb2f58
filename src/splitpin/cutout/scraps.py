"""What a soft cut leaves lying around: scraps that are no part of the thing.

Whatever lies close together hangs together, as the tip of a whisker does that fades in between. What hangs
together and is much of the whole stays: two shoes are each much of the pair. What is little stays where it
stands out clearly from what is around it in a colour that the rest of the thing has, as the dot of an i does;
else it is a scrap, as what is seen through the handle of a cup.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

Alpha = NDArray[np.uint8]
Rgb = NDArray[np.uint8]
Mask = NDArray[np.bool_]

CORE = 64
"""From this coverage on there is something; less is a haze around something."""
INNER = 0.75
"""From this share of its highest coverage on a part shows what is there, not what is behind it."""
GAP = 0.04
"""How far apart parts may lie and yet hang together, as a share of the size of its largest part."""
LEAST_GAP = 4.0
"""The same in pixels, at least."""
SHARE = 0.02
"""How much of the whole, as a share of its area, stays however faint it is."""
LEAST_SOLID = 10.0
"""So few pixels are dust, however clear."""
APART, ABOVE_GRAIN = 30.0, 4.0
"""How far a part's colour must lie from that of its surroundings to be clear: 8-bit steps, and standard
deviations of these."""
OWN, LIKE = 0.25, 0.02
"""How far a part's colour may lie from the rest's, as a share of how far it lies from its surroundings'; and
how small a share of the rest's pixels need be so near, for things have many colours."""
GRAIN = 3.0
"""The least deviation of a picture, 8-bit steps."""
MOST = 20_000
"""So many pixels of the thing tell its colours."""
RING = 6
"""How wide the surroundings of a part are, pixels."""


class LeftOut(NamedTuple):
    """Parts that were taken for scraps."""

    parts: int
    at: tuple[int, int]
    """x, y of the middle of the largest, pixels."""
    size: int
    """How many pixels that has."""


def without_scraps(
    alpha: Alpha, speck: float, keep: Mask | None = None, picture: Rgb | None = None, factor: float = 1.0
) -> Alpha:
    """Coverage without what lies apart and is too little and too faint to be a part of the thing.

    Parameters
    ----------
    alpha
        uint8 (h, w); not changed.
    speck
        Pixels: islands smaller than this are noise even close by, unless they are clear.
    keep
        (h, w): where a person asked for something. What is touched stays.
    picture
        uint8 (h, w, 3), sRGB: what was cut from. Without it nothing is clear.
    factor
        How many pixels of the found picture one of these is wide.

    Returns
    -------
    ndarray
        uint8 (h, w).
    """
    some = (alpha > 0).astype(np.uint8)
    core = alpha >= CORE
    parts, part, stats, _ = cv2.connectedComponentsWithStats(core.astype(np.uint8), connectivity=8)
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
    clear = np.zeros(alpha.shape, np.bool_)
    if picture is not None:
        small = [k for k in range(1, parts) if not _much(stats[k], speck, much.sum())]
        clear = (
            np.isin(
                part,
                _clear(
                    picture, alpha, np.asarray(part, np.int32), np.asarray(stats, np.int32), small, factor
                ),
            )
            & core
        )
        lives[np.unique(group[clear])] = True
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
    stays[np.unique(island[clear & left])] = True
    if keep is not None:
        stays[np.unique(island[keep & left])] = True
    stays[0] = False
    if not stays.any():
        return alpha
    return np.where(stays[island], alpha, np.uint8(0))


def left_out(before: Alpha, after: Alpha, factor: float = 1.0) -> LeftOut | None:
    """What was taken for scraps and is more than dust; None where there is no such thing."""
    if before is after:
        return None
    gone = ((before >= CORE) & (after == 0)).astype(np.uint8)
    if not gone.any():
        return None
    parts, _, stats, middles = cv2.connectedComponentsWithStats(gone, connectivity=8)
    sizes = stats[1:, cv2.CC_STAT_AREA] * factor**2
    told = sizes >= LEAST_SOLID
    if parts == 1 or not told.any():
        return None
    k = int(np.argmax(sizes))
    x, y = middles[1 + k]
    return LeftOut(int(told.sum()), (round(float(x)), round(float(y))), round(float(sizes[k])))


def _much(stat: NDArray[np.int32], speck: float, whole: int) -> bool:
    return bool(stat[cv2.CC_STAT_AREA] >= max(speck, SHARE * whole))


def _clear(
    picture: Rgb,
    alpha: Alpha,
    part: NDArray[np.int32],
    stats: NDArray[np.int32],
    asked: Sequence[int],
    factor: float,
) -> list[int]:
    """Which of some parts stand out from what is around them."""
    brush = np.ones((2 * RING + 1, 2 * RING + 1), np.uint8)
    # The large parts are the thing; where there is none all parts are, as in a row of dots.
    large = np.setdiff1d(np.arange(1, len(stats)), asked)
    rest_at = np.flatnonzero((np.isin(part, large) if len(large) else part > 0) & (alpha >= INNER * 255))
    rest_at = rest_at[:: max(1, len(rest_at) // MOST)]
    rest, rest_part = picture.reshape(-1, 3)[rest_at].astype(np.float64), part.ravel()[rest_at]
    found = []
    for k in asked:
        x, y, w, h = (int(v) for v in stats[k, :4])
        at = np.s_[max(0, y - RING) : y + h + RING, max(0, x - RING) : x + w + RING]
        mine = part[at] == k
        solid = mine & (alpha[at] >= INNER * alpha[at][mine].max())
        around = (cv2.dilate(mine.astype(np.uint8), brush) > 0) & (alpha[at] == 0)
        if solid.sum() * factor**2 < LEAST_SOLID or around.sum() < LEAST_SOLID:
            continue
        own, other = (picture[at][side].astype(np.float64) for side in (solid, around))
        way = own.mean(axis=0) - other.mean(axis=0)
        far = float(np.hypot(np.hypot(way[0], way[1]), way[2]))
        if far < APART or far < ABOVE_GRAIN * np.hypot(GRAIN, np.std(other @ (way / far))):
            continue
        if _like(own.mean(axis=0), rest[rest_part != k]) <= OWN * far:
            found.append(k)
    return found


def _like(colour: NDArray[np.float64], rest: NDArray[np.float64]) -> float:
    """How far, 8-bit steps, a colour lies from the nearest of a thing's colours; 0 where nothing else is."""
    if len(rest) < LEAST_SOLID:
        return 0.0
    return float(np.quantile(np.sqrt(((rest - colour) ** 2).sum(axis=1)), LIKE))
