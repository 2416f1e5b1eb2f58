"""Many channels to two.

After ITU-R BS.775-3, annex 4: the middle and the surrounds come in at -3 dB, a single rear channel at -6 dB
on both sides, and the low-frequency channel is left out. One channel goes to both sides as it is, so that a
recording in mono and the same one in stereo are equally loud.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

LEFT, RIGHT = (1.0, 0.0), (0.0, 1.0)
MIDDLE = (sqrt(0.5), sqrt(0.5))
REAR_LEFT, REAR_RIGHT = (sqrt(0.5), 0.0), (0.0, sqrt(0.5))
REAR = (0.5, 0.5)
LOW = (0.0, 0.0)

ORDERS = {
    1: ((1.0, 1.0),),
    2: (LEFT, RIGHT),
    3: (LEFT, RIGHT, MIDDLE),
    4: (LEFT, RIGHT, REAR_LEFT, REAR_RIGHT),
    5: (LEFT, RIGHT, MIDDLE, REAR_LEFT, REAR_RIGHT),
    6: (LEFT, RIGHT, MIDDLE, LOW, REAR_LEFT, REAR_RIGHT),
    7: (LEFT, RIGHT, MIDDLE, LOW, REAR, REAR_LEFT, REAR_RIGHT),
    8: (LEFT, RIGHT, MIDDLE, LOW, REAR_LEFT, REAR_RIGHT, REAR_LEFT, REAR_RIGHT),
}
"""Which channel is where in WAV and FLAC (RFC 9639, 9.1.3), by the number of channels."""

OGG_ORDERS = {
    **ORDERS,
    3: (LEFT, MIDDLE, RIGHT),
    5: (LEFT, MIDDLE, RIGHT, REAR_LEFT, REAR_RIGHT),
    6: (LEFT, MIDDLE, RIGHT, REAR_LEFT, REAR_RIGHT, LOW),
    7: (LEFT, MIDDLE, RIGHT, REAR_LEFT, REAR_RIGHT, REAR, LOW),
    8: (LEFT, MIDDLE, RIGHT, REAR_LEFT, REAR_RIGHT, REAR_LEFT, REAR_RIGHT, LOW),
}
"""The same in OGG (Vorbis I specification, 4.3.9)."""

MOST_CHANNELS = max(ORDERS)


def downmix(channels: int, ogg: bool = False) -> NDArray[np.float32]:
    """The matrix, ``(channels, 2)``, that samples of shape ``(n, channels)`` are multiplied by.

    Raises
    ------
    KeyError
        For more than :data:`MOST_CHANNELS` channels or none.
    """
    return np.array((OGG_ORDERS if ogg else ORDERS)[channels], dtype=np.float32)
