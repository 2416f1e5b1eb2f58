"""Printed dots become tones again.

A gaussian as wide as the dots wipes them out, and the picture's own detail with them. So such a gaussian
only says which places are alike; the tone of a place is the mean light of all alike places near it in a much
sharper picture (non-local means, Buades 2005, with weights from a second picture). Dots lie in another phase
at each of those places and cancel; edges, which are alike only along themselves, stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import loose_kernel
from splitpin.measure.light import light_table, signal_table

Rgb = NDArray[np.uint8]
Planes = NDArray[np.float32]

ALIKE_SIGMA = 0.42
"""Sigma of the gaussian, in cells, by which places are compared: dots sink by 30 dB."""
SHARP_SIGMA = 0.18
"""Sigma of the gaussian, in cells, whose tones are averaged: it takes the hardness off the dots only."""
REACH = 2.0
"""How far alike places are looked for, in cells: enough of them for dots to cancel."""
STEP = 4.0
"""Places looked at along one cell."""
PATCH = 0.45
"""Distance, in cells, of the nine points that are compared."""
UNLIKE = 22.0
"""Mean difference, in 8-bit steps, at which places have nothing to do with each other."""
TILE_ROWS, TILE_COLUMNS = 32, 256
"""A tile's planes stay in the processor's cache."""


class Screen(NamedTuple):
    """One screen of printed dots."""

    cell: float
    """From dot to dot, pixels."""
    angle: float
    """The direction of its rows, degrees anticlockwise with y up, -45 to 45 or any turn of it by 90."""


def descreen(rgb: Rgb, screens: Sequence[Screen], workers: int = 2) -> Rgb:
    """Smooth printed dots into tones.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    screens
        The screens it was printed with; the coarsest sets how far is averaged. None: nothing is done.
    workers
        How many tiles are worked on at a time; the result is the same.
    """
    if not screens:
        return rgb
    cell = max(s.cell for s in screens)
    light = light_table()[rgb].astype(np.float32) * np.float32(1 / 65535)
    compared = np.sqrt(np.maximum(_blurred(light, ALIKE_SIGMA * cell), 0)) * np.float32(255)
    sharp = _blurred(light, SHARP_SIGMA * cell)
    step, patch = max(1, round(cell / STEP)), max(1, round(PATCH * cell))
    around = _places(round(REACH * cell / step), step)
    margin = int(np.abs(around).max(initial=0)) + patch
    guide, value = _planes(compared, margin), _planes(sharp, margin)
    height, width = rgb.shape[:2]
    out = np.empty((3, height, width), np.float32)
    # nine points of three channels each, squared; see the kernel
    reach = np.float32(1 / (27 * UNLIKE * UNLIKE))
    corners = [(y, x) for y in range(0, height, TILE_ROWS) for x in range(0, width, TILE_COLUMNS)]
    with ThreadPoolExecutor(workers) as hands:
        done = [
            hands.submit(_tile, guide, value, around, patch, reach, margin, y, x, out) for y, x in corners
        ]
        for tile in done:
            tile.result()
    levels = np.clip(np.rint(out * np.float32(65535)), 0, 65535).astype(np.uint16)
    return np.ascontiguousarray(signal_table()[levels].transpose(1, 2, 0))


def _blurred(light: Planes, sigma: float) -> Planes:
    return np.asarray(cv2.GaussianBlur(light, (0, 0), sigma, borderType=cv2.BORDER_REFLECT), np.float32)


def _places(reach: int, step: int) -> NDArray[np.int64]:
    span = range(-reach, reach + 1)
    return np.array(
        [(y * step, x * step) for y in span for x in span if x * x + y * y <= reach * reach], np.int64
    )


def _planes(picture: Planes, margin: int) -> Planes:
    padded = cv2.copyMakeBorder(picture, margin, margin, margin, margin, cv2.BORDER_REFLECT)
    return np.ascontiguousarray(np.asarray(padded, np.float32).transpose(2, 0, 1))


@loose_kernel
def _tile(
    guide: Planes,
    value: Planes,
    around: NDArray[np.int64],
    patch: int,
    reach: np.float32,
    margin: int,
    top: int,
    left: int,
    out: Planes,
) -> None:
    rows = min(TILE_ROWS, out.shape[1] - top)
    columns = min(TILE_COLUMNS, out.shape[2] - left)
    wide = columns + 2 * patch
    unlike = np.empty((rows + 2 * patch, wide), np.float32)
    three = np.empty(wide, np.float32)
    total = np.zeros((4, rows, columns), np.float32)
    one, nought = np.float32(1), np.float32(0)
    # each row is cut out before it is walked along: only so does the compiler see that no place is counted
    # from the end, and takes several pixels at once
    for n in range(around.shape[0]):
        dy, dx = around[n, 0], around[n, 1]
        a, b = left + margin - patch, left + margin - patch + dx
        for y in range(rows + 2 * patch):
            here = top + margin - patch + y
            there = here + dy
            r0, r1 = guide[0, here, a : a + wide], guide[0, there, b : b + wide]
            g0, g1 = guide[1, here, a : a + wide], guide[1, there, b : b + wide]
            c0, c1 = guide[2, here, a : a + wide], guide[2, there, b : b + wide]
            far = unlike[y]
            for x in range(wide):
                r, g, c = r0[x] - r1[x], g0[x] - g1[x], c0[x] - c1[x]
                far[x] = r * r + g * g + c * c
        b = left + margin + dx
        for y in range(rows):
            up, level, down = unlike[y], unlike[y + patch], unlike[y + 2 * patch]
            for x in range(wide):
                three[x] = up[x] + level[x] + down[x]
            before, middle, after = (
                three[:columns], three[patch : patch + columns], three[2 * patch : 2 * patch + columns]
            )  # fmt: skip
            there = top + margin + y + dy
            red, green = value[0, there, b : b + columns], value[1, there, b : b + columns]
            blue = value[2, there, b : b + columns]
            reds, greens, blues, weights = total[0, y], total[1, y], total[2, y], total[3, y]
            for x in range(columns):
                # Tukey's biweight stands for the exponential: nothing far off leaks in, and it is quick
                weight = max(one - (before[x] + middle[x] + after[x]) * reach, nought)
                weight *= weight
                reds[x] += weight * red[x]
                greens[x] += weight * green[x]
                blues[x] += weight * blue[x]
                weights[x] += weight
    for c in range(3):
        for y in range(rows):
            for x in range(columns):
                out[c, top + y, left + x] = total[c, y, x] / total[3, y, x]
