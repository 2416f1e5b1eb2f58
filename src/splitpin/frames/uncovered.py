"""Where the table shows: the pieces drawn in black on a white table, by the same hand as the film."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.canvas import Canvas
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.table import Stage
from splitpin.sheet.sheet import Row

HALF = 188
"""The table makes at least half the light of a pixel: 50 % white over black, in sRGB (IEC 61966-2-1)."""


def uncovered(stage: Stage, alphas: Mapping[str, NDArray[np.uint8]]) -> Callable[[Row], NDArray[np.bool_]]:
    """A way to see where the table shows on an exposure.

    Parameters
    ----------
    stage
        The size of the picture and the field.
    alphas
        How opaque each cut-out is, uint8 (height, width).

    Returns
    -------
    callable
        From a row to bool (height, width) of the picture. Rows asked for in their order cost least.
    """
    black = {name: Pyramid.of(_black(alpha)) for name, alpha in alphas.items()}
    canvas = Canvas(stage, black, paper="#ffffff")

    def look(row: Row) -> NDArray[np.bool_]:
        canvas.draw(row.placed, row.view)
        shown: NDArray[np.bool_] = canvas.rgb[..., 0] >= HALF
        return shown

    return look


def _black(alpha: NDArray[np.uint8]) -> NDArray[np.uint8]:
    rgba = np.zeros((*alpha.shape, 4), np.uint8)
    rgba[..., 3] = alpha
    return rgba
