"""Between the numbers of a picture file and the light they stand for.

Formulas: IEC 61966-2-1 (sRGB). Light is linear: 0 is black, 1 is white, twice the number is twice the light.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

LUMINANCE = (0.2126, 0.7152, 0.0722)
"""How much red, green and blue light add to brightness (ITU-R BT.709, Y of linear light)."""


def to_light(signal: ArrayLike) -> NDArray[np.float64]:
    """Linear light of an sRGB signal.

    Parameters
    ----------
    signal
        Any shape, 0..1 (8-bit values divided by 255).
    """
    v = np.asarray(signal, dtype=np.float64)
    return np.where(v <= 0.04045, v / 12.92, ((np.maximum(v, 0.0) + 0.055) / 1.055) ** 2.4)


def to_signal(light: ArrayLike) -> NDArray[np.float64]:
    """The sRGB signal of linear light.

    Parameters
    ----------
    light
        Any shape, 0..1.
    """
    v = np.asarray(light, dtype=np.float64)
    return np.where(v <= 0.0031308, v * 12.92, 1.055 * np.maximum(v, 0.0) ** (1 / 2.4) - 0.055)


def luminance(rgb: ArrayLike) -> NDArray[np.float64]:
    """Relative luminance of sRGB signals (WCAG 2.2, relative luminance).

    Parameters
    ----------
    rgb
        ``(..., 3)``, 0..1.

    Returns
    -------
    ndarray
        ``(...)``: 0 for black, 1 for white.
    """
    return np.asarray(to_light(rgb) @ np.array(LUMINANCE))


@cache
def light_table() -> NDArray[np.uint16]:
    """Light, 0..65535, of each 8-bit sRGB value; read-only."""
    table = np.rint(to_light(np.arange(256) / 255) * 65535).astype(np.uint16)
    table.flags.writeable = False
    return table


@cache
def signal_table() -> NDArray[np.uint8]:
    """The nearest 8-bit sRGB value of each light, 0..65535; read-only. Undoes :func:`light_table` exactly."""
    table = np.rint(to_signal(np.arange(65536) / 65535) * 255).astype(np.uint8)
    table.flags.writeable = False
    return table
