"""The soft edge: from a loop and strokes to coverage, and to the thing's own colours.

All that needs thought happens in reduced pictures of the loop's surroundings, where it is faster and, since
grain averages out, better: the segmentation in a small one, the matte in a larger one. At full size there is
nothing but one pass over the band.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import ceil, sqrt
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.colour import colours
from splitpin.cutout.haze import without_haze
from splitpin.cutout.loop import brushed, filled
from splitpin.cutout.matte import matte
from splitpin.cutout.recipe import Stroke
from splitpin.cutout.segment import Segments, segments, stroked
from splitpin.cutout.trimap import Trimap, looks, trimap
from splitpin.cutout.upsample import applied, links, own_colours, reduced_light
from splitpin.measure.light import light_table

Rgb = NDArray[np.uint8]
Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]

AROUND = 0.12
"""How much of the picture around the loop is looked at, as a share of the loop's size."""
MATTE_PIXELS, SEGMENT_PIXELS = 240_000, 80_000
"""The sizes of the reduced pictures, at most."""

FAINT, FULL = 4.5 / 255, 250.5 / 255
"""Coverage up to which there is nothing, and from which there is nothing else: the whole keeps its pixels."""
PULL = 1e-4
"""How much what a pixel's own colour says weighs beside what its neighbours say."""


class Window(NamedTuple):
    """The surroundings of a loop: what strokes need not make anew."""

    left: int
    top: int
    rgb: Rgb
    """The picture there, at full size."""
    factor: int
    """How many of its pixels are one of the picture for the matte."""
    colour: Floats
    """The picture for the matte: float32 (h, w, 3), sRGB, 0..1. Sides are told apart in it, as eyes do."""
    looks: tuple[Floats, ...]
    """The same as :func:`splitpin.cutout.trimap.looks` has it."""
    light: Floats
    """The same in linear light, in which thing and ground were mixed: coverage is found in it."""
    inside: Mask
    """What the loop encloses there."""
    step: int
    """How many of those pixels are one of the picture for the segmentation."""
    small: Rgb
    """The picture for the segmentation."""
    found: Segments


class Soft(NamedTuple):
    """What was found in a reduced picture."""

    known: Floats
    """The trimap."""
    alpha: Floats
    """0..1."""


def window(rgb: Rgb, loop: Sequence[tuple[float, float]]) -> Window:
    """Look at a loop."""
    places = np.array(loop)
    low, high = places.min(0), places.max(0)
    margin = max(8.0, AROUND * float((high - low).max()))
    left, top = (max(0, int(v)) for v in np.floor(low - margin))
    right = min(rgb.shape[1], ceil(high[0] + margin))
    bottom = min(rgb.shape[0], ceil(high[1] + margin))
    part = rgb[top:bottom, left:right]
    factor = _factor(part.shape, MATTE_PIXELS)
    middle = reduced(part, factor)
    shape = (middle.shape[0], middle.shape[1])
    step = _factor(middle.shape, SEGMENT_PIXELS)
    small = reduced(middle, step)
    inside = filled(loop, (small.shape[0], small.shape[1]), factor * step, (left, top))
    colour = (middle / np.float32(255)).astype(np.float32)
    return Window(
        left,
        top,
        part,
        factor,
        colour,
        looks(colour),
        reduced_light(part, _lights(), factor),
        filled(loop, shape, factor, (left, top)),
        step,
        small,
        segments(small, inside),
    )


def found(seen: Window, keep: Sequence[Stroke], drop: Sequence[Stroke]) -> Soft:
    """Coverage in the reduced picture.

    Parameters
    ----------
    seen
        From :func:`window`.
    keep, drop
        Strokes.
    """
    at = (float(seen.left), float(seen.top))
    whole = seen.factor * seen.step
    size = (seen.small.shape[0], seen.small.shape[1])
    mask = stroked(seen.small, seen.found, brushed(keep, size, whole, at), brushed(drop, size, whole, at))
    h, w = seen.inside.shape
    wide = cv2.resize(mask.astype(np.float32), (size[1] * seen.step, size[0] * seen.step))[:h, :w] > 0.5
    kept, dropped = (brushed(s, (h, w), seen.factor, at) for s in (keep, drop))
    wide = (wide | kept) & ~dropped & seen.inside
    known, likely, apart = _told(seen, wide, kept, dropped)
    # The segmentation knows nothing of hairs and spokes; what their own colours say of them does.
    wide = np.where((known > 0) & (known < 1), likely, known) > 0.5
    known, likely, apart = _told(seen, wide, kept, dropped)
    alpha = without_haze(matte(seen.light, known, likely, PULL * apart), kept | dropped)
    # Where there is nothing for sure, nothing is looked for at full size.
    return Soft(np.where(alpha > 0, known, np.float32(0)), alpha)


def _told(seen: Window, mask: Mask, kept: Mask, dropped: Mask) -> Trimap:
    """The trimap around a rough mask, and the person's word over it."""
    told = trimap(seen.looks, seen.light, mask, seen.inside, 1 + seen.step)
    told.known[kept] = 1.0
    told.known[dropped | ~seen.inside] = 0.0
    return told


def at_full_size(seen: Window, soft: Soft) -> Rgb:
    """The piece: uint8 (h, w, 4), straight alpha, as large as the window."""
    if seen.factor == 1:
        h, w = seen.rgb.shape[:2]
        alpha = np.ascontiguousarray(soft.alpha[:h, :w])
    else:
        alpha = applied(seen.rgb, _lights(), links(seen.light, soft.alpha), soft.known, seen.factor)
    return _coloured(seen, soft, seen.rgb, alpha, seen.factor)


def at_reduced_size(seen: Window, soft: Soft) -> Rgb:
    """The same, reduced by the window's factor."""
    picture = np.rint(seen.colour * 255).astype(np.uint8)
    return _coloured(seen, soft, picture, soft.alpha, 1)


def reduced(rgb: Rgb, factor: int) -> Rgb:
    """Averages of squares of ``factor`` pixels; squares over the edge repeat its pixels."""
    if factor == 1:
        return np.ascontiguousarray(rgb)
    h, w = rgb.shape[:2]
    if h % factor or w % factor:
        rgb = np.asarray(
            cv2.copyMakeBorder(rgb, 0, -h % factor, 0, -w % factor, cv2.BORDER_REPLICATE), np.uint8
        )
    size = (rgb.shape[1] // factor, rgb.shape[0] // factor)
    return np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), np.uint8)


def _coloured(seen: Window, soft: Soft, picture: Rgb, alpha: Floats, factor: int) -> Rgb:
    thing, behind = colours(seen.light, soft.alpha)
    alpha = np.where(alpha < FAINT, np.float32(0), np.where(alpha > FULL, np.float32(1), alpha))
    return np.asarray(own_colours(picture, alpha, _lights(), thing, behind, factor), np.uint8)


def _factor(shape: tuple[int, ...], most: int) -> int:
    return max(1, ceil(sqrt(shape[0] * shape[1] / most) - 0.2))


@cache
def _lights() -> Floats:
    return (light_table() / 65535).astype(np.float32)
