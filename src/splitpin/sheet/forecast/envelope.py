"""Pieces that are moved about, and belong in no character's envelope."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from splitpin.measure.affine import Affine
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import Real
from splitpin.sheet.sheet import Row
from splitpin.sheet.stack import BACKGROUND

NAMED = 6
"""More names than these are only counted."""


def envelope(known: Known) -> Iterator[Foreseen]:
    """Cut-outs that are moved in the scene and that no character has, in one breath.

    Scenery lies where it lies; what is taken up gets lost.
    """
    lying: dict[str, Affine] = {}
    loose: dict[str, tuple[Row, Real]] = {}
    for row, outlines in zip(known.sheet.rows, known.outlines, strict=True):
        for placed in row.placed:
            if placed.who == BACKGROUND or placed.cutout in known.kept or placed.cutout in loose:
                continue
            if lying.setdefault(placed.who, placed.matrix) != placed.matrix:
                loose[placed.cutout] = (row, outlines[placed.who])
    if not loose:
        return
    names = list(loose)
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    row = next(iter(loose.values()))[0]
    points = np.concatenate([there for at, there in loose.values() if at is row])
    are = "is" if len(names) == 1 else "are"
    words = (
        f"{', '.join(names[:NAMED])}{more} {are} moved, and in no character's envelope",
        "an envelope for everything that hands take up",
        "make a character of it, or keep it with the loose pieces and count them after each scene",
    )
    yield known.tell("envelope", row, points, words, pieces=len(names), cutouts=", ".join(names))
