"""A line that lies across a flare, moved to where the limb is a limb.

Turned on so long a line a head would carry off the top of the shoulders.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]
Mask = NDArray[np.bool_]

STEP = 0.25
"""Pixels between the places at which a line is looked at."""
NICK = 2.0
"""Gaps and touches shorter than this along a line, in pixels, do not count."""
NARROWER, NEAR, ALMOST = 0.6, 0.15, 1.1
"""A line lies on a flare when a limb narrower than this share of it is no farther off than this share of it;
it moves to where the limb is no more than this many times as wide as it is at the narrowest."""
ON, STILL = 0.5, 0.8
"""It is a limb when it goes on for this share of its width, and is never narrower there than this share of
it: a tip is none."""


def off_the_flare(core: Mask, places: Real, first: int, last: int) -> tuple[Real, tuple[float, float]]:
    """The cut, moved across itself as little as brings it off a flare, and by how much.

    Parameters
    ----------
    core
        bool (height, width): the piece.
    places
        (n, 2), pixels, :data:`STEP` apart: a line across it.
    first, last
        Which of them lie on the piece.

    Returns
    -------
    tuple
        Places (k, 2), and how far right and down they were moved, pixels.
    """
    cut = places[first:last]
    chord = cut[-1] - cut[0]
    long = float(np.hypot(*chord))
    stays = (cut, (0.0, 0.0))
    if long < 4 * NICK:
        return stays
    across = np.array([-chord[1], chord[0]]) / long
    middle = (first + last) // 2
    reach = int(NEAR * long)
    beyond = reach + int(ON * NARROWER * long)
    limbs: dict[int, tuple[int, int]] = {}
    for sign in (1, -1):
        spans: list[tuple[int, int] | None] = []
        for by in range(1, beyond + 1):
            runs = stretches(within(core, places + sign * by * across), NICK / STEP)
            # Only what the pin would lie on, and what ends before the line does.
            there = [(a, b) for a, b in runs if a <= middle < b and a > 0 and b < len(places)]
            spans.append(there[0] if there else None)
        wide = [0 if span is None else span[1] - span[0] for span in spans]
        for n, span in enumerate(spans[:reach]):
            on = wide[n : n + 1 + int(ON * wide[n] * STEP)]
            narrow = wide[n] < NARROWER * (last - first)
            if span is not None and narrow and len(on) > 1 and min(on) >= STILL * wide[n]:
                limbs[sign * (n + 1)] = span
    if not limbs:
        return stays
    narrowest = min(b - a for a, b in limbs.values())
    by = min((n for n, (a, b) in limbs.items() if b - a <= ALMOST * narrowest), key=lambda n: (abs(n), n))
    first, last = limbs[by]
    right, down = (float(v) for v in by * across)
    return places[first:last] + by * across, (right, down)


def within(core: Mask, places: Real) -> Mask:
    """Which places (n, 2), pixels, lie on the piece."""
    cells = np.floor(places).astype(np.int64)
    inside = np.asarray(((cells >= 0) & (cells < core.shape[::-1])).all(axis=1), np.bool_)
    inside[inside] = core[cells[inside, 1], cells[inside, 0]]
    return inside


def stretches(inside: Mask, nick: float) -> list[tuple[int, int]]:
    """Where a line is inside: spans, short gaps closed, short touches dropped."""
    ends = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]]).astype(np.int8)))
    joined: list[tuple[int, int]] = []
    for a, b in ends.reshape(-1, 2).tolist():
        if joined and a - joined[-1][1] < nick:
            joined[-1] = (joined[-1][0], b)
        else:
            joined.append((a, b))
    kept = [(a, b) for a, b in joined if b - a >= nick]
    return kept or joined
