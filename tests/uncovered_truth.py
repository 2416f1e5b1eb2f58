"""Where the table shows, by drawing the frames of a scene as a film does, on a white and on a black table."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.canvas import draw_row
from splitpin.frames.pyramid import Pyramid
from splitpin.sheet.forecast.known import Known
from splitpin.sheet.sheet import Row

ROUNDING = 0.008
"""How far the light of two frames of 8 bits may lie beside the truth: half a step each."""


class Open(NamedTuple):
    """Unions over all exposures, bool (height, width)."""

    half: NDArray[np.bool_]
    """Pixels of which the table makes at least half the light."""
    surely: NDArray[np.bool_]
    """The same with what rounding may have added taken off, and"""
    perhaps: NDArray[np.bool_]
    """with what it may have taken off added."""


def open_by_drawing(known: Known) -> Open:
    """Where the table shows.

    Every cut-out has a colour of its own, a texture even, as found pictures have. A frame on white less the
    same frame on black is the light that the table gives.
    """
    chance = np.random.default_rng(5)
    pictures = {name: _coloured(alpha, chance) for name, alpha in known.alphas.items()}
    most = np.zeros((known.stage.height, known.stage.width))
    drawn: set[tuple[int, object]] = set()
    for row in known.sheet.rows:
        if (id(row.placed), row.view) not in drawn:
            drawn.add((id(row.placed), row.view))
            light = _light(known, row, pictures, "#ffffff") - _light(known, row, pictures, "#000000")
            most = np.maximum(most, light)
    return Open(most >= 0.5, most >= 0.5 + ROUNDING, most >= 0.5 - ROUNDING)


def _coloured(alpha: NDArray[np.uint8], chance: np.random.Generator) -> Pyramid:
    rgba = chance.integers(0, 256, (*alpha.shape, 4)).astype(np.uint8)
    rgba[..., 3] = alpha
    return Pyramid.of(rgba)


def _light(known: Known, row: Row, pictures: dict[str, Pyramid], paper: str) -> NDArray[np.float64]:
    """The green of a frame in linear light (IEC 61966-2-1), 0 to 1."""
    signal = draw_row(row, known.stage, pictures, None, paper)[..., 1] / 255
    light: NDArray[np.float64] = np.where(
        signal <= 0.04045, signal / 12.92, ((signal + 0.055) / 1.055) ** 2.4
    )
    return light
