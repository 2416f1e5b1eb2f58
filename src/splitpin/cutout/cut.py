"""Cut a thing out of a picture as a recipe says."""

from __future__ import annotations

from math import ceil, floor
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.curves import area
from splitpin.cutout.cutout import MM_PER_INCH, PPI
from splitpin.cutout.distance import edge_loops
from splitpin.cutout.drawn import drawn
from splitpin.cutout.ink import ink
from splitpin.cutout.knife import blade, knife
from splitpin.cutout.loop import brushed, loop_of
from splitpin.cutout.mistake import CutError
from splitpin.cutout.recipe import Recipe
from splitpin.cutout.scraps import LeftOut, left_out, without_scraps
from splitpin.cutout.soft import Soft, Window, at_full_size, at_reduced_size, found, window

Rgb = NDArray[np.uint8]

SPECK = 16
"""Scraps of coverage smaller than this many pixels at 1 megapixel are noise."""
PINHOLE = 4.0
"""Holes smaller than this many pixels have no edge worth telling."""
ALONG = 0.06
"""From one found knife point to the next, as a share of the thing's size."""


class Piece(NamedTuple):
    """What was cut out."""

    rgba: NDArray[np.uint8]
    """(h, w, 4), sRGB, straight alpha; no empty rows or columns around it."""
    box: tuple[int, int, int, int]
    """Where it was: left, top, width, height, pixels of the picture."""
    outline: tuple[NDArray[np.float64], ...]
    """Polygons (n, 2), pixels of the picture: the edges of all parts and of their holes, largest first."""
    left_out: LeftOut | None = None
    """What was taken for scraps: its place in pixels of the picture."""


class Cutting:
    """A picture on the cutting table: looks at each loop once, however many strokes follow.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    """

    def __init__(self, rgb: Rgb) -> None:
        self._rgb = rgb
        self._seen: tuple[list[tuple[float, float]], Window] | None = None

    def cut(self, recipe: Recipe) -> Piece:
        """The piece, final.

        Raises
        ------
        CutError
            When the recipe cannot be followed.
        """
        if recipe.edge == "knife":
            return self._finished(*self._by_knife(recipe), recipe, 1)
        seen, soft = self._soft(recipe)
        return self._finished(at_full_size(seen, soft), (seen.left, seen.top), recipe, 1, seen.rgb)

    def preview(self, recipe: Recipe) -> tuple[Piece, int]:
        """The piece reduced, and by how much: soft edges only take part of the time, a knife's none.

        Raises
        ------
        CutError
            When the recipe cannot be followed.
        """
        if recipe.edge == "knife":
            return self.cut(recipe), 1
        seen, soft = self._soft(recipe)
        rgba, picture = at_reduced_size(seen, soft), np.rint(seen.colour * 255).astype(np.uint8)
        return self._finished(rgba, (seen.left, seen.top), recipe, seen.factor, picture), seen.factor

    def _soft(self, recipe: Recipe) -> tuple[Window, Soft]:
        loop = loop_of(recipe, self._rgb.shape[1], self._rgb.shape[0])
        if self._seen is None or self._seen[0] != loop:
            self._seen = (loop, window(self._rgb, loop))
        seen = self._seen[1]
        return seen, found(seen, recipe.keep, recipe.drop)

    def _by_knife(self, recipe: Recipe) -> tuple[Rgb, tuple[int, int]]:
        """What lies inside the cut, and where its left upper corner is."""
        if recipe.as_drawn:
            curves = drawn(recipe, self._rgb.shape[1], self._rgb.shape[0])
        else:
            curves = knife(self._rgb, list(recipe.knife) or self._knife_points(recipe))
        # A curve lies within its control points. Moved by whole pixels it covers the same shares of them.
        low, high = curves.min((0, 1)), curves.max((0, 1))
        left, top = (max(0, floor(v) - 1) for v in low)
        part = self._rgb[top : max(top, ceil(high[1]) + 1), left : max(left, ceil(high[0]) + 1)]
        out = np.dstack([part, blade(curves - (left, top), part.shape[1], part.shape[0])])
        out[out[..., 3] == 0] = 0
        return np.asarray(out, np.uint8), (left, top)

    def _knife_points(self, recipe: Recipe) -> list[tuple[float, float]]:
        seen, soft = self._soft(recipe)
        mask = np.pad((soft.alpha > 0.5).astype(np.uint8), 1)
        ways, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
        if not ways:
            raise _nothing()
        edge = max(ways, key=cv2.contourArea)[:, 0] - 0.5
        step = max(2, round(ALONG * float(np.sqrt(mask.sum()))))
        way = edge[::step] if len(edge) >= 3 * step else edge
        places = way * seen.factor + (seen.left, seen.top)
        inside = np.clip(places, 0, (self._rgb.shape[1], self._rgb.shape[0]))
        return [(float(x), float(y)) for x, y in inside]

    def _finished(
        self, rgba: Rgb, at: tuple[int, int], recipe: Recipe, factor: int, picture: Rgb | None = None
    ) -> Piece:
        gone = None
        if picture is not None:
            speck = SPECK * self._rgb.shape[0] * self._rgb.shape[1] / 1e6 / factor**2
            keep = brushed(recipe.keep, (rgba.shape[0], rgba.shape[1]), factor, at) if recipe.keep else None
            whole = rgba[..., 3].copy()
            rgba[..., 3] = without_scraps(whole, speck, keep, picture, factor)
            gone = left_out(whole, rgba[..., 3], factor)
            rgba *= (rgba[..., 3:] > 0).view(np.uint8)
        if gone is not None:
            gone = gone._replace(at=(at[0] + gone.at[0] * factor, at[1] + gone.at[1] * factor))
        seen = rgba[..., 3] > 0
        rows, columns = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
        if len(rows) == 0:
            raise _nothing()
        y0, y1, x0, x1 = rows[0], rows[-1] + 1, columns[0], columns[-1] + 1
        rgba = np.ascontiguousarray(rgba[y0:y1, x0:x1])
        if recipe.ink_mm:
            rgba = ink(rgba, recipe.ink_mm, MM_PER_INCH * factor / (recipe.ppi or PPI))
        left, top = int(at[0] + x0 * factor), int(at[1] + y0 * factor)
        box = (left, top, int(x1 - x0) * factor, int(y1 - y0) * factor)
        outline = tuple(loop * factor + (left, top) for loop in edges(rgba[..., 3]))
        return Piece(rgba, box, outline, gone)


def cut(rgb: Rgb, recipe: Recipe) -> Piece:
    """Cut a piece out of a picture.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB; not changed.
    recipe
        What to do; its ``picture`` is not looked at.

    Raises
    ------
    CutError
        When the recipe cannot be followed.
    """
    return Cutting(rgb).cut(recipe)


def edges(alpha: NDArray[np.uint8]) -> list[NDArray[np.float64]]:
    """Polygons (n, 2), pixels, within half a pixel of where the coverage is one half: the largest first.

    Holes run the other way round than what they are in; those of a few pixels are left out.
    """
    loops = sorted(((area(loop), loop) for loop in edge_loops(alpha)), key=lambda one: -abs(one[0]))
    # The widest loop is an outer one, and so are all that run as it does.
    return [_simpler(loop) for size, loop in loops if size * loops[0][0] > 0 or abs(size) >= PINHOLE]


def _simpler(loop: NDArray[np.float64]) -> NDArray[np.float64]:
    few = cv2.approxPolyDP(loop.astype(np.float32), 0.5, True).reshape(-1, 2)
    return np.asarray(few, np.float64) if len(few) >= 3 else loop


def _nothing() -> CutError:
    return CutError(
        "loop",
        "nothing in it that differs from what is around it",
        "a thing that can be told from what is behind it",
        "draw the loop closer, or a stroke over what to keep, or cut along the loop: --as-drawn",
    )
