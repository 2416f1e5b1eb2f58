"""Turning a scan about its middle."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Rgb = NDArray[np.uint8]
Grey = NDArray[np.uint8]


def straightened(rgb: Rgb, angle: float) -> Rgb:
    """Turn a picture about its middle; it keeps its size.

    The corners that it does not reach any more get the tone of its edge (:func:`edge_tone`): on a page or a
    lid that is the paper or the lid, and beside anything else it is quiet.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    angle
        Degrees anticlockwise.
    """
    return np.asarray(_turned(rgb, angle, edge_tone(rgb)), np.uint8)


def straightened_clear(rgb: Rgb, alpha: Grey, angle: float) -> tuple[Rgb, Grey]:
    """Turn a picture that is clear in places; colours count by how much of them is seen (premultiplied).

    Its corners are as its edge is: clear where half of that is clear or more.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB, straight.
    alpha
        uint8 (height, width).
    angle
        Degrees anticlockwise.
    """
    cover = alpha[..., None].astype(np.float32) / 255
    around = float(np.median(_rim(alpha))) / 255
    tone = edge_tone(rgb)
    corners = (*(around * c for c in tone), around)
    turned = _turned(np.dstack([rgb * cover, cover]), angle, corners)
    shown = np.rint(np.clip(turned[..., 3], 0, 1) * 255).astype(np.uint8)
    seen = shown > 0
    out = straightened(rgb, angle)
    out[seen] = np.rint(np.clip(turned[seen, :3] / turned[seen, 3:], 0, 255)).astype(np.uint8)
    return out, shown


def edge_tone(rgb: Rgb) -> tuple[float, float, float]:
    """The middle tone of the pixels along a picture's four edges: red, green and blue, 0 to 255.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    """
    r, g, b = (float(v) for v in np.median(_rim(rgb).reshape(-1, 3), axis=0))
    return r, g, b


def inner_box(width: int, height: int, angle: float) -> tuple[int, int, int, int]:
    """The largest box of a turned picture's own shape, about its middle, without any of the filled corners.

    Parameters
    ----------
    width, height
        The picture's size, pixels.
    angle
        How far it is turned, degrees.

    Returns
    -------
    tuple
        Left, top, width, height, pixels.
    """
    t = abs(radians(angle))
    # a corner of the box, turned back, must lie within the picture; a pixel is kept back for the soft edge
    k = min((v - 2) / (v * cos(t) + w * sin(t)) for v, w in ((width, height), (height, width)))
    across, down = max(1, int(width * k)), max(1, int(height * k))
    return (width - across) // 2, (height - down) // 2, across, down


def leaves_corners(box: tuple[int, int, int, int], width: int, height: int, angle: float) -> bool:
    """Whether a box of a turned picture holds corners that the picture does not reach.

    Parameters
    ----------
    box
        Left, top, width, height, pixels of the turned picture.
    width, height
        The picture's size, pixels.
    angle
        How far it is turned, degrees anticlockwise.
    """
    left, top, across, down = box
    m = turn(angle, width, height)
    corners = np.array([(x, y) for x in (left, left + across - 1) for y in (top, top + down - 1)])
    there = (corners - m[:, 2]) @ m[:, :2]  # turned back: the inverse of a turn is its transpose
    return bool((there < -0.5).any() or (there > (width - 0.5, height - 0.5)).any())


def turn(angle: float, width: int, height: int) -> NDArray[np.float64]:
    """The map of a turn about a picture's middle; pixel centres lie at whole numbers, as warps have them.

    Parameters
    ----------
    angle
        Degrees anticlockwise.
    width, height
        The picture's size, pixels.

    Returns
    -------
    ndarray
        (2, 3): places in the turned picture are ``m[:, :2] @ (x, y) + m[:, 2]``.
    """
    t = radians(angle)
    c, s = cos(t), sin(t)
    x, y = (width - 1) / 2, (height - 1) / 2
    return np.array([[c, s, x - c * x - s * y], [-s, c, y + s * x - c * y]])


def _turned(pixels: NDArray[Any], angle: float, corners: tuple[float, ...]) -> NDArray[Any]:
    height, width = pixels.shape[:2]
    way = turn(angle, width, height)
    return cv2.warpAffine(
        pixels,
        way,
        (width, height),
        flags=cv2.INTER_CUBIC,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=corners,
    )


def _rim(pixels: NDArray[Any]) -> NDArray[Any]:
    return np.concatenate([pixels[0], pixels[-1], pixels[:, 0], pixels[:, -1]])
