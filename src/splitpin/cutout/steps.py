"""Steps at which a picture resembles itself: one brick on, one course up, along an edge.

After K. He and J. Sun, "Statistics of Patch Offsets for Image Completion" (2012): patches are likened to
others not near by; the steps that turn up most often are few, and a hole can be filled with them alone.
To them come the steps that suit the rim of this hole best.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.levels import Level, places
from splitpin.cutout.patches import CHANNELS, search
from splitpin.measure.compiled import kernel

BUILT_ON = {"patches": "457a294692cc"}
"""See :func:`splitpin.measure.compiled.kernel`."""

MOST = 60
"""Steps that are kept."""
ASKED = 20000
"""Patches that are likened, about: those nearest to the hole know best what belongs there."""
SECTORS = 8
"""Parts of the rim that look for their like each for itself."""
RIM = 6
"""How wide the rim is, pixels."""
REACH = 200
"""Length of a step that suits the rim, at most, down and across, pixels."""
POINTS = 500
"""Pixels of the rim that are compared, about."""


def common_steps(level: Level, seed: int, most: int = MOST) -> NDArray[np.int32]:
    """The steps, y and x, at which most patches find their like; the most common first.

    Parameters
    ----------
    level
        The picture; only what is known of it is asked.
    seed
        Of the search.
    most
        How many, at most.

    Returns
    -------
    ndarray
        int32 (k, 2), k ≤ ``most``; both a step and its opposite are there.
    """
    h, w = level.usable.shape
    asked = _near(level)
    apart = max(max(h, w) // 15, level.r + 1)
    sources = places(level.usable)
    targets = places(asked)
    count = len(targets)
    if len(sources) < 2:
        return np.zeros((0, 2), np.int32)
    rng = np.random.Generator(np.random.PCG64(seed))
    field = np.zeros((h, w, 2), np.int32)
    at = (targets[:, 0], targets[:, 1])
    field[at] = sources[rng.integers(0, len(sources), count)] - targets
    cost = np.zeros((h, w), np.int32)
    none = np.zeros((0, 2), np.int32)
    for i in range(6):
        search(
            level.pic, level.usable, targets, asked, field, cost, none, level.r, max(h, w), apart,
            seed + i, i % 2 == 1,
        )  # fmt: skip
    found = field[at]
    found = found[(found**2).sum(axis=1) >= apart * apart]
    if not len(found):
        return none
    tally = np.zeros((2 * h + 1, 2 * w + 1), np.float32)
    np.add.at(tally, (found[:, 0] + h, found[:, 1] + w), 1.0)
    tally += tally[::-1, ::-1]
    tally = cv2.GaussianBlur(tally, (0, 0), 1.4, borderType=cv2.BORDER_CONSTANT)
    peaks = np.argwhere((tally == cv2.dilate(tally, np.ones((7, 7), np.uint8))) & (tally > 0.05))
    order = np.argsort(-tally[peaks[:, 0], peaks[:, 1]], kind="stable")
    return (peaks[order[:most]] - (h, w)).astype(np.int32)


def _near(level: Level) -> NDArray[np.bool_]:
    """The usable patches nearest to the hole."""
    far = cv2.distanceTransform((~level.hole).view(np.uint8), cv2.DIST_L2, 3)
    ordered = np.sort(far[level.usable])
    near: NDArray[np.bool_] = level.usable & (far <= ordered[min(ASKED, len(ordered)) - 1])
    return near


def rim_steps(level: Level, each: int = 3) -> NDArray[np.int32]:
    """The steps at which the rim of the hole, whole or in parts, finds its like.

    Parameters
    ----------
    level
        The picture.
    each
        How many steps a part of the rim brings in; the whole rim brings three times as many.

    Returns
    -------
    ndarray
        int32 (k, 2), y and x; those of the whole rim first.
    """
    h, w = level.hole.shape
    rim = rim_of(level, RIM)
    middle = level.holes.mean(axis=0)
    turn = np.arctan2(*(rim - middle).T) / (2 * np.pi) + 0.5
    sector = np.minimum((turn * SECTORS).astype(np.int32), SECTORS - 1)
    down, across = min(h, REACH), min(w, REACH)
    sums = np.zeros((SECTORS, 2 * down + 1, 2 * across + 1), np.int32)
    counts = np.zeros_like(sums)
    _compare(level.pic, level.hole, rim, sector, sums, counts)
    steps = []
    size = np.bincount(sector, minlength=SECTORS)
    whole = (sums.sum(axis=0), counts.sum(axis=0), len(rim), 3 * each)
    for cost, count, all_of_it, number in (
        whole,
        *((sums[i], counts[i], size[i], each) for i in range(SECTORS) if size[i]),
    ):
        mean = np.where(count * 10 >= all_of_it * 9, cost / np.maximum(count, 1), np.inf).astype(np.float32)
        least = (mean == cv2.erode(mean, np.ones((7, 7), np.uint8))) & np.isfinite(mean)
        found = np.argwhere(least)
        order = np.argsort(mean[found[:, 0], found[:, 1]], kind="stable")
        steps.append(found[order[:number]] - (down, across))
    return np.concatenate(steps).astype(np.int32)


def rim_of(level: Level, width: int) -> NDArray[np.int32]:
    """y, x of known places no farther than ``width`` pixels from the hole, some :data:`POINTS` of them."""
    far = cv2.distanceTransform((~level.hole).view(np.uint8), cv2.DIST_C, 3)
    rim = places((far > 0) & (far <= width))
    return np.ascontiguousarray(rim[:: max(1, len(rim) // POINTS)])


@kernel
def _compare(pic: Any, hole: Any, rim: Any, sector: Any, sums: Any, counts: Any) -> None:
    h, w = hole.shape
    down, across = sums.shape[1] // 2, sums.shape[2] // 2
    for sy in range(-down, down + 1):
        for sx in range(-across, across + 1):
            if abs(sy) + abs(sx) < 3:
                continue
            for i in range(rim.shape[0]):
                y, x = rim[i, 0], rim[i, 1]
                by, bx = y + sy, x + sx
                if by < 0 or bx < 0 or by >= h or bx >= w or hole[by, bx]:
                    continue
                d = np.int32(0)
                for c in range(CHANNELS):
                    d += abs(np.int32(pic[y, x, c]) - np.int32(pic[by, bx, c]))
                sums[sector[i], sy + down, sx + across] += d
                counts[sector[i], sy + down, sx + across] += 1
