"""A frame as the planes that films for cinemas and broadcasters are encoded from: 10 bits, 4:2:2.

The matrix is that of :mod:`splitpin.frames.yuv`; limited range, 10 bits: luma 64 to 940, chroma 64 to 960
(ITU-R BT.709-6, 3.4 to 3.6). A chroma sample sits on the even pixels of its row, where 4:2:2 has it, and is
made of that pixel and half of each neighbour, so that fine detail does not turn to coloured fringes.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from splitpin.frames.rect import Rect
from splitpin.measure.compiled import kernel


class DeepPlanes:
    """Luma and chroma of a frame, kept up to date where it changes.

    Attributes
    ----------
    luma
        uint16 (height, width), of which 10 bits are used.
    blue, red
        Cb and Cr, uint16 (height, width/2).

    Raises
    ------
    ValueError
        When the width is odd.
    """

    def __init__(self, width: int, height: int) -> None:
        if width % 2:
            raise ValueError(f"a picture {width} wide; expected an even width, since chroma is halved")
        self.luma: NDArray[np.uint16] = np.full((height, width), 64, np.uint16)
        self.blue: NDArray[np.uint16] = np.full((height, width // 2), 512, np.uint16)
        self.red: NDArray[np.uint16] = np.full((height, width // 2), 512, np.uint16)

    def update(self, rgb: NDArray[np.uint8], rects: Iterable[Rect] | None = None) -> None:
        """Take over what changed.

        Parameters
        ----------
        rgb
            The frame, uint8 (height, width, 3).
        rects
            Where it changed; all of it when left out.
        """
        height, width = self.luma.shape
        for r in rects if rects is not None else (Rect(0, 0, width, height),):
            if r.area:
                # A pixel also has its share in the chroma beside it.
                x0, x1 = max(0, r.x0 - 1) & ~1, min(width, (r.x1 + 2) & ~1)
                _separate(rgb, x0, r.y0, x1, r.y1, self.luma, self.blue, self.red)


@njit(nogil=True, forceinline=True)
def _colours(rgb: Any, y: Any, x: Any) -> Any:
    return np.int64(rgb[y, x, 0]), np.int64(rgb[y, x, 1]), np.int64(rgb[y, x, 2])


@njit(nogil=True, forceinline=True)
def _luma(r: Any, g: Any, b: Any) -> Any:
    return ((191455 * r + 644067 * g + 65019 * b + 131072) >> 18) + 64


@kernel
def _separate(rgb: Any, x0: int, y0: int, x1: int, y1: int, luma: Any, blue: Any, red: Any) -> None:
    # Factors are the matrix times 876/255 (chroma 896/255) times 2¹⁸, rounded so that greys stay grey.
    last = rgb.shape[1] - 1
    for y in range(y0, y1):
        for x in range(x0, x1, 2):
            r0, g0, b0 = _colours(rgb, y, max(x - 1, 0))
            r1, g1, b1 = _colours(rgb, y, x)
            r2, g2, b2 = _colours(rgb, y, min(x + 1, last))
            luma[y, x] = _luma(r1, g1, b1)
            luma[y, x + 1] = _luma(r2, g2, b2)
            r, g, b = r0 + 2 * r1 + r2, g0 + 2 * g1 + g2, b0 + 2 * b1 + b2
            blue[y, x // 2] = ((-105533 * r - 355018 * g + 460551 * b + 524288) >> 20) + 512
            red[y, x // 2] = ((460551 * r - 418321 * g - 42230 * b + 524288) >> 20) + 512
