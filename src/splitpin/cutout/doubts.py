"""What a person should look at in a piece that was cut, though it could be cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from splitpin.cutout.cut import Piece
from splitpin.cutout.doubt import Doubt
from splitpin.cutout.faint import faint
from splitpin.cutout.half_clear import SOLID, spots, veils
from splitpin.cutout.loop import filled, loop_of
from splitpin.cutout.recipe import Recipe
from splitpin.cutout.stroke_doubts import stroke_doubts

LONG = 0.03
"""A share of the loop's length: where the thing goes on across the loop for longer, it runs through it."""
SURE = 0.006
"""The same share where its colours are the piece's and not those of the ground."""
LEAST = 6.0
"""And for more than so many pixels, for a hair may cross it."""
LIKELIER = 8.0
"""Colours so many times as common in the piece as in what was left out are the piece's."""
ALIKE = 24.0
"""Colours on both sides of the loop that differ by less are taken to be of the same thing, 8-bit steps."""
COVERED = 100
"""Coverage from which a pixel is the piece's, 0..255: where a loop cuts a thing it is less sure."""
GAP = 4
"""Breaks in such a stretch up to this long do not end it, pixels."""

CELL, CELLS = 16, 16
"""Colours are counted in cells of so many 8-bit steps, so many along each axis."""
RARE = 1e-4
"""A colour that the ground has less of than this share is not in it."""

Floats = NDArray[np.float64]
Colours = NDArray[np.uint8]


def doubts(rgb: NDArray[np.uint8], recipe: Recipe, piece: Piece) -> tuple[Doubt, ...]:
    """What may be wrong with a piece.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB: what it was cut from.
    recipe
        How.
    piece
        What came of it, at full size.
    """
    height, width = rgb.shape[:2]
    return (
        *stroke_doubts(recipe, width, height),
        *_through(rgb, recipe, piece),
        *_half_clear(recipe, piece),
        *_left_out(piece),
        *faint(rgb, recipe, piece),
    )


def _left_out(piece: Piece) -> Iterator[Doubt]:
    if piece.left_out is not None:
        count, (x, y), size = piece.left_out
        which = "a part was left out; it" if count == 1 else f"{count} parts were left out; the largest"
        yield Doubt(
            "piece",
            f"{which}, {size} pixels, lay near {x}, {y}",
            "parts close to the thing, or clear against what is around them",
            "draw a keep stroke over it where it belongs to the thing",
        )


def _through(rgb: NDArray[np.uint8], recipe: Recipe, piece: Piece) -> Iterator[Doubt]:
    """Stretches of the loop on whose inner side the piece lies, or what has its colours and was taken for
    ground because it reaches the loop, and on whose outer side the thing goes on.
    """
    if recipe.edge == "knife" and (recipe.knife or recipe.as_drawn):
        return
    height, width = rgb.shape[:2]
    loop = loop_of(recipe, width, height)
    places, outward = _along(loop)
    reach = max(2.0, max(piece.box[2:]) / 400)
    inner, outer = places - reach * outward, places + reach * outward
    size = np.array([width, height])
    within = ((outer >= 0) & (outer < size) & (inner >= 0) & (inner < size)).all(axis=1)
    laid = _laid(piece, (height, width))
    covered = _seen(laid, inner, size) >= COVERED
    calm = np.asarray(cv2.GaussianBlur(rgb, (0, 0), max(1.0, reach / 2)), np.uint8)
    inside = _seen(calm, inner, size)
    alike = within & (np.abs(inside - _seen(calm, outer, size)).max(axis=1) < ALIKE)
    left_out = filled(loop, (height, width)) & (laid == 0)
    own = _likelier(rgb[laid >= SOLID], rgb[left_out], inside) > LIKELIER
    told = np.zeros(len(places), np.bool_)
    for crossed, share in ((alike & covered, LONG), (alike & own, SURE)):
        for start, length in _stretches(crossed):
            if length >= max(LEAST, share * len(places)):
                told[(start + np.arange(length)) % len(places)] = True
    long = [(length, start) for start, length in _stretches(told)]
    if not long:
        return
    length, start = max(long)
    x, y = places[(start + length // 2) % len(places)]
    more = "" if len(long) == 1 else f", and in {len(long) - 1} other place{'s' if len(long) > 2 else ''}"
    yield Doubt(
        "loop" if recipe.loop else "box",
        f"near {x:.0f}, {y:.0f} it seems to run through the thing, for {length} pixels{more}",
        "a loop around the thing, a little outside of it",
        "draw it farther out there, or leave it if the thing shall end so",
    )


def _likelier(piece: Colours, ground: Colours, asked: Floats) -> Floats:
    """How many times as common each colour is in the piece as in the ground; 0..255, (n, 3) each."""
    common = []
    for colours in (piece, ground):
        cells = colours.astype(np.int64) // CELL @ [CELLS * CELLS, CELLS, 1]
        counts = np.bincount(cells, minlength=CELLS**3).reshape(CELLS, CELLS, CELLS)
        common.append(gaussian_filter(counts / max(len(cells), 1), 0.7, mode="nearest"))
    at = tuple(asked.astype(np.int64).T // CELL)
    return np.asarray(common[0][at] / (common[1][at] + RARE))


def _half_clear(recipe: Recipe, piece: Piece) -> Iterator[Doubt]:
    """Places where what is behind the piece will show through it."""
    if recipe.edge == "knife":
        return
    left, top = piece.box[:2]
    for found, what in ((veils(piece.rgba[..., 3]), "is half clear"), (spots(piece.rgba[..., 3]), "")):
        if found is None:
            continue
        x, y = left + found.at[0], top + found.at[1]
        more = "" if found.places == 1 else f", one of {found.places} such places"
        yield Doubt(
            "piece",
            f"{found.share:.0%} of it {what}, most of that near {x}, {y}{more}"
            if what
            else f"near {x}, {y} paper goes round a spot that one can see through{more}",
            "paper, which is clear at its edge only, unless it is fur or glass",
            "draw a keep stroke there over what belongs to the thing, or a drop stroke over what does not",
        )


def _along(loop: Sequence[tuple[float, float]]) -> tuple[Floats, Floats]:
    """Places a pixel apart along a loop, and at each the direction out of it."""
    corners = np.array(loop, np.float64)
    steps = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(*steps.T)
    way = np.concatenate([[0.0], np.cumsum(lengths)])
    at = np.arange(0.5, way[-1])
    line = np.clip(np.searchsorted(way, at, side="right") - 1, 0, len(corners) - 1)
    along = steps[line] / lengths[line, None]
    x, y = corners.T
    turns = float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
    out = np.column_stack([along[:, 1], -along[:, 0]]) * (1 if turns > 0 else -1)
    return corners[line] + along * (at - way[line])[:, None], out


def _laid(piece: Piece, shape: tuple[int, int]) -> NDArray[np.uint8]:
    x, y, w, h = piece.box
    whole = np.zeros((y + h, x + w), np.uint8)
    whole[y:, x:] = piece.rgba[..., 3]
    laid = np.zeros(shape, np.uint8)
    laid[: y + h, : x + w] = whole[: shape[0], : shape[1]]
    return laid


def _seen(picture: NDArray[np.uint8] | Floats, places: Floats, size: NDArray[np.int64]) -> Floats:
    x, y = np.clip(np.floor(places).astype(int), 0, size - 1).T
    return np.asarray(picture[y, x], np.float64)


def _stretches(crossed: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Where each run of a closed line begins, and how long it is; small breaks are bridged."""
    n = len(crossed)
    at = np.flatnonzero(crossed)
    if len(at) == 0:
        return []
    breaks = np.diff(np.append(at, at[0] + n)) > GAP + 1
    ends = np.flatnonzero(breaks)
    if len(ends) == 0:
        return [(0, n)]
    starts = np.roll((ends + 1) % len(at), 1)
    return [(int(at[s]), int((at[e] - at[s]) % n) + 1) for s, e in zip(starts, ends, strict=True)]
