"""The loops over pixels, compiled.

A pixel is one 64-bit number: four 16-bit lanes, red, green, blue, alpha from the lowest up; linear light,
premultiplied. Places in a picture are whole numbers of 2⁻³² pixel: sums of them are exact, so a pixel gets
the same value whichever rectangle it is drawn in. For the same reason no arithmetic may be reordered (no fast
maths). All kernels release the interpreter's lock and may run side by side.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numba import njit

from splitpin.frames.lanes import blend4, mean4, over

ONE = 1 << 32
"""One pixel, in the unit of places."""
PAD = 4
"""How many pixels of a picture's edge are repeated around it, so that no sample falls outside."""


def kernel(function: Callable[..., Any]) -> Any:
    """Compile on first use and keep the machine code on disk: in the package's folder, else in the user's
    cache folder, else (when neither can be written) only for as long as the program runs.
    """
    try:
        return njit(nogil=True, cache=True)(function)
    except RuntimeError:
        return njit(nogil=True)(function)


@njit(nogil=True)
def _sample(pixels: Any, width: Any, u: Any, v: Any) -> Any:
    k = (v >> 32) * width + (u >> 32)
    scale = np.float32(1.0 / 4294967296.0)
    return blend4(
        pixels[np.uint64(k)],
        pixels[np.uint64(k + 1)],
        pixels[np.uint64(k + width)],
        pixels[np.uint64(k + width + 1)],
        np.float32(u & 0xFFFFFFFF) * scale,
        np.float32(v & 0xFFFFFFFF) * scale,
    )


@njit(nogil=True)
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


@njit(nogil=True)
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
        int64 (7): the place in the padded picture of the frame's pixel (0, 0), u and v; the steps u, v for
        one pixel to the right; u, v for one pixel down; half the distance of the four samples of a pixel, in
        1/65536 of a frame pixel, or nought for a single sample.
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
    q = places[6]
    ax, ay = ((ux + uy) * q) >> 16, ((vx + vy) * q) >> 16
    bx, by = ((ux - uy) * q) >> 16, ((vx - vy) * q) >> 16
    one = np.float32(1.0)
    scale = 1.0 / 4294967296.0
    corner = (PAD << 32) - (1 << 31)
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
            cover = one
            if x < full or x >= less:
                cover = np.float32(
                    _inside((u - corner) * scale, rim[0], rim[2])
                    * _inside((v - corner) * scale, rim[1], rim[3])
                )
            if q:
                lanes = mean4(
                    _sample(pixels, width, u - ax, v - ay),
                    _sample(pixels, width, u + ax, v + ay),
                    _sample(pixels, width, u - bx, v - by),
                    _sample(pixels, width, u + bx, v + by),
                )
            else:
                lanes = _sample(pixels, width, u, v)
            if lanes[3] > 0:
                k = np.uint64(x - left)
                row[k] = over(row[k], lanes, cover)
    return count


@kernel
def premultiply(rgba: Any, light: Any, out: Any) -> None:
    """Light of a straight-alpha sRGB picture.

    Parameters
    ----------
    rgba
        uint8 (h, w, 4).
    light
        The 256 lights of 8-bit values.
    out
        uint64 (h, w).
    """
    for y in range(rgba.shape[0]):
        for x in range(rgba.shape[1]):
            a = np.uint64(rgba[y, x, 3])
            pixel = (a * np.uint64(257)) << np.uint64(48)
            for c in range(3):
                value = (np.uint64(light[rgba[y, x, c]]) * a + np.uint64(127)) // np.uint64(255)
                pixel |= value << np.uint64(16 * c)
            out[y, x] = pixel


@kernel
def halve(pixels: Any, out: Any) -> None:
    """Half the size: each pixel is the mean of the four that it covers; edges repeat.

    Parameters
    ----------
    pixels
        uint64 (h, w).
    out
        uint64 (⌈h/2⌉, ⌈w/2⌉).
    """
    odd = np.uint64(0x0000FFFF0000FFFF)
    two = np.uint64(0x0000000200000002)
    for y in range(out.shape[0]):
        y0, y1 = 2 * y, min(2 * y + 1, pixels.shape[0] - 1)
        for x in range(out.shape[1]):
            x0, x1 = 2 * x, min(2 * x + 1, pixels.shape[1] - 1)
            a, b, c, d = pixels[y0, x0], pixels[y0, x1], pixels[y1, x0], pixels[y1, x1]
            even_sum = (a & odd) + (b & odd) + (c & odd) + (d & odd) + two
            s = np.uint64(16)
            odd_sum = ((a >> s) & odd) + ((b >> s) & odd) + ((c >> s) & odd) + ((d >> s) & odd) + two
            quarter = np.uint64(2)
            out[y, x] = ((even_sum >> quarter) & odd) | (((odd_sum >> quarter) & odd) << s)


@kernel
def develop(tile: Any, signal: Any, out: Any) -> None:
    """Light to 8-bit sRGB.

    Parameters
    ----------
    tile
        uint64 (h, w), opaque.
    signal
        The 65536 8-bit values of lights.
    out
        uint8 (h, w, 3).
    """
    low = np.uint64(0xFFFF)
    for y in range(tile.shape[0]):
        for x in range(tile.shape[1]):
            p = tile[y, x]
            out[y, x, 0] = signal[p & low]
            out[y, x, 1] = signal[(p >> np.uint64(16)) & low]
            out[y, x, 2] = signal[(p >> np.uint64(32)) & low]
