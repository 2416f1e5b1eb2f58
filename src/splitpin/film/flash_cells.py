"""Where a picture turned from dark to light, from one colour to another, or back: cell by cell."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel
from splitpin.measure.light import LUMINANCE, to_light

CHANGE = 0.1
"""Of the greatest luminance: what a change must reach to count (WCAG 2.2, general flash)."""
DARKER = 0.8
"""The darker of the two must lie below this (WCAG 2.2)."""
SATURATED = 0.8
"""R / (R + G + B) in linear light from which on a red is saturated (WCAG 2.2, red flash)."""
APART = 0.2
"""Distance in the CIE 1976 UCS diagram that a change to or from a saturated red must go beyond (WCAG 2.2)."""
UNSEEN = 0.005
"""Luminance below which a cell is taken for grey: the colour of nothing is noise. Our choice, no source."""
_LIGHT = to_light(np.arange(256) / 255).astype(np.float32)
# sRGB to CIE XYZ, white D65 (IEC 61966-2-1); the middle row is the luminance of WCAG 2.2.
_X = (0.4124, 0.3576, 0.1805)
_Z = (0.0193, 0.1192, 0.9505)
_Y = LUMINANCE
_GREY_U, _GREY_V = 0.19784, 0.46834


class Cells:
    """The cells of a picture over time.

    A turn of a cell is a change of at least :data:`CHANGE` against the way it went before, however many
    frames it takes: the lightest and the darkest since the last turn are what is compared. A turn in colour
    is one of more than :data:`APART` to or from a saturated red.

    Attributes
    ----------
    general
        What turned at the latest frame: int8 (rows, columns), 1 from dark to light, -1 from light to dark.
    red
        The same in colour: 1 to a deeper red, -1 away from it.
    """

    def __init__(self, rows: int, columns: int) -> None:
        shape = rows, columns
        self.general = np.zeros(shape, np.int8)
        self.red = np.zeros(shape, np.int8)
        self._way = np.zeros(shape, np.int8)
        self._span = np.zeros((*shape, 2), np.float32)
        self._colours = np.zeros((*shape, 6), np.float32)
        self._gone = np.zeros(shape, np.uint8)
        self._before = np.zeros((*shape, 3), np.uint8)
        self._first = True

    def see(self, picture: NDArray[np.uint8]) -> None:
        """Take in the next frame: uint8 (rows, columns, 3), sRGB."""
        _see(
            picture, self._first, _LIGHT, self.general, self.red, self._way, self._span, self._colours,
            self._gone, self._before,
        )  # fmt: skip
        self._first = False


@kernel
def _see(
    picture: NDArray[np.uint8],
    first: bool,
    light: NDArray[np.float32],
    general: NDArray[np.int8],
    red: NDArray[np.int8],
    way: NDArray[np.int8],
    span: NDArray[np.float32],
    colours: NDArray[np.float32],
    gone: NDArray[np.uint8],
    before: NDArray[np.uint8],
) -> None:
    rows, columns = general.shape
    for y in range(rows):
        for x in range(columns):
            general[y, x] = red[y, x] = 0
            seen, held = picture[y, x], before[y, x]
            if not first and seen[0] == held[0] and seen[1] == held[1] and seen[2] == held[2]:
                continue
            held[0], held[1], held[2] = seen[0], seen[1], seen[2]
            r, g, b = light[seen[0]], light[seen[1]], light[seen[2]]
            high = _Y[0] * r + _Y[1] * g + _Y[2] * b
            if first:
                span[y, x, 0] = span[y, x, 1] = high
            low, top = span[y, x, 0], span[y, x, 1]
            # Luminance: how far from the darkest or lightest since the last turn.
            if way[y, x] >= 0 and top - high >= CHANGE and high < DARKER:
                general[y, x] = way[y, x] = -1
                low = top = high
            elif way[y, x] <= 0 and high - low >= CHANGE and low < DARKER:
                general[y, x] = way[y, x] = 1
                low = top = high
            span[y, x, 0], span[y, x, 1] = min(low, high), max(top, high)

            # Colour: from where it last turned, to the furthest from there since.
            u, v, deep = _GREY_U, _GREY_V, 0.0
            if high >= UNSEEN:
                ex = _X[0] * r + _X[1] * g + _X[2] * b
                zed = _Z[0] * r + _Z[1] * g + _Z[2] * b
                whole = ex + 15 * high + 3 * zed
                u, v, deep = 4 * ex / whole, 9 * high / whole, r / (r + g + b)
            c = colours[y, x]
            if first:
                c[0], c[1], c[2] = u, v, deep
                c[3], c[4], c[5] = u, v, deep
            furthest = (c[3] - c[0]) ** 2 + (c[4] - c[1]) ** 2
            from_turn = (u - c[0]) ** 2 + (v - c[1]) ** 2
            back = (u - c[3]) ** 2 + (v - c[4]) ** 2
            if from_turn >= furthest:
                c[3], c[4], c[5] = u, v, deep
                if gone[y, x] == 0 and from_turn > APART**2 and max(c[2], deep) >= SATURATED:
                    gone[y, x] = 1
                    red[y, x] = 1 if deep >= c[2] else -1
            elif back > APART**2 and max(c[5], deep) >= SATURATED:
                gone[y, x] = 1
                red[y, x] = 1 if deep >= c[5] else -1
                c[0], c[1], c[2] = c[3], c[4], c[5]
                c[3], c[4], c[5] = u, v, deep
