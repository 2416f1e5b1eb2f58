"""How much real detail a picture holds, so that nobody enlarges it past that unawares."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.light import luminance

Pixels = NDArray[np.uint8]

SIDE = 256
MOST_WINDOWS = 9
REBLUR = 1.0
"""Pixels by which the picture is blurred again to see how blurred it was."""
ACROSS_DOT = 2.0
"""Details that a screen carries along one cell: print holds about twice its ruling [published]."""


class Detail(NamedTuple):
    """The finest detail of a picture."""

    pitch: float
    """Pixels of the picture to one real pixel: 1 is sharp, 2 could have been half the size."""
    by: str
    """What sets it: ``pixels``, ``sharpness`` or ``screen``."""

    def ppi(self, scan: float) -> float:
        """Real pixels per inch of the original, of a scan with ``scan`` pixels per inch."""
        return scan / self.pitch


def detail(picture: Pixels, cell: float | None = None) -> Detail:
    """Measure how much real detail a picture holds.

    Parameters
    ----------
    picture
        uint8 (height, width, 3 or 4), sRGB, straight alpha; what is transparent does not count.
    cell
        From dot to dot of the screen it was printed with, in its pixels.
    """
    # a pixel is a box one wide, whose deviation is 1/sqrt(12): so wide a box would blur as much
    soft = max(1.0, sqrt(12.0) * blur(picture))
    printed = 1.0 if cell is None else cell / ACROSS_DOT
    if printed > soft:
        return Detail(printed, "screen")
    return Detail(soft, "sharpness" if soft > 1.0 else "pixels")


def blur(picture: Pixels) -> float:
    """The deviation of the gaussian that the picture's sharpest edges are blurred by, in pixels.

    A gaussian edge of deviation s blurred again by t has its steepest slope reduced by
    ``sqrt(s**2 + t**2) / s``, so that ratio tells s (Zhuo and Sim 2011, equation 6, from memory). The
    sharpest tenth of the strong edges counts: the rest may well be out of focus.

    Parameters
    ----------
    picture
        uint8 (height, width, 3 or 4), sRGB, straight alpha.

    Returns
    -------
    float
        0 when there is no edge to measure: a plain tone is never too soft.
    """
    found: list[NDArray[np.float64]] = []
    for window in _windows(picture):
        grey = np.sqrt(luminance(window[..., :3] / 255))
        sharp = _slope(grey)
        again = _slope(np.asarray(cv2.GaussianBlur(grey, (0, 0), REBLUR), np.float64))
        use = (sharp > max(0.04, float(np.quantile(sharp, 0.9)))) & _ridge(sharp)
        if window.shape[2] == 4:
            solid = (window[..., 3] == 255).astype(np.uint8)
            use &= np.asarray(cv2.erode(solid, np.ones((9, 9), np.uint8), borderValue=0)) > 0
        use[:4], use[-4:], use[:, :4], use[:, -4:] = False, False, False, False
        ratio = sharp[use] / np.maximum(again[use], 1e-6)
        ratio = ratio[ratio > 1.0005]
        if len(ratio) >= 12:
            found.append(REBLUR / np.sqrt(ratio**2 - 1))
    if not found:
        return 0.0
    return float(np.quantile(np.concatenate(found), 0.1))


def enlargement(frame_px_per_px: float, pitch: float) -> float:
    """How far a picture is enlarged past its detail: frame pixels to one real pixel; up to 1 is honest.

    Parameters
    ----------
    frame_px_per_px
        Pixels of the frame to one pixel of the picture.
    pitch
        Pixels of the picture to one real pixel.
    """
    return frame_px_per_px * pitch


def scale_of(a: float, b: float, c: float, d: float) -> float:
    """How many times a linear map enlarges: the square root of how it enlarges areas."""
    return sqrt(abs(a * d - b * c))


def _windows(picture: Pixels) -> list[Pixels]:
    """The liveliest parts of a picture, whole when it is small."""
    height, width = picture.shape[:2]
    if height * width <= MOST_WINDOWS * SIDE * SIDE:
        return [picture] if min(height, width) >= 12 else []
    rows, columns = -(-height // SIDE), -(-width // SIDE)
    parts = []
    for top in np.linspace(0, max(0, height - SIDE), rows).astype(int):
        for left in np.linspace(0, max(0, width - SIDE), columns).astype(int):
            part = picture[top : top + SIDE, left : left + SIDE]
            if part.shape[2] == 4 and int(part[..., 3].min()) == 0 and int(part[..., 3].max()) < 255:
                continue
            parts.append((float(part[::3, ::3, 1].std()), int(top), int(left)))
    liveliest = sorted(parts, reverse=True)[:MOST_WINDOWS]
    return [picture[y : y + SIDE, x : x + SIDE] for _, y, x in liveliest]


def _slope(grey: NDArray[np.float64]) -> NDArray[np.float64]:
    dy, dx = np.gradient(grey)
    return np.asarray(np.hypot(dx, dy))


def _ridge(slope: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Where the slope is steepest among its neighbours across or along: the middle of an edge."""
    wide = np.pad(slope, 1, mode="edge")
    across = (slope >= wide[1:-1, :-2]) & (slope >= wide[1:-1, 2:])
    along = (slope >= wide[:-2, 1:-1]) & (slope >= wide[2:, 1:-1])
    return np.asarray(across | along, np.bool_)
