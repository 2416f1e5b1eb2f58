"""Where in a picture it flashes."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

RED = (165, 49, 31)
PALE = 0.45
"""How much of the picture stays where it does not flash; the rest is white."""


def flash_picture(picture: NDArray[np.uint8], cells: NDArray[np.bool_]) -> NDArray[np.uint8]:
    """Paint what does not flash pale and draw a line round what does.

    Parameters
    ----------
    picture
        uint8 (height, width, 3), sRGB.
    cells
        bool (rows, columns): what flashes, in a grid over the whole picture.
    """
    height, width = picture.shape[:2]
    inside = cv2.resize(cells.astype(np.uint8), (width, height), interpolation=cv2.INTER_NEAREST)
    pale = picture * PALE + 255 * (1 - PALE)
    shown = np.where(inside[..., None] > 0, picture, np.rint(pale)).astype(np.uint8)
    lines, _ = cv2.findContours(inside, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    cv2.drawContours(shown, lines, -1, RED, max(2, width // 240))
    return shown
