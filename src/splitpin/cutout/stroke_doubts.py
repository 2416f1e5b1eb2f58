"""Strokes and loops that say what cannot be, or what will not be listened to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.doubt import Doubt
from splitpin.cutout.loop import filled, loop_of, numbered
from splitpin.cutout.recipe import Recipe, Stroke

MOST = 5
"""So many pairs of strokes are told one by one."""
BEYOND = 1 / 3
"""A box of which more than this share lies beyond the picture was drawn over another one."""
PIXELS = 1e6
"""Strokes are laid over one another in a picture of so many pixels at most."""

Floats = NDArray[np.float64]


def stroke_doubts(recipe: Recipe, width: int, height: int) -> Iterator[Doubt]:
    """What may be wrong with what was drawn over a picture.

    Parameters
    ----------
    recipe
        The loop and the strokes.
    width, height
        The picture, pixels.
    """
    if recipe.edge == "knife" and recipe.knife:
        given = {"strokes": recipe.keep or recipe.drop, "a loop": recipe.loop, "a box": recipe.box}
        beside = [what for what, value in given.items() if value]
        if beside:
            yield Doubt(
                "knife",
                f"{' and '.join(beside)} beside the knife's own points",
                "points that say all: the knife goes by them alone",
                "leave the others out, or leave the knife's points out: then they are found",
            )
        return
    if recipe.edge == "knife" and recipe.as_drawn:
        if recipe.keep or recipe.drop:
            yield Doubt(
                "as_drawn",
                "strokes beside a line that is cut as it was drawn",
                "a line that says all: the knife goes by it alone",
                "leave the strokes out, or leave as_drawn out",
            )
        return
    if recipe.as_drawn:
        yield Doubt(
            "as_drawn",
            "a line to be cut as it was drawn, and a soft edge",
            'edge = "knife" with it',
            "say so, or take as_drawn out",
        )
    if recipe.knife:
        yield Doubt(
            "knife",
            f"{len(recipe.knife)} points for the knife, and a soft edge",
            'edge = "knife" where points are given',
            "say so, or take the points out",
        )
    yield from _beyond(recipe, width, height)
    yield from _beside(recipe, width, height)
    yield from _against(recipe, width, height)


def _beyond(recipe: Recipe, width: int, height: int) -> Iterator[Doubt]:
    """A box that reaches far over the picture's edge; a little does no harm."""
    if recipe.box is None or recipe.loop:
        return
    x, y, w, h = recipe.box
    across, down = min(x + w, width) - max(x, 0), min(y + h, height) - max(y, 0)
    if across * down < (1 - BEYOND) * w * h:
        yield Doubt(
            "box",
            f"it reaches from {x:g}, {y:g} to {x + w:g}, {y + h:g}",
            f"a box within {width} × {height} pixels: what lies beyond is left out",
            "places are pixels of the picture from its top left corner; look whether they are of this one",
        )


def _beside(recipe: Recipe, width: int, height: int) -> Iterator[Doubt]:
    """Strokes where nothing listens to them: outside of the loop nothing is kept, and all is dropped."""
    inside = filled(loop_of(recipe, width, height), (height, width))
    for what, strokes in (("keep", recipe.keep), ("drop", recipe.drop)):
        wholly: list[tuple[int, int, int, float]] = []
        partly: list[tuple[int, int, int, float]] = []
        for k, stroke in enumerate(strokes, 1):
            places = _along(stroke)
            off = ~_within(inside, places)
            if off.any():
                x, y = places[np.flatnonzero(off)[int(off.sum()) // 2]]
                share = float(off.mean())
                told = wholly if share == 1 and not _touches(inside, stroke) else partly
                told.append((k, round(float(x)), round(float(y)), share))
        if wholly:
            k, x, y, _ = wholly[0]
            yield Doubt(
                "strokes",
                f"{what} {_listed([one[0] for one in wholly])} outside of the loop, {what} {k} near {x}, {y}",
                f"strokes within the loop, in the picture of {width} × {height} pixels",
                "draw the loop around them, or leave them out: nothing comes of them",
            )
        # What a stroke drops beyond the loop is dropped in any case.
        if partly and what == "keep":
            k, x, y, share = max(partly, key=lambda one: one[3])
            yield Doubt(
                "strokes",
                f"{what} {_listed([one[0] for one in partly])} partly outside of the loop: "
                f"{share:.0%} of {what} {k}, near {x}, {y}",
                "strokes within the loop: nothing is kept beyond it",
                "draw the loop farther out there, or the stroke shorter",
            )


def _against(recipe: Recipe, width: int, height: int) -> Iterator[Doubt]:
    """Strokes that say keep and drop of the same pixels."""
    if not (recipe.keep and recipe.drop):
        return
    boxes = [np.array([_box(s) for s in strokes]) for strokes in (recipe.keep, recipe.drop)]
    low = np.maximum.reduce([np.zeros(2), *(box[:, 0].min(axis=0) for box in boxes)])
    high = np.minimum.reduce([np.array([width, height]), *(box[:, 1].max(axis=0) for box in boxes)])
    if (high <= low).any():
        return
    at = (float(np.floor(low[0])), float(np.floor(low[1])))
    factor = max(1.0, float(np.sqrt(np.prod(high - at) / PIXELS)))
    columns, rows = (int(v) for v in np.ceil((high - at) / factor))
    kept, dropped = (numbered(s, (rows, columns), factor, at) for s in (recipe.keep, recipe.drop))
    ys, xs = np.nonzero((kept > 0) & (dropped > 0))
    if len(xs) == 0:
        return
    pairs, which = np.unique(np.stack([kept[ys, xs], dropped[ys, xs]]), axis=1, return_inverse=True)
    sizes = np.bincount(which.ravel())
    told = np.argsort(-sizes, kind="stable")[:MOST]
    for pair in told:
        here = which.ravel() == pair
        x, y = (round(o + factor * float(np.median(v[here]))) for o, v in zip(at, (xs, ys), strict=True))
        more = len(sizes) - len(told) if pair == told[-1] else 0
        yield Doubt(
            "strokes",
            f"near {x}, {y} keep {pairs[0, pair]} and drop {pairs[1, pair]} lie over the same pixels"
            + (f", and {more} other pairs do" if more > 0 else ""),
            "strokes beside each other; where both lie, the pixels are dropped",
            "draw one of them shorter or thinner",
        )


def _listed(numbers: Sequence[int]) -> str:
    """``1 lies``, or ``1, 2 and 3 lie``, or ``1, 2, 3 and 7 others lie``."""
    if len(numbers) == 1:
        return f"{numbers[0]} lies"
    if len(numbers) <= MOST:
        return f"{', '.join(map(str, numbers[:-1]))} and {numbers[-1]} lie"
    return f"{', '.join(map(str, numbers[:3]))} and {len(numbers) - 3} others lie"


def _along(stroke: Stroke) -> Floats:
    """Places a pixel or so apart along a stroke."""
    points = np.array(stroke.points, np.float64)
    if len(points) == 1:
        return points
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0, way[-1], int(min(way[-1], 10_000)) + 2)
    return np.column_stack([np.interp(at, way, points[:, k]) for k in (0, 1)])


def _within(inside: NDArray[np.bool_], places: Floats) -> NDArray[np.bool_]:
    x, y = np.floor(places).astype(np.int64).T
    fits = (x >= 0) & (y >= 0) & (x < inside.shape[1]) & (y < inside.shape[0])
    fits[fits] = inside[y[fits], x[fits]]
    return np.asarray(fits, np.bool_)


def _touches(inside: NDArray[np.bool_], stroke: Stroke) -> bool:
    """Whether the brush reaches in, though its middle does not."""
    size = np.array(inside.shape[::-1])
    low, high = _box(stroke)
    x0, y0 = np.clip(np.floor(low), 0, size).astype(int)
    x1, y1 = np.clip(np.ceil(high), 0, size).astype(int)
    part = inside[y0:y1, x0:x1]
    return bool(part.any() and (part & (numbered([stroke], part.shape, 1.0, (x0, y0)) > 0)).any())


def _box(stroke: Stroke) -> tuple[Floats, Floats]:
    points = np.array(stroke.points, np.float64)
    return points.min(axis=0) - stroke.radius, points.max(axis=0) + stroke.radius
