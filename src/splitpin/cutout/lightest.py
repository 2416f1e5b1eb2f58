"""The path of least cost through a grid of pixels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

STRAIGHT, SLANTED = 5, 7
"""The lengths of steps along and across the grid: 7/5 is √2 to a hundredth."""


@kernel
def lightest_path(cost: NDArray[np.uint8], x0: int, y0: int, x1: int, y1: int) -> NDArray[np.int64]:
    """The cheapest way from one pixel to another, by steps to any of the eight neighbours.

    Parameters
    ----------
    cost
        uint8 (height, width): what a step costs by the pixel it enters, 1..255; 0 cannot be entered.
    x0, y0, x1, y1
        The first and the last pixel, inside the grid.

    Returns
    -------
    ndarray
        Pixels as ``y * width + x``, from the first to the last; these two alone when there is no way.

    Notes
    -----
    Dijkstra's algorithm with a ring of buckets for whole costs: R. B. Dial, "Algorithm 360", 1969.
    """
    height, width = cost.shape
    ring = 255 * SLANTED + 1
    far = np.iinfo(np.int64).max
    reached = np.full(height * width, far, np.int64)
    came = np.full(height * width, -1, np.int64)
    head = np.full(ring, -1, np.int64)
    room = 1 << 16
    pixel, after = np.empty(room, np.int64), np.empty(room, np.int64)
    used, waiting, now = 1, 1, 0
    start, goal = y0 * width + x0, y1 * width + x1
    reached[start] = 0
    pixel[0], after[0], head[0] = start, -1, 0
    while waiting:
        entry = head[now % ring]
        if entry < 0:
            now += 1
            continue
        head[now % ring] = after[entry]
        waiting -= 1
        here = pixel[entry]
        if reached[here] != now:
            continue
        if here == goal:
            break
        y, x = here // width, here % width
        for dy in range(-1, 2):
            for dx in range(-1, 2):
                v, u = y + dy, x + dx
                if (dy == 0 and dx == 0) or v < 0 or u < 0 or v >= height or u >= width or cost[v, u] == 0:
                    continue
                step = np.int64(cost[v, u]) * (STRAIGHT if dy == 0 or dx == 0 else SLANTED)
                there = v * width + u
                if now + step < reached[there]:
                    reached[there] = now + step
                    came[there] = here
                    if used == room:
                        room *= 2
                        more, moreafter = np.empty(room, np.int64), np.empty(room, np.int64)
                        more[:used], moreafter[:used] = pixel, after
                        pixel, after = more, moreafter
                    slot = (now + step) % ring
                    pixel[used], after[used] = there, head[slot]
                    head[slot] = used
                    used += 1
                    waiting += 1
    count = 1
    at = goal
    while at != start and came[at] >= 0:
        at = came[at]
        count += 1
    if at != start:
        return np.array([start, goal], np.int64)
    path = np.empty(count, np.int64)
    at = goal
    for k in range(count - 1, -1, -1):
        path[k] = at
        at = came[at]
    return path
