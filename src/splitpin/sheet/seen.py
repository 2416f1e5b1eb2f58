"""Which cut-outs the camera sees, and how large."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import sqrt
from typing import NamedTuple

from splitpin.cutout.cutout import Cutout
from splitpin.measure.affine import Affine
from splitpin.measure.table import Stage, View
from splitpin.sheet.sheet import Sheet


class Sight(NamedTuple):
    """A cut-out within the view of one exposure."""

    cutout: str
    frame: int
    """The exposure's first frame in the scene."""
    panel: str
    scale: float
    """Pixels of the picture to one pixel of the cut-out."""


def sights(sheet: Sheet, stage: Stage, cutouts: Mapping[str, Cutout]) -> Iterator[Sight]:
    """Every cut-out of every exposure, as far as any of it lies within the view.

    Parameters
    ----------
    sheet
        The scene's rows.
    stage
        The picture over the field.
    cutouts
        Their sizes; one that is not known is passed over.
    """
    told: set[tuple[str, Affine]] = set()
    for row in sheet.rows:
        to_pixels = stage.to_pixels(row.view)
        for placed in row.placed:
            cutout = cutouts.get(placed.cutout)
            if cutout is None:
                continue
            matrix = placed.matrix.then(to_pixels)
            # what has not moved since is told of already
            if (placed.cutout, matrix) in told:
                continue
            told.add((placed.cutout, matrix))
            if within(matrix, cutout.width, cutout.height, stage):
                yield Sight(placed.cutout, row.frame, row.panel, sqrt(abs(matrix.determinant)))


def within(matrix: Affine, width: int, height: int, stage: Stage) -> bool:
    """Whether any of a picture lies within the frame.

    Two convex shapes are apart only if a line along a side of one of them parts them (the separating axis
    theorem).
    """
    corners = [matrix.apply(x, y) for x, y in ((0, 0), (width, 0), (width, height), (0, height))]
    frame = [(0.0, 0.0), (float(stage.width), 0.0), (float(stage.width), float(stage.height))]
    frame.append((0.0, float(stage.height)))
    axes = [(1.0, 0.0), (0.0, 1.0), (-matrix.b, matrix.a), (-matrix.d, matrix.c)]
    for ax, ay in axes:
        one = [ax * x + ay * y for x, y in corners]
        other = [ax * x + ay * y for x, y in frame]
        if max(one) <= min(other) or max(other) <= min(one):
            return False
    return True


def astray(sheet: Sheet, stage: Stage, cutouts: Mapping[str, Cutout]) -> list[str]:
    """The members that lie on the table, but never with any piece in the view, nor near the field.

    Near is a field's width from it on all sides: what waits there for its entrance, or stands beside a
    narrow view, is where it should be.
    """
    near = stage.to_pixels(View(0.0, 0.0, 3 * stage.field_mm, 0.0))
    there: dict[str, bool] = {}
    told: set[tuple[str, str, Affine]] = set()
    for row in sheet.rows:
        to_pixels = stage.to_pixels(row.view)
        for placed in row.placed:
            if there.get(placed.who):
                continue
            cutout = cutouts.get(placed.cutout)
            matrix = placed.matrix.then(to_pixels)
            if (placed.who, placed.cutout, matrix) in told:
                continue
            told.add((placed.who, placed.cutout, matrix))
            there[placed.who] = cutout is None or any(
                within(m, cutout.width, cutout.height, stage) for m in (matrix, placed.matrix.then(near))
            )
    return [who for who, seen in there.items() if not seen]
