"""How long shooting takes: from a person's own takes, or from what is usual."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from splitpin.sheet.shooting.setups import SetUp

LEAST = 20
"""So many takes with their times tell how fast a person is."""
BREAK = 900.0
"""Nothing that took longer than this is work on one exposure, seconds (common practice, no source)."""
OUTLYING = 4.0
"""Nor what took so many times as long as the median of them."""


class Pace(NamedTuple):
    """How fast a person shoots."""

    exposure: float = 40.0
    """Seconds for each exposure, whatever is done for it."""
    action: float = 20.0
    """Seconds for each thing that hands do. With two or three of them an exposure takes one to two minutes,
    which is usual (common practice, no source)."""
    takes: int = 0
    """From so many takes it is known; 0 when it is what is usual."""


class Work(NamedTuple):
    """What a set-up takes."""

    setup: SetUp
    exposures: int
    """That are still to be shot."""
    actions: int
    """For them."""
    seconds: float


def pace_of(taken: Sequence[tuple[float, int]]) -> Pace:
    """A person's pace from takes that followed one another.

    Parameters
    ----------
    taken
        Seconds from the take before to this one, and the things that hands did between them.

    Notes
    -----
    Least absolute deviations by weighted least squares, repeated (iteratively reweighted; Schlossmacher
    1973, from memory): a break that was overlooked pulls little. Neither number can be below 1 second.
    """
    seconds = np.array([s for s, _ in taken], float)
    counts = np.array([n for _, n in taken], float)
    whole = (seconds > 0) & (seconds <= BREAK)
    if whole.any():
        whole &= seconds <= OUTLYING * np.median(seconds[whole])
    if whole.sum() < LEAST:
        return Pace()
    seconds, counts = seconds[whole], counts[whole]
    terms = np.stack([np.ones_like(counts), counts], axis=1)
    if np.ptp(counts) == 0:
        # nothing tells the two apart: they keep the proportion that is usual
        usual = Pace()
        k = float(np.median(seconds)) / (usual.exposure + usual.action * float(counts[0]))
        return Pace(usual.exposure * k, usual.action * k, len(seconds))
    weights = np.ones_like(seconds)
    found = np.zeros(2)
    for _ in range(50):
        root = np.sqrt(weights)[:, None]
        found = np.linalg.lstsq(terms * root, seconds * root[:, 0], rcond=None)[0]
        weights = 1 / np.maximum(np.abs(seconds - terms @ found), 0.5)
    return Pace(max(1.0, float(found[0])), max(1.0, float(found[1])), len(seconds))


def work_left(found: Sequence[SetUp], shot: dict[str, set[int]], pace: Pace) -> list[Work]:
    """What is still to be done in each set-up.

    Parameters
    ----------
    found
        The set-ups.
    shot
        The first frames of exposures that are shot, by scene.
    pace
        How fast the person is.
    """
    left = []
    for one in found:
        done = shot.get(one.scene, set())
        open_ = [n for row, n in zip(one.rows, one.actions, strict=True) if row.frame not in done]
        left.append(Work(one, len(open_), sum(open_), len(open_) * pace.exposure + sum(open_) * pace.action))
    return left
