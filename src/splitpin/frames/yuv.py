"""A frame as the planes that video is encoded from.

BT.709 (ITU-R BT.709-6, 3.2 to 3.4): ``Y' = .2126 R' + .7152 G' + .0722 B'``, ``Cb = (B' - Y') / 1.8556``,
``Cr = (R' - Y') / 1.5748``; limited range, 8 bits: luma 16 to 235, chroma 16 to 240. The R'G'B' of the frame
are encoded by sRGB's curve; players show that as it is, and so does this.

4:2:0: a chroma sample is the mean of the four pixels it stands for, so it sits in their middle: the
stream should say ``chroma_sample_location`` *center* (type 1 in H.264 annex E).
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.kernels import separate
from splitpin.frames.rect import Rect


class Planes:
    """Luma and chroma of a frame, kept up to date where it changes.

    Attributes
    ----------
    luma
        uint8 (height, width).
    blue, red
        Cb and Cr, uint8 (height/2, width/2).

    Raises
    ------
    ValueError
        When a side is odd.
    """

    def __init__(self, width: int, height: int) -> None:
        if width % 2 or height % 2:
            raise ValueError(f"a picture of {width} by {height}; expected even sides, since chroma is halved")
        self.luma: NDArray[np.uint8] = np.full((height, width), 16, np.uint8)
        self.blue: NDArray[np.uint8] = np.full((height // 2, width // 2), 128, np.uint8)
        self.red: NDArray[np.uint8] = np.full((height // 2, width // 2), 128, np.uint8)

    def update(self, rgb: NDArray[np.uint8], rects: Iterable[Rect] | None = None) -> None:
        """Take over what changed.

        Parameters
        ----------
        rgb
            The frame, uint8 (height, width, 3).
        rects
            Where it changed; all of it when left out. Rounded outward to even pixels.
        """
        height, width = self.luma.shape
        for r in rects if rects is not None else (Rect(0, 0, width, height),):
            if not r.area:
                continue
            x0, y0 = r.x0 & ~1, r.y0 & ~1
            x1, y1 = min(r.x1 + 1 & ~1, width), min(r.y1 + 1 & ~1, height)
            separate(rgb, x0, y0, x1, y1, self.luma, self.blue, self.red)
