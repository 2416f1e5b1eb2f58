"""Pictures as TIFF, for programs that work on them further."""

from __future__ import annotations

from functools import cache
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

PREDICTOR, BESIDE = 317, 2
"""TIFF 6.0, section 14: each pixel is stored as what it differs by from the one beside it."""
MADE = slice(24, 36)
"""Where a profile says when it was made (ICC.1, 7.2.8)."""


def encode_tiff(picture: NDArray[np.uint8]) -> bytes:
    """The bytes of a TIFF; the same pixels give the same bytes.

    Frames have 8 bits a colour, so that 16 would hold nothing more.

    Parameters
    ----------
    picture
        uint8 (height, width, 3), sRGB.
    """
    data = BytesIO()
    Image.fromarray(picture).save(
        data,
        "TIFF",
        compression="tiff_adobe_deflate",
        icc_profile=_srgb(),
        tiffinfo={PREDICTOR: BESIDE},
    )
    return data.getvalue()


@cache
def _srgb() -> bytes:
    """The profile of sRGB, which would tell the time of this run."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    profile[MADE] = bytes((0x07, 0xE8, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0))
    return bytes(profile)
