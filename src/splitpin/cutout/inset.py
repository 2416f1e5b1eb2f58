"""How deep inside a cut-out each pixel lies, and where another piece under it stays hidden."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.distance import edge_loops, signed_distance

Real = NDArray[np.float64]

LEAST, MOST = 1.5, 8.0
"""How far inside the edge what is hidden ends, pixels: for a crisp edge, and for the softest."""
MOSTLY = 95
"""A percentile: the edge is as soft as this of its half-clear pixels tell; a half-clear patch farther in is
no edge."""


def depth(alpha: NDArray[np.uint8]) -> Real:
    """How far inside the line of half coverage each pixel's centre lies, pixels; less than 0 outside.

    Parameters
    ----------
    alpha
        uint8 (height, width).
    """
    height, width = alpha.shape
    far = signed_distance(edge_loops(alpha), width, height, -MOST - 2, 2.0)
    return np.asarray(-far, np.float64)


def hidden_share(alpha: NDArray[np.uint8], deep: Real) -> Real:
    """How much of each pixel can hold paper that lies under the cut-out and never shows through its edge.

    Parameters
    ----------
    alpha
        uint8 (height, width).
    deep
        What :func:`depth` says of it.

    Returns
    -------
    ndarray
        (height, width), 0..1: a smooth line along the edge, within it by as much as the edge is soft.
    """
    soft = deep[(alpha < 255) & (deep > 0) & (deep < MOST)]
    inset = LEAST if len(soft) == 0 else float(np.clip(np.percentile(soft, MOSTLY) + 0.5, LEAST, MOST))
    return np.where(alpha == 255, np.clip(deep - inset + 0.5, 0, 1), 0.0)
