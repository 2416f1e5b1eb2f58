"""Colour bars: white, then the six strong colours at three quarters, then black.

100/0/75/0 in the naming of ITU-R BT.471 (from memory): white at 100 %, black at 0, colours between 75 % and 0
of the signal, from the brightest to the darkest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.measure.table import Stage

STRONG = 191
"""75 % of 255."""
BARS = (
    (255, 255, 255),
    (STRONG, STRONG, 0),
    (0, STRONG, STRONG),
    (0, STRONG, 0),
    (STRONG, 0, STRONG),
    (STRONG, 0, 0),
    (0, 0, STRONG),
    (0, 0, 0),
)
"""White, yellow, cyan, green, magenta, red, blue, black; sRGB signals."""


def bars(stage: Stage) -> NDArray[np.uint8]:
    """Eight bars from top to bottom, of even widths, uint8 (height, width, 3)."""
    which = np.arange(stage.width) // 2 * 2 * len(BARS) // stage.width
    return np.ascontiguousarray(
        np.broadcast_to(np.array(BARS, np.uint8)[which], (stage.height, stage.width, 3))
    )
