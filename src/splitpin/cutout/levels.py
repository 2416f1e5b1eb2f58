"""A picture with a hole at several sizes, ready for patches to be looked for."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]
Pixels = NDArray[np.int16]
Places = NDArray[np.int32]

SIDE = 3
"""Half the side of a patch: 7 pixels across."""
FEW = 4000
"""Pixels of the hole at the coarsest level, at most, unless the hole is thin."""
THIN = 3.0
"""A hole nowhere deeper than this, in pixels, is a scratch, and needs no coarser level."""
ENOUGH = 200
"""Patches that a level must have to choose from, or it is left out."""
BUSY = 2.0
"""How much the fourth channel counts: it is this many times the mean difference between neighbours."""


class Level(NamedTuple):
    """The picture at one size."""

    pic: Pixels
    """(h, w, 4): red, green, blue 0..255, and how busy the picture is there."""
    hole: Mask
    holes: Places
    """(n, 2): y, x of the hole's pixels, line by line."""
    r: int
    """Half the side of a patch."""
    usable: Mask
    """Middles of patches that hold nothing but picture."""
    wanted: Mask
    """Middles of patches that touch the hole."""
    targets: Places
    """(n, 2): their y, x, line by line."""
    depth: NDArray[np.float32]
    """How far inside the hole a place is, pixels."""


def levels_of(rgb: NDArray[np.uint8], hole: Mask) -> list[Level]:
    """The picture at its own size, at half of it, and so on as far as the hole asks for.

    Parameters
    ----------
    rgb
        uint8 (h, w, 3).
    hole
        bool (h, w): somewhere true, somewhere false.
    """
    level = _level(_with_busy(rgb, hole), hole)
    levels = [level]
    while level.depth.max() > THIN and len(level.holes) > FEW:
        pic, coarse = _halved(level.pic, level.hole)
        if coarse.all():
            break
        level = _level(pic, coarse)
        if np.count_nonzero(level.usable) < ENOUGH:
            break
        levels.append(level)
    return levels


def places(mask: Mask) -> Places:
    """y, x of what is true, line by line."""
    return np.ascontiguousarray(np.argwhere(mask), np.int32)


def _level(pic: Pixels, hole: Mask) -> Level:
    h, w = hole.shape
    for r in range(min(SIDE, (min(h, w) - 1) // 2), -1, -1):
        square = np.ones((2 * r + 1, 2 * r + 1), np.uint8)
        inner = np.zeros((h, w), bool)
        inner[r : h - r, r : w - r] = True
        touched = cv2.dilate(hole.view(np.uint8), square, borderType=cv2.BORDER_CONSTANT, borderValue=0) > 0
        usable = inner & ~touched
        if r == 0 or usable.any():
            break
    wanted = inner & touched
    depth = cv2.distanceTransform(hole.view(np.uint8), cv2.DIST_L2, 3).astype(np.float32)
    return Level(pic, hole, places(hole), r, usable, wanted, places(wanted), depth)


def _with_busy(rgb: NDArray[np.uint8], hole: Mask) -> Pixels:
    grey = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY)
    known = (~hole).view(np.uint8)
    rough, count = np.zeros(hole.shape, np.uint16), np.zeros(hole.shape, np.uint8)
    for to, frm in ((np.s_[1:], np.s_[:-1]), (np.s_[:, 1:], np.s_[:, :-1])):
        both = known[to] & known[frm]
        rough[to] += (np.maximum(grey[to], grey[frm]) - np.minimum(grey[to], grey[frm])) * both
        count[to] += both
    # Sums of whole numbers below 2²⁴: exact in any order.
    total, pairs = (
        cv2.boxFilter(a, cv2.CV_32F, (9, 9), normalize=False, borderType=cv2.BORDER_CONSTANT)
        for a in (rough, count)
    )
    pic = np.empty((*hole.shape, 4), np.int16)
    pic[..., :3] = rgb
    pic[..., 3] = np.minimum(np.rint(total / np.maximum(pairs, np.float32(1)) * np.float32(BUSY)), 255)
    pic[hole] = 0
    return pic


def _halved(pic: Pixels, hole: Mask) -> tuple[Pixels, Mask]:
    h, w = hole.shape
    odd = ((0, h % 2), (0, w % 2))
    pic = np.pad(pic, (*odd, (0, 0)), mode="edge")
    hole = np.pad(hole, odd, mode="edge")
    four = pic[::2, ::2] + pic[1::2, ::2] + pic[::2, 1::2] + pic[1::2, 1::2]
    coarse = hole[::2, ::2] | hole[1::2, ::2] | hole[::2, 1::2] | hole[1::2, 1::2]
    return (four + 2) >> 2, coarse
