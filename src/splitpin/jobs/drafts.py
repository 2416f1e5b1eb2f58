"""Drafts of what a person is at work on: cut, mended, split; nothing is written."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot
from threading import Lock
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cut import Cutting, Piece
from splitpin.cutout.cutout import PPI
from splitpin.cutout.knife import along, snap
from splitpin.cutout.mend import mend
from splitpin.cutout.patch import beside, grown, hole_of
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.picture.fit import preview

Rgb = NDArray[np.uint8]
Point = tuple[float, float]

SIDE = 1600
"""Pixels of a draft's longer side, at most: a screen shows no more of it at once."""
KNIFE = 900.0
"""The same of what a knife cuts, where its points lie."""
MENDED = 900
"""The same of a mended picture's draft: it is there in a second."""
FURTHEST = 4000.0
"""How far the knife's next point may lie from the last one, pixels."""


class Draft(NamedTuple):
    """A piece as it would be cut."""

    rgba: Rgb
    """uint8 (h, w, 4), sRGB, straight alpha; reduced where the piece is large."""
    piece: Piece
    """Its place and its outline are those in the picture's pixels."""


class Drafting:
    """A picture under the pencil: what was thought about its loop is kept from stroke to stroke.

    May be asked from several threads; it does one thing at a time.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB: the picture made fit.
    """

    def __init__(self, rgb: Rgb) -> None:
        self.rgb = rgb
        self._cutting = Cutting(rgb)
        self._one = Lock()

    def cut(self, recipe: Recipe) -> Draft:
        """The piece, as fine as a screen shows it.

        Raises
        ------
        CutError
            When the recipe cannot be followed.
        """
        with self._one:
            if recipe.edge == "knife" and (k := _share(recipe)) < 1:
                return self._by_knife(recipe, k)
            piece, _ = self._cutting.preview(recipe)
        return Draft(_smaller(piece.rgba, SIDE), piece)

    def _by_knife(self, recipe: Recipe, k: float) -> Draft:
        """A large piece in a reduced picture: fitting curves to a long edge takes long."""
        small = preview(self.rgb, max(1, round(max(self.rgb.shape[:2]) * k)))
        k = small.shape[1] / self.rgb.shape[1]
        piece = Cutting(small).cut(_scaled(recipe, k))
        left, top, width, height = (round(v / k) for v in piece.box)
        wide = Piece(piece.rgba, (left, top, width, height), tuple(way / k for way in piece.outline))
        return Draft(_smaller(piece.rgba, SIDE), wide)

    def edge(self, start: Point | None, end: Point) -> NDArray[np.float64]:
        """The knife's way along the edge to a point, which is moved to the edge it means.

        Parameters
        ----------
        start
            The point before, on its edge; None for the first.
        end
            The point.

        Returns
        -------
        ndarray
            (n, 2), pixels; of a first point that alone.
        """
        height, width = self.rgb.shape[:2]
        inside = min(max(end[0], 0.0), float(width)), min(max(end[1], 0.0), float(height))
        there = snap(self.rgb, inside)
        if start is None:
            return np.array([there], np.float64)
        if hypot(there[0] - start[0], there[1] - start[1]) > FURTHEST:
            return np.array([start, there], np.float64)
        way = cv2.approxPolyDP(along(self.rgb, start, there).astype(np.float32), 0.3, False)
        return np.asarray(way.reshape(-1, 2), np.float64)

    def mended(self, recipe: Recipe, seed: int = 0) -> Rgb:
        """The picture without the piece, reduced: uint8 (h, w, 3).

        Raises
        ------
        CutError
            When the recipe cannot be followed, or the piece leaves nothing of the picture.
        """
        with self._one:
            piece, _ = self._cutting.preview(recipe)
        small = preview(self.rgb, MENDED)
        width, height = piece.box[2:]
        alpha = cv2.resize(piece.rgba[..., 3], (width, height), interpolation=cv2.INTER_LINEAR)
        whole = hole_of(np.asarray(alpha, np.uint8), piece.box, (self.rgb.shape[0], self.rgb.shape[1]))
        hole = grown(whole, beside(piece.rgba[..., 3]) * width / piece.rgba.shape[1])
        size = small.shape[1], small.shape[0]
        reduced = cv2.resize(hole.astype(np.float32), size, interpolation=cv2.INTER_AREA) > 0
        return mend(small, reduced, seed=seed)


def _share(recipe: Recipe) -> float:
    """Pixels of the draft to one of the picture."""
    points = np.array(recipe.knife or recipe.loop or [(0.0, 0.0)])
    longer = recipe.box[2:] if recipe.box and not recipe.loop else np.ptp(points, axis=0)
    return min(1.0, KNIFE / max(float(np.max(longer)), 1.0))


def _scaled(recipe: Recipe, k: float) -> Recipe:
    """The same recipe for the picture averaged down."""

    def points(given: Sequence[Point]) -> list[Point]:
        return [(x * k, y * k) for x, y in given]

    def strokes(given: Sequence[Stroke]) -> list[Stroke]:
        return [Stroke(points=points(s.points), radius=s.radius * k) for s in given]

    box = recipe.box
    return recipe.model_copy(
        update={
            "loop": points(recipe.loop),
            "box": None if box is None else (box[0] * k, box[1] * k, box[2] * k, box[3] * k),
            "knife": points(recipe.knife),
            "keep": strokes(recipe.keep),
            "drop": strokes(recipe.drop),
            "ppi": (recipe.ppi or PPI) * k,
        }
    )


def _smaller(rgba: Rgb, side: int) -> Rgb:
    """A piece no larger than ``side`` either way; colours count by how much of them is there."""
    k = side / max(rgba.shape[:2])
    if k >= 1:
        return rgba
    size = max(1, round(rgba.shape[1] * k)), max(1, round(rgba.shape[0] * k))
    share = rgba[..., 3:].astype(np.float32) / 255
    mixed = cv2.resize(np.dstack([rgba[..., :3] * share, share]), size, interpolation=cv2.INTER_AREA)
    cover = mixed[..., 3:]
    colour = np.where(cover > 0, mixed[..., :3] / np.maximum(cover, 1e-6), 0)
    return np.asarray(np.rint(np.dstack([np.clip(colour, 0, 255), cover * 255])), np.uint8)
