"""The white of bare paper and the black of full ink in a scan."""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.measure.light import light_table, luminance, signal_table

Rgb = NDArray[np.uint8]
Tone = tuple[float, float, float]

SIDE = 800
"""Pixels of the longer side that is looked at: dots and grain are averaged, margins are not."""
BRIGHTER = 0.01
"""Share of the scan that may be brighter than its paper: glints. More is light in the picture."""
LIGHTER = 0.04
"""How much brighter that is, square root of light: paper's own grain and unevenness are less."""
YELLOWEST = 0.75
"""Paper's least channel against its greatest: old yellow paper has 0.8, coloured light and card have less."""
BLUEST = 10.0
"""How much more blue than red paper may be, 8-bit steps: bleached paper has 8, a sky has more."""
GREY = 24.0
"""How far the channels of black ink may lie apart, 8-bit steps: coloured ink keeps its colour."""


class Points(NamedTuple):
    """What becomes black and what becomes white: red, green and blue, 0 to 255 (sRGB)."""

    black: Tone
    white: Tone


def points(rgb: Rgb) -> Points:
    """Find the paper's white and the ink's black.

    White is the middle of the brightest tone that fills a good part of the scan evenly: bare paper. Black is
    what one pixel in two hundred is darker than. A scan without bare paper, or without anything dark, keeps
    white or black as it is; so does one whose brightest even tone is a sky or has lights above it, or whose
    deepest ink is coloured.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    """
    k = min(1.0, SIDE / max(rgb.shape[:2]))
    size = max(1, round(rgb.shape[1] * k)), max(1, round(rgb.shape[0] * k))
    small = np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), np.uint8)
    light = luminance(small / 255)
    return Points(_black(small, light), _white(small, light))


def levelled(rgb: Rgb, at: Points) -> Rgb:
    """Stretch each channel so that the points become black and white, in linear light.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    at
        The points; a white that is no lighter than its black leaves the channel as it is.
    """
    out = np.empty_like(rgb)
    light = light_table().astype(np.float64)
    marks = np.arange(256)
    for c in range(3):
        low, high = (float(np.interp(p[c], marks, light)) for p in at)
        stretched = light if high - low < 64 else (light - low) * (65535 / (high - low))
        table = signal_table()[np.clip(np.rint(stretched), 0, 65535).astype(np.uint16)]
        out[..., c] = table[rgb[..., c]]
    return out


def _white(small: Rgb, light: NDArray[np.float64]) -> Tone:
    mean = cv2.blur(light, (5, 5))
    rough = np.sqrt(np.maximum(cv2.blur(light * light, (5, 5)) - mean * mean, 0))
    flat = (rough < 0.04) & (light > 0.25)
    if flat.mean() < 0.01:
        return (255.0, 255.0, 255.0)
    tones = np.sqrt(light[flat])
    counts, edges = np.histogram(tones, 64, (0.5, 1.0))
    enough = np.flatnonzero(
        np.convolve(counts, np.ones(3), "same") > max(0.01 * light.size, 0.1 * counts.max())
    )
    if not len(enough):
        return (255.0, 255.0, 255.0)
    top = int(enough[-1])
    # the fullest bin near the upper end is paper; the end itself is its grain
    peak = max(0, top - 6) + int(np.argmax(counts[max(0, top - 6) : top + 1]))
    paper = flat & (np.abs(np.sqrt(light) - (edges[peak] + edges[peak + 1]) / 2) < 0.02)
    tone = np.median(small[paper], axis=0)
    of_paper = tone.min() >= YELLOWEST * tone.max() and tone[2] - tone[0] <= BLUEST
    brighter = float((np.sqrt(np.maximum(mean, 0)) > float(np.sqrt(luminance(tone / 255))) + LIGHTER).mean())
    if float(luminance(tone / 255)) < 0.45 or not of_paper or brighter > BRIGHTER:
        return (255.0, 255.0, 255.0)
    return _tone(tone)


def _black(small: Rgb, light: NDArray[np.float64]) -> Tone:
    edge = float(np.quantile(light, 0.005))
    # a picture that is dark all over, or of one tone, is not weak ink
    if edge > 0.12 or float(np.median(light)) < edge + 0.05:
        return (0.0, 0.0, 0.0)
    ink = np.median(small[light <= edge], axis=0)
    return (0.0, 0.0, 0.0) if float(np.ptp(ink)) > GREY else _tone(ink)


def _tone(values: NDArray[np.float64]) -> Tone:
    r, g, b = (round(float(v), 1) for v in values)
    return r, g, b
