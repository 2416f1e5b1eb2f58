"""Prints as a scanner sees them: four screens of dots of ink, each pixel the light of its own small square.

Light is that of Neugebauer's primaries by Demichel's areas (Yule 1967, from memory): inks lie over one
another and each takes its share of the light, so the mean light of a print is known exactly. That mean is the
truth to compare with: the picture as those inks can give it.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage import data

from splitpin.measure.light import to_light, to_signal

Rgb = NDArray[np.uint8]
Real = NDArray[np.float64]

INKS = to_light(np.array([[0, 174, 239], [236, 0, 140], [255, 242, 0], [35, 31, 32]]) / 255)
"""The light that solid cyan, magenta, yellow and black return (common process inks, from memory)."""
ANGLES = (15.0, 75.0, 0.0, 45.0)
"""The usual angles of those inks' screens, degrees [common practice]."""
FINE = 4
"""Dots are drawn this many times finer than pixels."""


def photo(name: str) -> Rgb:
    """A photograph that the wheel of scikit-image carries, in colour."""
    picture = np.asarray(getattr(data, name)(), np.uint8)
    return picture if picture.ndim == 3 else np.dstack([picture] * 3)


class Print(NamedTuple):
    """A scan of a print."""

    scan: Rgb
    truth: Real
    """The picture as the inks can give it, 0 to 255, (height, width, 3), sRGB, not rounded."""


def printed(rgb: Rgb, lpi: float, ppi: float = 600.0, seed: int = 0, soft: float = 0.5) -> Print:
    """Print a picture and scan it.

    Parameters
    ----------
    rgb
        The picture, a pixel for each pixel of the scan.
    lpi
        The screens' ruling.
    ppi
        The scan's resolution.
    seed
        Of the screens' places and the scanner's noise.
    soft
        Sigma of the scanner's lens, pixels.
    """
    rng = np.random.default_rng(seed)
    height, width = rgb.shape[:2]
    inks = _inks(rgb)
    phases = rng.uniform(0, 2 * np.pi, (4, 2))
    light = np.empty((height, width, 3), np.float32)
    for top in range(0, height, 64):
        rows = min(64, height - top)
        yy, xx = np.mgrid[top * FINE : (top + rows) * FINE, : width * FINE].astype(np.float32)
        strip = np.ones((*yy.shape, 3), np.float32)
        for i, angle in enumerate(ANGLES):
            t, k = np.deg2rad(angle), 2 * np.pi * lpi / ppi / FINE
            u = (xx * np.cos(t) - yy * np.sin(t)) * k + phases[i, 0]
            v = (xx * np.sin(t) + yy * np.cos(t)) * k + phases[i, 1]
            tone = inks[top : top + rows, :, i].repeat(FINE, 0).repeat(FINE, 1)
            strip[tone > _threshold((np.cos(u) + np.cos(v)) / 2)] *= INKS[i].astype(np.float32)
        light[top : top + rows] = strip.reshape(rows, FINE, width, FINE, 3).mean((1, 3))
    seen = cv2.GaussianBlur(light, (0, 0), soft) + rng.normal(0, 0.004, light.shape)
    truth = np.ones((height, width, 3))
    for i in range(4):
        truth *= 1 - inks[..., i, None] + inks[..., i, None] * INKS[i]
    return Print(
        np.clip(np.rint(to_signal(np.clip(seen, 0, 1)) * 255), 0, 255).astype(np.uint8),
        to_signal(truth) * 255,
    )


def psnr(picture: NDArray[np.generic], truth: Real, margin: int = 16) -> float:
    """Peak signal to noise, dB, without the picture's rim."""
    inner = (slice(margin, -margin), slice(margin, -margin))
    return float(10 * np.log10(255**2 / np.mean((picture[inner].astype(np.float64) - truth[inner]) ** 2)))


def _inks(rgb: Rgb) -> Real:
    """Parts of the paper that each ink covers: what red, green and blue lack, some of it by black."""
    lack = 1 - np.clip(to_light(rgb / 255), 0, 1)
    black = 0.6 * lack.min(2) ** 2
    colours = 1 - (1 - lack) / (1 - black)[..., None]
    return np.dstack([np.clip(colours, 0, 1), black])


@cache
def _spots() -> tuple[Real, Real]:
    wave = np.cos(np.linspace(0, 2 * np.pi, 1000, endpoint=False))
    spots = np.sort(((wave[:, None] + wave[None]) / 2).ravel())[::500]
    return spots, np.linspace(1, 0, len(spots))


def _threshold(spot: NDArray[np.float32]) -> Real:
    """The tone above which there is ink, so that dots cover exactly the part of the paper that is asked."""
    return np.interp(spot, *_spots())
