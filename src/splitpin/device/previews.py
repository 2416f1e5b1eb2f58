"""Small pictures for looking at: JPEG, fit for a screen."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

QUALITY = 88
"""Of 100: artefacts cannot be seen at arm's length, and a frame takes about 100 kB."""


def jpeg(rgb: NDArray[np.uint8], width: int | None = None) -> bytes:
    """A JPEG of a picture.

    Parameters
    ----------
    rgb
        uint8 (h, w, 3), sRGB.
    width
        At most so many pixels wide; as it is when left out.
    """
    if width is not None and width < rgb.shape[1]:
        height = max(1, round(rgb.shape[0] * width / rgb.shape[1]))
        rgb = np.asarray(cv2.resize(rgb, (width, height), interpolation=cv2.INTER_AREA), np.uint8)
    done, data = cv2.imencode(".jpg", rgb[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    if not done:
        raise ValueError(f"no JPEG of {rgb.shape}")
    return data.tobytes()
