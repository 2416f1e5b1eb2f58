"""The mended part of a picture alone, to be printed at true size."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.mistake import CutError
from splitpin.cutout.patch import Mask, patch
from splitpin.device.pictures import encode_png


class Printed(NamedTuple):
    """A patch to be printed."""

    file: Path
    underlap_mm: float = 3.0
    """How far it reaches under what is around the hole."""


def print_patch(
    clean: NDArray[np.uint8], hole: Mask, printed: Printed, ppi: float | None
) -> tuple[bytes, tuple[int, int, int, int], tuple[float, float]]:
    """A patch's PNG, its place in the picture, and its size in millimetres.

    Parameters
    ----------
    clean
        uint8 (height, width, 3): the picture, mended.
    hole
        bool (height, width): where.
    printed
        What is asked for.
    ppi
        Pixels per inch of the picture's scan.

    Raises
    ------
    CutError
        When nobody knows how finely it was scanned.
    """
    if ppi is None:
        raise CutError(
            "the patch", "no word of its size on paper", "pixels per inch of the scan", "give --ppi"
        )
    made = patch(clean, hole, printed.underlap_mm / MM_PER_INCH * ppi)
    size = (made.box[2] * MM_PER_INCH / ppi, made.box[3] * MM_PER_INCH / ppi)
    return encode_png(made.rgba, 6, ppi), made.box, size
