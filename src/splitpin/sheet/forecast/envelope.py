"""Pieces that are moved about, and belong in no character's envelope."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import Real, mapped, shows
from splitpin.sheet.sheet import Row
from splitpin.sheet.stack import BACKGROUND

NAMED = 6
"""More names than these are only counted."""


def envelope(known: Known) -> Iterator[Foreseen]:
    """Cut-outs that are taken up in the scene and that no character has, in one breath.

    Scenery lies where it lies, and trembles or creeps; what goes further than half its own size is in
    somebody's hands, and gets lost.
    """
    lying: dict[str, Real] = {}
    loose: dict[str, tuple[Row, Real]] = {}
    for row, outlines in zip(known.sheet.rows, known.outlines, strict=True):
        for placed in row.placed:
            if placed.who == BACKGROUND or placed.cutout in known.kept or placed.cutout in loose:
                continue
            now = mapped(known.hulls[placed.cutout], placed.matrix)
            if not _taken_up(lying.setdefault(placed.who, now), now):
                continue
            if shows(outlines[placed.who], known.stage):
                loose[placed.cutout] = (row, outlines[placed.who])
    if not loose:
        return
    names = list(loose)
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    row = next(iter(loose.values()))[0]
    points = np.concatenate([there for at, there in loose.values() if at is row])
    are = "is" if len(names) == 1 else "are"
    words = (
        f"{', '.join(names[:NAMED])}{more} {are} taken up, and in no character's envelope",
        "an envelope for everything that hands take up",
        "make a character of it, or keep it with the loose pieces and count them after each scene",
    )
    yield known.tell("envelope", row, points, words, pieces=len(names), cutouts=", ".join(names))


def _taken_up(before: Real, now: Real) -> bool:
    if not len(before) or not len(now):
        return False
    gone = (now.min(axis=0) + now.max(axis=0) - before.min(axis=0) - before.max(axis=0)) / 2
    return float(np.hypot(*gone)) > float(np.ptp(before, axis=0).max()) / 2
