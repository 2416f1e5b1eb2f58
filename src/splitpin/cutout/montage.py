"""Filling a hole with few large parts of the picture, joined where the joins show least.

Each pixel of the hole gets one of a list of steps. The joins are found by repeated minimum cuts ("alpha
expansion", Boykov, Veksler, Zabih 2001) of the energy of shift maps (Pritch et al. 2009; He and Sun
2012). Costs are whole numbers, so the cut is the same on every machine.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from splitpin.cutout.patches import CHANNELS
from splitpin.measure.compiled import kernel

BUILT_ON = {"patches": "457a294692cc"}
"""See :func:`splitpin.measure.compiled.kernel`."""

NEVER = np.int64(1 << 40)
"""The cost of what must not be."""


@kernel
def expect(smooth: Any, rim: Any, nodes: Any, out: Any) -> None:
    """What tone and grain a hole should have, by its rim: the nearer, the more each place of it counts.

    Parameters
    ----------
    smooth
        int16 (h, w, 4): the picture without detail.
    rim, nodes
        int32 (m, 2) and (n, 2): y, x of places around the hole, and of the hole's pixels.
    out
        int16 (n, 4).
    """
    sums = np.zeros(CHANNELS)
    for i in range(nodes.shape[0]):
        whole = 0.0
        sums[:] = 0.0
        for j in range(rim.shape[0]):
            dy, dx = nodes[i, 0] - rim[j, 0], nodes[i, 1] - rim[j, 1]
            near = 1.0 / float((dy * dy + dx * dx) ** 2)
            whole += near
            for c in range(CHANNELS):
                sums[c] += near * float(smooth[rim[j, 0], rim[j, 1], c])
        for c in range(CHANNELS):
            out[i, c] = np.int16(sums[c] / whole + 0.5)


@kernel
def gather(
    pic: Any,
    smooth: Any,
    usable: Any,
    hole: Any,
    nodes: Any,
    expected: Any,
    steps: Any,
    r: int,
    rim: int,
    firm: int,
    values: Any,
    own: Any,
) -> None:
    """What each step would put at each node, and how ill that fits the known pixels near by.

    Parameters
    ----------
    pic, usable
        As in :func:`splitpin.cutout.patches.search`.
    hole
        bool (h, w).
    nodes
        int32 (n, 2): y, x of the hole's pixels.
    smooth, expected
        As :func:`expect` takes and gives them.
    steps
        int32 (k, 2).
    r
        Half the side of a square.
    rim
        How far from a node known pixels are still asked, pixels.
    firm
        How much it counts, in quarters, that tone and grain are not as expected.
    values
        int16 (k, n, 4), out: the pixel that each step brings.
    own
        int64 (k, n), out: the cost.
    """
    h, w = usable.shape
    for k in range(steps.shape[0]):
        sy, sx = steps[k, 0], steps[k, 1]
        for i in range(nodes.shape[0]):
            y, x = nodes[i, 0], nodes[i, 1]
            cy, cx = min(max(y, r), h - 1 - r) + sy, min(max(x, r), w - 1 - r) + sx
            if cy < 0 or cx < 0 or cy >= h or cx >= w or not usable[cy, cx]:
                own[k, i] = NEVER
                continue
            for c in range(CHANNELS):
                values[k, i, c] = pic[y + sy, x + sx, c]
            total = np.int64(0)
            for c in range(CHANNELS):
                total += abs(np.int64(smooth[y + sy, x + sx, c]) - np.int64(expected[i, c]))
            total = total * firm // 4
            for qy in range(max(y - rim, 0), min(y + rim, h - 1) + 1):
                for qx in range(max(x - rim, 0), min(x + rim, w - 1) + 1):
                    by, bx = qy + sy, qx + sx
                    if hole[qy, qx] or by < 0 or bx < 0 or by >= h or bx >= w or hole[by, bx]:
                        continue
                    near = abs(qy - y) + abs(qx - x)
                    d = np.int64(0)
                    for c in range(CHANNELS):
                        d += abs(np.int64(pic[qy, qx, c]) - np.int64(pic[by, bx, c]))
                    total += d * 4 // (near * near)
            own[k, i] = total


@njit(nogil=True)
def _join(values: Any, join: Any, p: Any, q: Any, s: Any, t: Any) -> Any:
    """What it costs that neighbours p and q take steps s and t."""
    if s == t:
        return np.int64(0)
    d = np.int64(0)
    for c in range(CHANNELS):
        d += abs(np.int64(values[s, p, c]) - np.int64(values[t, p, c]))
        d += abs(np.int64(values[s, q, c]) - np.int64(values[t, q, c]))
    return 2 * d + join


@njit(nogil=True)
def _cut(near: Any, room: Any, ends: Any, level: Any, arc: Any, queue: Any, came: Any) -> None:
    """A minimum cut (Dinic 1970) of a grid; then ``level`` is -1 for all that is not joined to the source.

    ``ends`` is what each node may still take from the source (above 0) or give to the sink (below 0).
    """
    n = ends.shape[0]
    while True:
        level[:] = -1
        head = tail = 0
        for p in range(n):
            if ends[p] > 0:
                level[p] = 0
                queue[tail] = p
                tail += 1
        met = False
        while head < tail:
            p = queue[head]
            head += 1
            if ends[p] < 0:
                met = True
            for d in range(4):
                q = near[p, d]
                if q >= 0 and room[p, d] > 0 and level[q] < 0:
                    level[q] = level[p] + 1
                    queue[tail] = q
                    tail += 1
        if not met:
            return
        arc[:] = 0
        for s in range(n):
            if level[s] != 0:
                continue
            p = s
            while ends[s] > 0:
                if ends[p] < 0:
                    most = min(ends[s], -ends[p])
                    q = p
                    while q != s:
                        d = came[q]
                        before = near[q, d ^ 1]
                        most = min(most, room[before, d])
                        q = before
                    ends[s] -= most
                    ends[p] += most
                    q = p
                    while q != s:
                        d = came[q]
                        before = near[q, d ^ 1]
                        room[before, d] -= most
                        room[q, d ^ 1] += most
                        if room[before, d] == 0:
                            p = before
                        q = before
                    continue
                gone = False
                while arc[p] < 4:
                    d = arc[p]
                    q = near[p, d]
                    if q >= 0 and room[p, d] > 0 and level[q] == level[p] + 1:
                        came[q] = d
                        p = q
                        gone = True
                        break
                    arc[p] += 1
                if gone:
                    continue
                if p == s:
                    break
                level[p] = 1 << 30
                p = near[p, came[p] ^ 1]
                arc[p] += 1


@kernel
def arrange(values: Any, own: Any, near: Any, chosen: Any, join: int, rounds: int) -> Any:
    """Choose a step for each node; ``chosen`` holds a permitted beginning and is changed in place.

    Parameters
    ----------
    values, own
        From :func:`gather`.
    near
        int32 (n, 4): the node left, right, above, below, or -1.
    chosen
        int32 (n,): the step of each node.
    join
        What a join costs in itself: more, and the parts grow larger.
    rounds
        How often all steps are gone through, at most.

    Returns
    -------
    int
        How often a node changed its step.
    """
    n = chosen.shape[0]
    room = np.zeros((n, 4), np.int64)
    ends = np.zeros(n, np.int64)
    level = np.zeros(n, np.int32)
    arc = np.zeros(n, np.int32)
    queue = np.zeros(n, np.int32)
    came = np.zeros(n, np.int32)
    changes = 0
    for _ in range(rounds):
        changed = 0
        for a in range(own.shape[0]):
            worth = False
            for p in range(n):
                ends[p] = own[a, p] - own[chosen[p], p]
                for d in range(4):
                    room[p, d] = 0
            for p in range(n):
                for d in range(1, 4, 2):
                    q = near[p, d]
                    if q < 0:
                        continue
                    s, t = chosen[p], chosen[q]
                    both = _join(values, join, p, q, s, t)
                    new_q = _join(values, join, p, q, s, a)
                    new_p = _join(values, join, p, q, a, t)
                    ends[p] += new_p - both
                    ends[q] -= new_p
                    room[p, d] = max(new_q + new_p - both, 0)
            for p in range(n):
                if ends[p] < 0:
                    worth = True
            if not worth:
                continue
            _cut(near, room, ends, level, arc, queue, came)
            for p in range(n):
                if level[p] < 0 and chosen[p] != a and own[a, p] < NEVER:
                    chosen[p] = a
                    changed += 1
        changes += changed
        if changed == 0:
            break
    return changes
