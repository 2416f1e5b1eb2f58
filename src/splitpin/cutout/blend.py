"""Laying copied pixels into a picture so that no join shows: differences are kept, the tone gives way.

The Poisson equation of P. Pérez, M. Gangnet, A. Blake, "Poisson Image Editing" (2003), solved by
multigrid for the *correction*, which is smooth. Joins at which not the tone but the drawing differs are
tied loosely, or their colours would run. Plain sweeps in a fixed order: the same numbers on every
machine.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

TONE = 16.0
"""Difference at a join, in 8-bit steps, up to which it counts as tone; more is drawing, and stays."""
HOLD = 0.001
"""How strongly the copied tone itself is held, against one neighbour; keeps stains from running far."""

CYCLES = 4
"""Of multigrid; what is left then is below a rounding step but for the widest holes."""


@kernel
def _joins(pic: Any, hole: Any, holes: Any, steps: Any, right: Any, down: Any, hold: Any, b: Any) -> None:
    """The equations: how firmly neighbours are tied, and how much they ask each pixel to change."""
    h, w = hole.shape
    one, half = np.float32(1.0), np.float32(0.5)
    m = np.zeros(3, np.float32)
    for i in range(holes.shape[0]):
        y, x = holes[i, 0], holes[i, 1]
        sy, sx = steps[y, x, 0], steps[y, x, 1]
        hold[y, x] += np.float32(HOLD)
        for d in range(4):
            qy = y + (1 if d == 0 else -1 if d == 1 else 0)
            qx = x + (1 if d == 2 else -1 if d == 3 else 0)
            if qy < 0 or qx < 0 or qy >= h or qx >= w:
                continue
            tie = one
            m[:] = 0.0
            ty, tx = steps[qy, qx, 0], steps[qy, qx, 1]
            if not (hole[qy, qx] and ty == sy and tx == sx):
                by, bx = qy + sy, qx + sx
                here = 0 <= by < h and 0 <= bx < w and not hole[by, bx]
                ay, ax = y + ty, x + tx
                there = hole[qy, qx] and 0 <= ay < h and 0 <= ax < w and not hole[ay, ax]
                for c in range(3):
                    if here:
                        m[c] += np.float32(pic[qy, qx, c]) - np.float32(pic[by, bx, c])
                    if there:
                        m[c] += np.float32(pic[ay, ax, c]) - np.float32(pic[y, x, c])
                    if here and there:
                        m[c] *= half
                most = max(abs(m[0]), abs(m[1]), abs(m[2])) / np.float32(TONE)
                tie = one / (one + most * most)
                tie = max(tie * tie, np.float32(1e-4))
            for c in range(3):
                b[y, x, c] += tie * m[c]
            if not hole[qy, qx]:
                hold[y, x] += tie
            elif d == 0:
                down[y, x] = tie
            elif d == 2:
                right[y, x] = tie


@kernel
def _sweep(right: Any, down: Any, hold: Any, b: Any, e: Any, times: int) -> None:
    """Gauss–Seidel, forwards and backwards."""
    h, w, channels = b.shape
    for t in range(times):
        for i in range(h * w):
            j = i if t % 2 == 0 else h * w - 1 - i
            y, x = j // w, j % w
            k = hold[y, x]
            left = right[y, x - 1] if x > 0 else np.float32(0.0)
            up = down[y - 1, x] if y > 0 else np.float32(0.0)
            whole = k + right[y, x] + down[y, x] + left + up
            if whole <= 0.0:
                continue
            for c in range(channels):
                s = b[y, x, c]
                if right[y, x] > 0.0:
                    s += right[y, x] * e[y, x + 1, c]
                if down[y, x] > 0.0:
                    s += down[y, x] * e[y + 1, x, c]
                if left > 0.0:
                    s += left * e[y, x - 1, c]
                if up > 0.0:
                    s += up * e[y - 1, x, c]
                e[y, x, c] = s / whole


@kernel
def _coarser(
    right: Any, down: Any, hold: Any, b: Any, e: Any, right2: Any, down2: Any, hold2: Any, b2: Any
) -> None:
    """What is left to solve, on a grid of half the fineness."""
    h, w, channels = b.shape
    half = np.float32(0.5)
    for y in range(h):
        for x in range(w):
            y2, x2 = y // 2, x // 2
            hold2[y2, x2] += hold[y, x]
            if x % 2 == 1:
                right2[y2, x2] += half * right[y, x]
            if y % 2 == 1:
                down2[y2, x2] += half * down[y, x]
            left = right[y, x - 1] if x > 0 else np.float32(0.0)
            up = down[y - 1, x] if y > 0 else np.float32(0.0)
            whole = hold[y, x] + right[y, x] + down[y, x] + left + up
            for c in range(channels):
                s = b[y, x, c] - whole * e[y, x, c]
                if right[y, x] > 0.0:
                    s += right[y, x] * e[y, x + 1, c]
                if down[y, x] > 0.0:
                    s += down[y, x] * e[y + 1, x, c]
                if left > 0.0:
                    s += left * e[y, x - 1, c]
                if up > 0.0:
                    s += up * e[y - 1, x, c]
                b2[y2, x2, c] += s


@kernel
def _finer(coarse: Any, right: Any, down: Any, hold: Any, e: Any) -> None:
    h, w, channels = e.shape
    for y in range(h):
        for x in range(w):
            left = right[y, x - 1] if x > 0 else np.float32(0.0)
            up = down[y - 1, x] if y > 0 else np.float32(0.0)
            if hold[y, x] + right[y, x] + down[y, x] + left + up > 0.0:
                for c in range(channels):
                    e[y, x, c] += coarse[y // 2, x // 2, c]


Grid = NDArray[np.float32]


def _cycle(right: Grid, down: Grid, hold: Grid, b: Grid, e: Grid) -> None:
    h, w, channels = b.shape
    if h <= 2 and w <= 2:
        _sweep(right, down, hold, b, e, 20)
        return
    _sweep(right, down, hold, b, e, 2)
    half = ((h + 1) // 2, (w + 1) // 2)
    right2, down2, hold2 = (np.zeros(half, np.float32) for _ in range(3))
    b2, e2 = np.zeros((*half, channels), np.float32), np.zeros((*half, channels), np.float32)
    _coarser(right, down, hold, b, e, right2, down2, hold2, b2)
    _cycle(right2, down2, hold2, b2, e2)
    _finer(e2, right, down, hold, e)
    _sweep(right, down, hold, b, e, 2)


def blended(
    pic: NDArray[np.int16], hole: NDArray[np.bool_], holes: NDArray[np.int32], steps: NDArray[np.int32]
) -> NDArray[np.uint8]:
    """The hole's pixels after their tone has given way to the picture around.

    Parameters
    ----------
    pic
        int16 (h, w, ≥3), 0..255, the hole filled with copies.
    hole
        bool (h, w).
    holes
        int32 (n, 2): y, x of the hole's pixels, line by line.
    steps
        int32 (h, w, 2): from where each pixel of the hole was copied, y and x relative to it.

    Returns
    -------
    ndarray
        uint8 (n, 3).
    """
    y0, x0 = np.maximum(holes.min(axis=0) - 1, 0)
    y1, x1 = holes.max(axis=0) + 2
    right, down, hold = (np.zeros(hole.shape, np.float32) for _ in range(3))
    b = np.zeros((*hole.shape, 3), np.float32)
    _joins(pic, hole, holes, steps, right, down, hold, b)
    right, down, hold, b = (np.ascontiguousarray(a[y0:y1, x0:x1]) for a in (right, down, hold, b))
    e = np.zeros_like(b)
    for _ in range(CYCLES):
        _cycle(right, down, hold, b, e)
    at = (holes[:, 0], holes[:, 1])
    fixed: NDArray[np.float32] = pic[at][:, :3] + e[holes[:, 0] - y0, holes[:, 1] - x0]
    whole: NDArray[np.uint8] = np.clip(np.rint(fixed), 0, 255).astype(np.uint8)
    return whole
