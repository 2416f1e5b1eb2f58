"""From the reduced picture back to every pixel.

The guided filter (K. He, J. Sun, X. Tang, IEEE PAMI 35(6), 2013), used the fast way: what links coverage to
colour is found in the reduced picture and applied in the full one, in the band only.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.compiled import kernel

Floats = NDArray[np.float32]
RADIUS = 1
EPSILON = 1e-5


@kernel
def reduced_light(rgb: Any, lights: Any, factor: Any) -> Any:
    """Averages of the light of squares of ``factor`` pixels; squares over the edge average what is there.

    Parameters
    ----------
    rgb
        uint8 (H, W, 3).
    lights
        float32 (256): linear light of each 8-bit value.
    factor
        Pixels along a side.

    Returns
    -------
    ndarray
        float32 (h, w, 3), linear light.
    """
    H, W = rgb.shape[0], rgb.shape[1]
    h, w = (H + factor - 1) // factor, (W + factor - 1) // factor
    out = np.empty((h, w, 3), np.float32)
    for y in range(h):
        y1 = min((y + 1) * factor, H)
        for x in range(w):
            x1 = min((x + 1) * factor, W)
            r = g = b = 0.0
            for yy in range(y * factor, y1):
                for xx in range(x * factor, x1):
                    r += lights[rgb[yy, xx, 0]]
                    g += lights[rgb[yy, xx, 1]]
                    b += lights[rgb[yy, xx, 2]]
            n = (y1 - y * factor) * (x1 - x * factor)
            out[y, x, 0], out[y, x, 1], out[y, x, 2] = r / n, g / n, b / n
    return out


def links(colour: Floats, alpha: Floats, radius: int = RADIUS, epsilon: float = EPSILON) -> Floats:
    """How coverage follows from colour around each reduced pixel.

    Returns
    -------
    ndarray
        float32 (h, w, 4): ``alpha ≈ l0·red + l1·green + l2·blue + l3``.
    """

    def mean(x: Floats) -> Floats:
        return np.asarray(
            cv2.blur(x, (2 * radius + 1, 2 * radius + 1), borderType=cv2.BORDER_REFLECT), np.float32
        )

    i, a = mean(colour), mean(alpha)
    cov = np.empty((*alpha.shape, 3, 3), np.float32)
    for r, c in ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)):
        cov[..., r, c] = cov[..., c, r] = mean(colour[..., r] * colour[..., c]) - i[..., r] * i[..., c]
    for c in range(3):
        cov[..., c, c] += epsilon
    with_alpha = mean(colour * alpha[..., None]) - i * a[..., None]
    slope = np.linalg.solve(cov, with_alpha[..., None])[..., 0]
    rest = a - (slope * i).sum(-1)
    return mean(np.dstack([slope, rest]).astype(np.float32))


@kernel
def applied(rgb: Any, table: Any, link: Any, known: Any, factor: Any) -> Any:
    """Coverage of every pixel: as known where it is, by the links where it is not.

    Parameters
    ----------
    rgb
        uint8 (H, W, 3).
    table
        float32 (256): the value that the links expect for each 8-bit one.
    link
        From :func:`links`.
    known
        float32 (h, w): the trimap of the reduced picture.
    factor
        How many pixels of the picture one reduced pixel stands for, along a side.

    Returns
    -------
    ndarray
        float32 (H, W), 0..1.
    """
    H, W = rgb.shape[0], rgb.shape[1]
    h, w = known.shape
    out = np.empty((H, W), np.float32)
    for y in range(H):
        v = (y + 0.5) / factor - 0.5
        y0 = min(max(int(np.floor(v)), 0), h - 1)
        y1 = min(y0 + 1, h - 1)
        ty = min(max(v - y0, 0.0), 1.0)
        for x in range(W):
            u = (x + 0.5) / factor - 0.5
            x0 = min(max(int(np.floor(u)), 0), w - 1)
            x1 = min(x0 + 1, w - 1)
            a = known[y0, x0]
            if a == known[y0, x1] and a == known[y1, x0] and a == known[y1, x1] and (a <= 0.0 or a >= 1.0):
                out[y, x] = a
                continue
            tx = min(max(u - x0, 0.0), 1.0)
            s = 0.0
            for c in range(4):
                top = link[y0, x0, c] * (1 - tx) + link[y0, x1, c] * tx
                low = link[y1, x0, c] * (1 - tx) + link[y1, x1, c] * tx
                slope = top * (1 - ty) + low * ty
                s += slope * table[rgb[y, x, c]] if c < 3 else slope
            out[y, x] = min(max(s, 0.0), 1.0)
    return out


@kernel
def own_colours(rgb: Any, alpha: Any, lights: Any, thing: Any, behind: Any, factor: Any) -> Any:
    """The thing's own colours where it is mixed with others.

    Colours found in the reduced picture are moved as little as makes them mix to what the picture shows.

    Parameters
    ----------
    rgb
        uint8 (H, W, 3).
    alpha
        float32 (H, W), 0..1.
    lights
        float32 (256): linear light of each 8-bit value.
    thing, behind
        float32 (h, w, 3), linear light.
    factor
        As in :func:`applied`.

    Returns
    -------
    ndarray
        uint8 (H, W, 4): sRGB and straight alpha; all nought where there is nothing of the thing.
    """
    H, W = alpha.shape
    h, w = thing.shape[0], thing.shape[1]
    out = np.zeros((H, W, 4), np.uint8)
    for y in range(H):
        v = (y + 0.5) / factor - 0.5
        y0 = min(max(int(np.floor(v)), 0), h - 1)
        y1 = min(y0 + 1, h - 1)
        ty = min(max(v - y0, 0.0), 1.0)
        for x in range(W):
            a = alpha[y, x]
            whole = int(np.floor(a * 255.0 + 0.5))
            if whole == 0:
                continue
            out[y, x, 3] = whole
            if whole == 255:
                for c in range(3):
                    out[y, x, c] = rgb[y, x, c]
                continue
            u = (x + 0.5) / factor - 0.5
            x0 = min(max(int(np.floor(u)), 0), w - 1)
            x1 = min(x0 + 1, w - 1)
            tx = min(max(u - x0, 0.0), 1.0)
            by = 1.0 / (a * a + (1 - a) * (1 - a) + 0.1)
            for c in range(3):
                f = (thing[y0, x0, c] * (1 - tx) + thing[y0, x1, c] * tx) * (1 - ty)
                f += (thing[y1, x0, c] * (1 - tx) + thing[y1, x1, c] * tx) * ty
                b = (behind[y0, x0, c] * (1 - tx) + behind[y0, x1, c] * tx) * (1 - ty)
                b += (behind[y1, x0, c] * (1 - tx) + behind[y1, x1, c] * tx) * ty
                f += a * (lights[rgb[y, x, c]] - a * f - (1 - a) * b) * by
                f = min(max(f, 0.0), 1.0)
                s = 12.92 * f if f <= 0.0031308 else 1.055 * f ** (1 / 2.4) - 0.055
                out[y, x, c] = int(np.floor(s * 255.0 + 0.5))
    return out
