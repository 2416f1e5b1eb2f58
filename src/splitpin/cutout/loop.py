"""Loops and strokes as a hand draws them, checked and filled."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.mistake import CutError
from splitpin.cutout.recipe import Recipe, Stroke

Mask = NDArray[np.bool_]
Place = tuple[float, float]
FINE = 4
"""Polygons and brushes are placed to 2⁻⁴ pixel."""


def loop_of(recipe: Recipe, width: int, height: int) -> list[Place]:
    """The loop of a recipe, within the picture.

    Raises
    ------
    CutError
        When it encloses nothing of the picture, or crosses itself.
    """
    points = _corners(recipe.box) if recipe.box is not None and not recipe.loop else list(recipe.loop)
    kept = [p for n, p in enumerate(points) if n == 0 or p != points[n - 1]]
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    if not points:
        raise CutError(
            "loop", "no loop and no box", "three or more points around the thing, or a box",
            "draw a loop around the thing, a little outside of it",
        )  # fmt: skip
    if len(kept) < 3:
        raise CutError(
            "loop",
            f"{len(kept)} point{'' if len(kept) == 1 else 's'}",
            "three or more, around the thing",
            "draw a loop around the thing, a little outside of it",
        )
    refuse_crossing("loop", "a loop that goes round once", "draw it without crossings", kept)
    if min(width, height) < 3:
        raise CutError("picture", f"{width} × {height} pixels", "3 × 3 or more", "cut from a larger picture")
    low, high = np.min(kept, axis=0), np.max(kept, axis=0)
    x, y = np.clip(np.array(kept).T, 0, [[width], [height]])
    area = abs(float(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1)))) / 2
    if area < 4:
        raise CutError(
            "loop" if recipe.loop else "box",
            f"it lies outside the picture or encloses nothing: from {low[0]:g}, {low[1]:g} to "
            f"{high[0]:g}, {high[1]:g}",
            f"one within the picture's {width} × {height} pixels",
            "draw it around the thing; places are pixels from the top left corner",
        )
    return list(zip(x.tolist(), y.tolist(), strict=True))


def refuse_crossing(
    where: str, expected: str, remedy: str, points: Sequence[Place], numbers: Sequence[int] | None = None
) -> None:
    """Refuse a closed line that crosses itself.

    Parameters
    ----------
    where, expected, remedy
        What is told of it.
    points
        In pixels.
    numbers
        Which points of those that were given these are, counted from 0; all of them when left out.

    Raises
    ------
    CutError
        When it does; the points are counted from 1.
    """
    crossing = _crossing(np.array(points))
    if crossing is not None:
        found = "it crosses itself: the line from point {} meets the line from point {}"
        said = [k + 1 if numbers is None else numbers[k] + 1 for k in crossing]
        raise CutError(where, found.format(*said), expected, remedy)


def filled(points: Sequence[Place], shape: tuple[int, int], factor: float = 1.0, at: Place = (0, 0)) -> Mask:
    """What lies within a loop, in a picture reduced by ``factor`` whose corner lies at ``at``."""
    mask = np.zeros(shape, np.uint8)
    cv2.fillPoly(mask, [_fixed(points, factor, at)], 1, shift=FINE)
    return mask.astype(bool)


def brushed(
    strokes: Sequence[Stroke], shape: tuple[int, int], factor: float = 1.0, at: Place = (0, 0)
) -> Mask:
    """What strokes touch; every stroke touches at least a pixel's width."""
    return numbered(strokes, shape, factor, at) > 0


def numbered(
    strokes: Sequence[Stroke], shape: tuple[int, int], factor: float = 1.0, at: Place = (0, 0)
) -> NDArray[np.uint16]:
    """Which stroke touches each pixel, counted from 1, the first of several; 0 where none does."""
    numbers = np.zeros(shape, np.uint16)
    for number, stroke in reversed(list(enumerate(strokes, 1))):
        way = _fixed(stroke.points, factor, at)
        radius = max(stroke.radius / factor, 0.5)
        cv2.polylines(numbers, [way], False, number, max(1, round(2 * radius)), shift=FINE)
        for place in (way[0], way[-1]):
            cv2.circle(numbers, place.tolist(), round(radius * 2**FINE), number, -1, shift=FINE)
    return numbers


def _corners(box: tuple[float, float, float, float]) -> list[Place]:
    x, y, w, h = box
    return [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]


def _fixed(points: Sequence[Place], factor: float, at: Place) -> NDArray[np.int32]:
    # The drawing library counts from the middle of the first pixel.
    places = (np.asarray(points, np.float64) - at) / factor - 0.5
    return np.asarray(np.rint(np.clip(places, -1e5, 1e5) * 2**FINE), np.int32)


def _crossing(p: NDArray[np.float64]) -> tuple[int, int] | None:
    q = np.roll(p, -1, axis=0)
    n = len(p)
    for i in range(n - 2):
        j = np.arange(i + 2, n - 1 if i == 0 else n)
        d = q[i] - p[i]
        e = q[j] - p[j]
        by = d[0] * e[:, 1] - d[1] * e[:, 0]
        off = p[j] - p[i]
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (off[:, 0] * e[:, 1] - off[:, 1] * e[:, 0]) / by
            u = (off[:, 0] * d[1] - off[:, 1] * d[0]) / by
        hit = (by != 0) & (t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)
        if hit.any():
            return i, int(j[np.argmax(hit)])
    return None
