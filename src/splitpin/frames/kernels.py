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

from splitpin.frames.lanes import blend, fetch, over, shares6
from splitpin.measure.compiled import kernel

ONE = 1 << 32
"""One pixel, in the unit of places."""
PAD = 6
"""How many pixels of a picture's edge are repeated around it, so that no sample falls outside."""

_PLACE = 1.0 / ONE
_UNIT = np.float32(_PLACE)
_NONE, _ALL = np.float32(0.0), np.float32(1.0)


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
def _colour2(pixels: Any, width: Any, u: Any, v: Any) -> Any:
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


@kernel
def lay(
    tile: Any, left: Any, top: Any, region: Any, pixels: Any, width: Any, places: Any, limits: Any, rim: Any
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
    corner = PAD << 32
    width_u, width_v = max(rim[2], 1.0), max(rim[3], 1.0)
    widest = max(width_u, width_v)
    across = (np.float32(width_u / 2), np.float32(1.0 / width_u))
    down = (np.float32(width_v / 2), np.float32(1.0 / width_v))
    count = 0
    for y in range(region[1], region[3]):
        u0, v0 = places[0] + y * uy, places[1] + y * vy
        first, last = _clip(region[0], region[2], u0, ux, limits[0], limits[1])
        first, last = _clip(first, last, v0, vx, limits[2], limits[3])
        full, less = _clip(first, last, u0, ux, limits[4], limits[5])
        full, less = _clip(full, less, v0, vx, limits[6], limits[7])
        count += last - first
        row = tile[y - top]
        for x in range(first, last):
            u, v = u0 + x * ux, v0 + x * vx
            cover = _ALL
            if x < full or x >= less:
                cover = np.float32(
                    _inside((u - corner) * _PLACE, rim[0], rim[2])
                    * _inside((v - corner) * _PLACE, rim[1], rim[3])
                )
            # A turned picture is read across its rows, which the processor does not foresee by itself.
            soon = ((v + 2 * vy) >> 32) * width + ((u + 2 * uy) >> 32)
            fetch(pixels, soon)
            if widest > 2.0:
                fetch(pixels, soon - 2 * width)
                fetch(pixels, soon + 2 * width)
            if widest <= 1.0:
                lanes = _colour2(pixels, width, u, v)
            elif widest <= 2.0:
                lanes = _colour3(pixels, width, u, v, across, down)
            else:
                lanes = _colour6(pixels, width, u, v, across, down)
            if lanes[3] > 0:
                k = np.uint64(x - left)
                row[k] = over(row[k], lanes, cover)
    return count


@kernel
def premultiply(rgba: Any, light: Any, out: Any, top: int) -> None:
    """Light of a straight-alpha sRGB picture.

    Parameters
    ----------
    rgba
        uint8 (h, w, 4).
    light
        The 256 lights of 8-bit values.
    out, top
        uint64, padded by ``PAD`` on all sides, and the row of the picture inside it to write first.
    """
    for y in range(rgba.shape[0]):
        for x in range(rgba.shape[1]):
            a = np.uint64(rgba[y, x, 3])
            pixel = (a * np.uint64(257)) << np.uint64(48)
            for c in range(3):
                value = (np.uint64(light[rgba[y, x, c]]) * a + np.uint64(127)) // np.uint64(255)
                pixel |= value << np.uint64(16 * c)
            out[PAD + top + y, PAD + x] = pixel


@kernel
def halve(pixels: Any, out: Any, top: int) -> None:
    """Half the size: each pixel is the mean of the four that it covers; edges repeat.

    Parameters
    ----------
    pixels
        uint64 (h, w), padded by ``PAD`` on all sides.
    out, top
        uint64 (⌈h/2⌉, ⌈w/2⌉), padded by ``PAD`` on all sides, and the row inside it to write first.
    """
    low = np.uint64(0x0000FFFF0000FFFF)
    two, half, lane = np.uint64(0x0000000200000002), np.uint64(2), np.uint64(16)
    height, width = pixels.shape[0] - 2 * PAD, pixels.shape[1] - 2 * PAD
    for y in range((height + 1) // 2):
        y0, y1 = PAD + 2 * y, PAD + min(2 * y + 1, height - 1)
        for x in range((width + 1) // 2):
            x0, x1 = PAD + 2 * x, PAD + min(2 * x + 1, width - 1)
            a, b, c, d = pixels[y0, x0], pixels[y0, x1], pixels[y1, x0], pixels[y1, x1]
            # Two lanes at a time, each in the room of two, so that no sum spills over.
            even = (a & low) + (b & low) + (c & low) + (d & low) + two
            odd = ((a >> lane) & low) + ((b >> lane) & low) + ((c >> lane) & low) + ((d >> lane) & low) + two
            out[PAD + top + y, PAD + x] = ((even >> half) & low) | (((odd >> half) & low) << lane)


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
    for y in range(y0, y1):
        for x in range(x0, x1):
            r, g, b = np.int32(rgb[y, x, 0]), np.int32(rgb[y, x, 1]), np.int32(rgb[y, x, 2])
            luma[y, x] = ((11966 * r + 40254 * g + 4064 * b + 32768) >> 16) + 16
    for y in range(y0 // 2, y1 // 2):
        for x in range(x0 // 2, x1 // 2):
            r, g, b = np.int32(0), np.int32(0), np.int32(0)
            for j in range(2 * y, 2 * y + 2):
                for i in range(2 * x, 2 * x + 2):
                    r += np.int32(rgb[j, i, 0])
                    g += np.int32(rgb[j, i, 1])
                    b += np.int32(rgb[j, i, 2])
            blue[y, x] = ((-6596 * r - 22189 * g + 28785 * b + 131072) >> 18) + 128
            red[y, x] = ((28785 * r - 26145 * g - 2640 * b + 131072) >> 18) + 128
