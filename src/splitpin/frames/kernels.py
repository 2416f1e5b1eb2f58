"""The loops over pixels, compiled.

A pixel is one 64-bit number: four 16-bit lanes, red, green, blue, alpha from the lowest up; linear light,
premultiplied. Places in a picture are whole numbers of 2⁻³² pixel: sums of them are exact, so a pixel gets
the same value whichever rectangle it is drawn in. For the same reason no arithmetic may be reordered (no fast
maths). All kernels release the interpreter's lock and may run side by side.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from splitpin.frames.lanes import alone, blend, fetch, over, shares6
from splitpin.frames.levels import PAD, TILE
from splitpin.measure.compiled import kernel

BUILT_ON = {"lanes": "59380688d0c9", "levels": "aa5e95b07cdd"}
"""See :func:`splitpin.measure.compiled.kernel`."""
ONE = 1 << 32
"""One pixel, in the unit of places."""

_PLACE = 1.0 / ONE
_UNIT = np.float32(_PLACE)
_TILE = 32 + TILE.bit_length() - 1
_NONE, _ALL = np.float32(0.0), np.float32(1.0)
_HIDING = np.float32(65534.75)
"""Opaque, but for the dust of rounding: what lies below would add a quarter of the least step at most."""


@njit(nogil=True, forceinline=True)
def _pixels2(pixels: Any, k: Any) -> Any:
    return pixels[np.uint64(k)], pixels[np.uint64(k + 1)]


@njit(nogil=True, forceinline=True)
def _pixels4(pixels: Any, k: Any) -> Any:
    a, b = _pixels2(pixels, k)
    c, d = _pixels2(pixels, k + 2)
    return a, b, c, d


@njit(nogil=True, forceinline=True)
def _pixels6(pixels: Any, k: Any) -> Any:
    a, b, c, d = _pixels4(pixels, k)
    e, f = _pixels2(pixels, k + 4)
    return a, b, c, d, e, f


@njit(nogil=True, forceinline=True)
def _weights2(place: Any) -> Any:
    t = np.float32(place & 0xFFFFFFFF) * _UNIT
    return _ALL - t, t


@njit(nogil=True, forceinline=True)
def _weights3(place: Any, half: Any, less: Any) -> Any:
    """How much of a box (``half`` its width, 1 to 2 pixels; ``less`` one over it) lies in the pixel it is
    centred in, in the one before and in the one after.
    """
    t = np.float32(place & 0xFFFFFFFF) * _UNIT
    a = max(half - t, _NONE) * less
    c = max(half - (_ALL - t), _NONE) * less
    return a, _ALL - a - c, c


@njit(nogil=True, forceinline=True)
def _weights6(place: Any, half: Any, less: Any) -> Any:
    """The same for a box of 2 to 5 pixels, in the three pixels on either side of its middle."""
    return shares6(np.float32(place & 0xFFFFFFFF) * _UNIT, half + np.float32(0.5), less)


@njit(nogil=True, forceinline=True)
def _colour2(pixels: Any, width: Any, u: Any, v: Any, _across: Any, _down: Any) -> Any:
    u, v = u - (1 << 31), v - (1 << 31)
    k = (v >> 32) * width + (u >> 32)
    return blend((_pixels2(pixels, k), _pixels2(pixels, k + width)), _weights2(u), _weights2(v))


@njit(nogil=True, forceinline=True)
def _colour3(pixels: Any, width: Any, u: Any, v: Any, across: Any, down: Any) -> Any:
    k = ((v >> 32) - 1) * width + (u >> 32) - 1
    rows = (_pixels4(pixels, k), _pixels4(pixels, k + width), _pixels4(pixels, k + 2 * width))
    a, b, c = _weights3(u, across[0], across[1])
    return blend(rows, (a, b, c, _NONE), _weights3(v, down[0], down[1]))


@njit(nogil=True, forceinline=True)
def _colour6(pixels: Any, width: Any, u: Any, v: Any, across: Any, down: Any) -> Any:
    u, v = u - (1 << 31), v - (1 << 31)
    k = ((v >> 32) - 2) * width + (u >> 32) - 2
    rows = (
        _pixels6(pixels, k),
        _pixels6(pixels, k + width),
        _pixels6(pixels, k + 2 * width),
        _pixels6(pixels, k + 3 * width),
        _pixels6(pixels, k + 4 * width),
        _pixels6(pixels, k + 5 * width),
    )
    return blend(rows, _weights6(u, across[0], across[1]), _weights6(v, down[0], down[1]))


@njit(nogil=True, forceinline=True)
def _clip(first: Any, last: Any, start: Any, step: Any, low: Any, high: Any) -> Any:
    """The part of ``first <= x < last`` where ``low <= start + x·step < high``."""
    if step == 0:
        return (first, last) if low <= start < high else (first, first)
    if step > 0:
        a, b = -((start - low) // step), -((start - high) // step)
    else:
        a, b = (high - start) // step + 1, (low - start) // step + 1
    first = max(first, a)
    return first, max(first, min(last, b))


@njit(nogil=True, forceinline=True)
def _inside(place: Any, size: Any, reach: Any) -> Any:
    """How much of an interval ``reach`` wide about a place lies between 0 and ``size``, 0..1."""
    return max(0.0, min(place + 0.5 * reach, size) - max(place - 0.5 * reach, 0.0)) / reach


def _row(colour: Any) -> Any:
    """The loop along a row of the frame for one way of taking colours. Each is compiled for itself, so that
    it has the processor's registers to itself.
    """

    @njit(nogil=True, forceinline=True)
    def inside(row: Any, first: Any, last: Any, picture: Any, at: Any, across: Any, down: Any) -> None:
        """Where the picture covers whole pixels."""
        pixels, width = picture
        u, v, ux, vx, ahead, left = at
        for x in range(first, last):
            p, q = u + x * ux, v + x * vx
            # A turned picture is read across its rows, which the processor does not foresee by itself.
            fetch(pixels, ((q + ahead) >> 32) * width + (p >> 32))
            lanes = colour(pixels, width, p, q, across, down)
            k = np.uint64(x - left)
            if lanes[3] > _HIDING:
                row[k] = alone(lanes)
            elif lanes[3] > 0:
                row[k] = over(row[k], lanes, _ALL)

    @njit(nogil=True, forceinline=True)
    def edge(
        row: Any, first: Any, last: Any, picture: Any, at: Any, across: Any, down: Any, rim: Any
    ) -> None:
        """Where its rim runs through them."""
        pixels, width = picture
        u, v, ux, vx, _, left = at
        corner = PAD << 32
        for x in range(first, last):
            p, q = u + x * ux, v + x * vx
            lanes = colour(pixels, width, p, q, across, down)
            if lanes[3] > 0:
                cover = _inside((p - corner) * _PLACE, rim[0], rim[2])
                cover *= _inside((q - corner) * _PLACE, rim[1], rim[3])
                k = np.uint64(x - left)
                row[k] = over(row[k], lanes, np.float32(cover))

    @njit(nogil=True, forceinline=True)
    def whole(row: Any, spans: Any, picture: Any, at: Any, across: Any, down: Any, rim: Any) -> None:
        first, full, begin, end, less, last = spans
        edge(row, first, full, picture, at, across, down, rim)
        inside(row, begin, end, picture, at, across, down)
        edge(row, less, last, picture, at, across, down, rim)

    return whole


_row2, _row3, _row6 = _row(_colour2), _row(_colour3), _row(_colour6)


@njit(nogil=True, forceinline=True)
def _narrowed(tiles: Any, first: Any, last: Any, u: Any, v: Any, ux: Any, vx: Any) -> Any:
    """The part of a row between the first and the last pixel that something of the picture can show in."""
    while (
        first < last and not tiles[np.uint64((v + first * vx) >> _TILE), np.uint64((u + first * ux) >> _TILE)]
    ):
        first += 1
    end = last - 1
    while first <= end and not tiles[np.uint64((v + end * vx) >> _TILE), np.uint64((u + end * ux) >> _TILE)]:
        end -= 1
    return first, end + 1


@kernel
def lay(
    tile: Any,
    left: Any,
    top: Any,
    region: Any,
    pixels: Any,
    width: Any,
    tiles: Any,
    places: Any,
    limits: Any,
    rim: Any,
) -> int:
    """Lay a picture over a tile.

    Parameters
    ----------
    tile
        uint64 (h, w), changed in place.
    left, top
        Where the tile's first pixel is in the frame.
    region
        x0, y0, x1, y1 in the frame: the pixels to draw, within the tile.
    pixels, width
        The picture with its padding, flat, and the length of a row of it.
    tiles
        Where anything of it shows, from :func:`occupy`.
    places
        int64 (6): the place in the padded picture of the frame's pixel (0, 0), u and v; the steps u, v for
        one pixel to the right; u, v for one pixel down.
    limits
        int64 (8): least and greatest u, least and greatest v that show anything; the same for what is fully
        inside.
    rim
        float64 (4): the picture's size in pixels of this level, and how much of it a frame pixel spans, u
        and v.

    Returns
    -------
    int
        How many pixels were gone over.
    """
    ux, vx, uy, vy = places[2], places[3], places[4], places[5]
    width_u, width_v = max(rim[2], 1.0), max(rim[3], 1.0)
    widest = max(width_u, width_v)
    across = (np.float32(width_u / 2), np.float32(1.0 / width_u))
    down = (np.float32(width_v / 2), np.float32(1.0 / width_v))
    picture = (pixels, width)
    count = 0
    for y in range(region[1], region[3]):
        u, v = places[0] + y * uy, places[1] + y * vy
        first, last = _clip(region[0], region[2], u, ux, limits[0], limits[1])
        first, last = _clip(first, last, v, vx, limits[2], limits[3])
        full, less = _clip(first, last, u, ux, limits[4], limits[5])
        full, less = _clip(full, less, v, vx, limits[6], limits[7])
        if full >= less:
            full = less = last
        begin, end = _narrowed(tiles, full, less, u, v, ux, vx)
        count += full - first + end - begin + last - less
        row = tile[y - top]
        spans = (first, full, begin, end, less, last)
        at = (u, v, ux, vx, 2 * vy, left)
        if widest <= 1.0:
            _row2(row, spans, picture, at, across, down, rim)
        elif widest <= 2.0:
            _row3(row, spans, picture, at, across, down, rim)
        else:
            _row6(row, spans, picture, at, across, down, rim)
    return count


@kernel
def develop(tile: Any, left: int, top: int, signal: Any, rgb: Any) -> None:
    """Light to 8-bit sRGB.

    Parameters
    ----------
    tile
        uint64 (h, w), opaque.
    left, top
        Where the tile's first pixel is in the frame.
    signal
        The 65536 8-bit values of lights.
    rgb
        The frame, uint8 (height, width, 3).
    """
    low = np.uint64(0xFFFF)
    for y in range(tile.shape[0]):
        for x in range(tile.shape[1]):
            p = tile[y, x]
            rgb[top + y, left + x, 0] = signal[p & low]
            rgb[top + y, left + x, 1] = signal[(p >> np.uint64(16)) & low]
            rgb[top + y, left + x, 2] = signal[(p >> np.uint64(32)) & low]


@njit(nogil=True, forceinline=True)
def _luma(rgb: Any, y: Any, x: Any) -> Any:
    """A pixel's colours, and its Y'."""
    r, g, b = np.int32(rgb[y, x, 0]), np.int32(rgb[y, x, 1]), np.int32(rgb[y, x, 2])
    return r, g, b, ((11966 * r + 40254 * g + 4064 * b + 32768) >> 16) + 16


@kernel
def separate(rgb: Any, x0: int, y0: int, x1: int, y1: int, luma: Any, blue: Any, red: Any) -> None:
    """R'G'B' to Y'CbCr, BT.709, limited range, 4:2:0: see :mod:`splitpin.frames.yuv`.

    Parameters
    ----------
    rgb
        The frame, uint8 (height, width, 3), even sides.
    x0, y0, x1, y1
        The pixels to turn; even.
    luma, blue, red
        uint8 (height, width) and twice (height/2, width/2), changed in place.
    """
    # Four pixels at a time: each of their values is read once.
    for y in range(y0 // 2, y1 // 2):
        j, below = np.uint64(2 * y), np.uint64(2 * y + 1)
        for x in range(x0 // 2, x1 // 2):
            i, right = np.uint64(2 * x), np.uint64(2 * x + 1)
            r0, g0, b0, luma[j, i] = _luma(rgb, j, i)
            r1, g1, b1, luma[j, right] = _luma(rgb, j, right)
            r2, g2, b2, luma[below, i] = _luma(rgb, below, i)
            r3, g3, b3, luma[below, right] = _luma(rgb, below, right)
            r, g, b = r0 + r1 + r2 + r3, g0 + g1 + g2 + g3, b0 + b1 + b2 + b3
            k, m = np.uint64(y), np.uint64(x)
            blue[k, m] = ((-6596 * r - 22189 * g + 28785 * b + 131072) >> 18) + 128
            red[k, m] = ((28785 * r - 26145 * g - 2640 * b + 131072) >> 18) + 128
