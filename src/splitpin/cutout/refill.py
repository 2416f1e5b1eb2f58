"""What was mended, laid back into a picture with all that the picture has: its depth and its alpha."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from splitpin.cutout.mistake import CutError
from splitpin.cutout.patch import Mask

Rgb = NDArray[np.uint8]
Pixels = NDArray[np.uint8] | NDArray[np.uint16]


def ground(rgb: Pixels, alpha: Pixels | None, hole: Mask | None = None) -> Rgb:
    """A picture as holes in it are filled from: 8 bits, and what is wholly clear in the colours next to it.

    Clear pixels have no colour that anybody sees; a hole beside them would else be filled with it. Nor do
    they take any from inside a hole, whose colours shall go.

    Parameters
    ----------
    rgb
        uint8 or uint16 (height, width, 3), sRGB, straight.
    alpha
        Of the same depth; None for an opaque picture.
    hole
        bool (height, width): what shall be filled. Its own pixels stay as they are here.

    Raises
    ------
    CutError
        When all that is left is clear.
    """
    out = eight_bits(rgb)
    if alpha is None or alpha.all():
        return out
    clear = alpha == 0
    unseen = clear if hole is None else clear | hole
    if unseen.all():
        around = "" if clear.all() else " around the hole"
        raise CutError(
            "the picture", f"nothing but clear pixels{around}", "something to mend it with", "name another"
        )
    y, x = ndimage.distance_transform_edt(unseen, return_distances=False, return_indices=True)
    return np.where(clear[..., None], out[y, x], out)


def refilled(rgb: Pixels, alpha: Pixels | None, hole: Mask, clean: Rgb) -> tuple[Pixels, Pixels | None]:
    """A picture whose hole is filled; nothing else changes, not by a bit.

    Parameters
    ----------
    rgb, alpha
        As for :func:`ground`.
    hole
        bool (height, width).
    clean
        uint8 (height, width, 3): what fills it.

    Returns
    -------
    tuple
        The same depth; what was filled has the 256 tones of ``clean``, and is opaque.
    """
    most = np.iinfo(rgb.dtype).max
    out = rgb.copy()
    out[hole] = clean[hole].astype(rgb.dtype) * (most // 255)
    if alpha is None:
        return out, None
    cover = alpha.copy()
    cover[hole] = most
    return out, cover


def eight_bits(pixels: Pixels) -> Rgb:
    """Sixteen bits a channel as eight, to the nearest; eight as they are."""
    if pixels.dtype == np.uint8:
        return np.ascontiguousarray(pixels, np.uint8)
    return ((pixels.astype(np.uint32) * 255 + 32767) // 65535).astype(np.uint8)
