"""Patches: for every small square around a hole, a square of the picture that looks like it.

A *field* gives for each target (the middle of a square that touches the hole) the step, in whole pixels,
to the middle of the square that it is likened to. The search is that of C. Barnes et al., "PatchMatch"
(2009): good steps spread to neighbours, chance finds new ones. Squares are compared in whole numbers,
because sums of whole numbers are the same on every machine in any order; chance is a hash of seed, round
and place, so it needs no order either.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from splitpin.measure.compiled import kernel

CHANNELS = 4
"""Red, green, blue, and how busy the picture is there: without the last, flat squares win everywhere."""


@njit(nogil=True, inline="always")
def _mixed(x: Any) -> Any:
    # The finaliser of SplitMix64 (Steele, Lea, Flood 2014).
    x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return x ^ (x >> np.uint64(31))


@njit(nogil=True, inline="always")
def _next(state: Any) -> Any:
    return state + np.uint64(0x9E3779B97F4A7C15)


@njit(nogil=True, inline="always")
def _below(bits: Any, n: Any) -> Any:
    return np.int64((bits >> np.uint64(33)) % np.uint64(n))


@njit(nogil=True)
def _unlike(rows: Any, ay: Any, ax: Any, by: Any, bx: Any, r: Any, bound: Any) -> Any:
    """Sum of squared differences of two squares, a line a row; stops early beyond ``bound``."""
    total = np.int32(0)
    for dy in range(-r, r + 1):
        a = rows[ay + dy, CHANNELS * (ax - r) : CHANNELS * (ax + r + 1)]
        b = rows[by + dy, CHANNELS * (bx - r) : CHANNELS * (bx + r + 1)]
        row = np.int32(0)
        if r == 3:  # nearly always; a length known beforehand makes the row twice as quick
            for i in range(7 * CHANNELS):
                d = np.int32(a[i]) - np.int32(b[i])
                row += d * d
        else:
            for i in range(a.shape[0]):
                d = np.int32(a[i]) - np.int32(b[i])
                row += d * d
        total += row
        if total > bound:
            return total
    return total


@kernel
def search(
    pic: Any,
    usable: Any,
    targets: Any,
    wanted: Any,
    field: Any,
    cost: Any,
    steps: Any,
    r: int,
    reach: int,
    apart: int,
    seed: int,
    backwards: bool,
) -> None:
    """One round of the search over all targets; ``field`` and ``cost`` are changed in place.

    Parameters
    ----------
    pic
        int16 (h, w, 4), the hole filled with the present guess.
    usable
        bool (h, w): middles of squares that may be copied.
    targets
        int32 (n, 2): y, x of the targets, line by line.
    wanted
        bool (h, w): where the targets are.
    field, cost
        int32 (h, w, 2), steps y, x; int32 (h, w), squared differences.
    steps
        int32 (k, 2): steps common in this picture; one of them is tried at each target.
    r
        Half the side of a square: it has 2 r + 1 pixels.
    reach
        How far chance looks around the best step so far, in pixels; 0 leaves chance out.
    apart
        Least length of a step, pixels.
    seed
        Of this round.
    backwards
        Work from the last target to the first, and spread from below and the right.
    """
    h, w = usable.shape
    n = targets.shape[0]
    rows = pic.reshape(pic.shape[0], pic.shape[1] * CHANNELS)
    back = -1 if backwards else 1
    for i in range(n):
        j = n - 1 - i if backwards else i
        y, x = targets[j, 0], targets[j, 1]
        sy, sx = field[y, x, 0], field[y, x, 1]
        best = _unlike(rows, y, x, y + sy, x + sx, r, np.int32(2147483647))
        state = _mixed(np.uint64(seed) * np.uint64(0x9E3779B97F4A7C15) + np.uint64(j))
        tries = 2
        far = reach
        while far >= 1:
            tries += 1
            far >>= 1
        common = 2 if steps.shape[0] > 0 else 0
        far = reach
        for t in range(tries + common):
            if t == 0:
                ny, nx = y - back, x
                if ny < 0 or ny >= h or not wanted[ny, nx]:
                    continue
                ty, tx = field[ny, nx, 0], field[ny, nx, 1]
            elif t == 1:
                ny, nx = y, x - back
                if nx < 0 or nx >= w or not wanted[ny, nx]:
                    continue
                ty, tx = field[ny, nx, 0], field[ny, nx, 1]
            elif t < tries:
                state = _next(state)
                ty = sy + _below(_mixed(state), 2 * far + 1) - far
                state = _next(state)
                tx = sx + _below(_mixed(state), 2 * far + 1) - far
                far >>= 1
            else:
                state = _next(state)
                k = _below(_mixed(state), steps.shape[0])
                ty, tx = steps[k, 0], steps[k, 1]
            by, bx = y + ty, x + tx
            if by < 0 or bx < 0 or by >= h or bx >= w or not usable[by, bx]:
                continue
            if (ty == sy and tx == sx) or ty * ty + tx * tx < apart * apart:
                continue
            found = _unlike(rows, y, x, by, bx, r, best)
            if found < best:
                best = found
                sy, sx = np.int32(ty), np.int32(tx)
        field[y, x, 0], field[y, x, 1] = sy, sx
        cost[y, x] = best


@kernel
def vote(pic: Any, holes: Any, wanted: Any, field: Any, cost: Any, depth: Any, r: int, out: Any) -> None:
    """Fill the hole with what the squares over each pixel say, the likeliest counting most.

    Parameters
    ----------
    pic, wanted, field, cost, r
        As in :func:`search`.
    holes
        int32 (n, 2): y, x of the hole's pixels.
    depth
        float32 (h, w): how far inside the hole a place is, pixels; squares near the rim know more.
    out
        int16 (n, 4): the new pixels.
    """
    h, w = wanted.shape
    size = float((2 * r + 1) * (2 * r + 1) * CHANNELS)
    for i in range(holes.shape[0]):
        y, x = holes[i, 0], holes[i, 1]
        y0, y1, x0, x1 = max(y - r, 0), min(y + r, h - 1), max(x - r, 0), min(x + r, w - 1)
        least = np.int32(2147483647)
        for qy in range(y0, y1 + 1):
            for qx in range(x0, x1 + 1):
                if wanted[qy, qx] and cost[qy, qx] < least:
                    least = cost[qy, qx]
        # The scale of likeness follows the best square here: among squares much worse than it none counts.
        scale = 1.0 / (0.3 * float(least) + size)
        a0 = a1 = a2 = a3 = whole = 0.0
        for qy in range(y0, y1 + 1):
            for qx in range(x0, x1 + 1):
                if wanted[qy, qx]:
                    t = 1.0 + float(cost[qy, qx] - least) * scale
                    weight = 1.0 / (t * t * (1.0 + 0.2 * depth[qy, qx]))
                    py, px = y + field[qy, qx, 0], x + field[qy, qx, 1]
                    a0 += weight * float(pic[py, px, 0])
                    a1 += weight * float(pic[py, px, 1])
                    a2 += weight * float(pic[py, px, 2])
                    a3 += weight * float(pic[py, px, 3])
                    whole += weight
        out[i, 0] = np.int16(a0 / whole + 0.5)
        out[i, 1] = np.int16(a1 / whole + 0.5)
        out[i, 2] = np.int16(a2 / whole + 0.5)
        out[i, 3] = np.int16(a3 / whole + 0.5)
