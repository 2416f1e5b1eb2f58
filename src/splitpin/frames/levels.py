"""The loops that make a picture ready to be drawn: its light, its smaller copies, and where it shows."""

from __future__ import annotations

from typing import Any

import numpy as np

from splitpin.measure.compiled import kernel

PAD = 6
"""How many pixels of a picture's edge are repeated around it, so that no sample falls outside."""
TILE = 16
"""Sides, in pixels of a picture, of the squares for which it is known whether anything shows there."""
REACH = 3
"""How many pixels away from the one that it is centred in a sample takes colours from."""


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
def occupy(pixels: Any, tiles: Any) -> None:
    """Find where anything of a picture shows.

    Parameters
    ----------
    pixels
        uint64 (h, w), padded by ``PAD`` on all sides.
    tiles
        bool (⌈h / TILE⌉, ⌈w / TILE⌉), all False: set where a pixel of the frame whose middle lies there takes
        any colour.
    """
    high, wide = pixels.shape
    for y in range(high):
        for x in range(wide):
            if pixels[y, x] >> np.uint64(48):
                for j in range(max(y - REACH, 0) // TILE, min(y + REACH, high - 1) // TILE + 1):
                    for i in range(max(x - REACH, 0) // TILE, min(x + REACH, wide - 1) // TILE + 1):
                        tiles[j, i] = True
