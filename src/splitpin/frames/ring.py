"""A ring drawn round a spot of a picture, as with a red pencil."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.table import Stage, View

RED, WHITE = (196, 38, 28), (255, 255, 255)
WIDE = 1 / 320
"""How wide the line is, against the picture's width; a paper edge on both sides sets it off any picture."""
CLEAR = 1.3
"""How much larger the ring is than what it goes round."""
LEAST = 1 / 48
"""The smallest half of a ring, against the picture's width."""
FINE = 4
"""Places of a pixel are told to cv2 in sixteenths: so many bits."""


class Oval(NamedTuple):
    """A ring in a picture, upright, in pixels."""

    x: float
    y: float
    across: float
    """Half its width."""
    down: float
    """Half its height."""


def oval_of(box: tuple[float, float, float, float], view: View, stage: Stage) -> Oval:
    """The ring round a place on the table, as far as that is in the picture.

    Parameters
    ----------
    box
        Left, bottom, right, top, mm.
    view
        What the camera takes in.
    stage
        The picture.
    """
    left, bottom, right, top = box
    to_pixels = stage.to_pixels(view)
    corners = np.array([to_pixels.apply(x, y) for x in (left, right) for y in (bottom, top)])
    most = np.array([stage.width, stage.height], np.float64)
    low, high = np.clip(corners.min(axis=0), 0, most), np.clip(corners.max(axis=0), 0, most)
    x, y = ((low + high) / 2).tolist()
    across, down = np.maximum((high - low) / 2 * CLEAR, LEAST * stage.width).tolist()
    # A ring that would leave the picture is drawn within it.
    rim = 2 * WIDE * stage.width
    return Oval(x, y, min(across, stage.width / 2 - rim), min(down, stage.height / 2 - rim))


def ringed(rgb: NDArray[np.uint8], oval: Oval) -> NDArray[np.uint8]:
    """A copy of a picture with a ring in it.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    oval
        The ring.
    """
    drawn = rgb.copy()
    line = max(1, round(WIDE * rgb.shape[1]))
    centre = (round(oval.x * 2**FINE), round(oval.y * 2**FINE))
    axes = (round(oval.across * 2**FINE), round(oval.down * 2**FINE))
    for width, colour in ((2 * line + 1, WHITE), (line, RED)):
        cv2.ellipse(drawn, centre, axes, 0, 0, 360, colour, width, cv2.LINE_AA, FINE)
    return drawn
