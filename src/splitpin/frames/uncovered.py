"""Where the table shows: the pieces drawn in black on a white table, by the same hand as the film."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from splitpin.frames.canvas import Canvas
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.table import Stage
from splitpin.sheet.sheet import Row

HALF = 188
"""The table makes at least half the light of a pixel: 50 % white over black, in sRGB (IEC 61966-2-1)."""


class Uncovered:
    """A way to see where the table shows on an exposure; rows asked for in their order cost least.

    Parameters
    ----------
    stage
        The size of the picture and the field.
    alphas
        How opaque each cut-out is, uint8 (height, width).
    """

    def __init__(self, stage: Stage, alphas: Mapping[str, NDArray[np.uint8]]) -> None:
        self._stage, self._black = stage, _Black(alphas)

    def __call__(self, row: Row) -> NDArray[np.bool_]:
        """Where the table makes at least half the light, bool (height, width) of the picture."""
        self._canvas.draw(row.placed, row.view)
        shown: NDArray[np.bool_] = self._canvas.rgb[..., 0] >= HALF
        return shown

    @cached_property
    def _canvas(self) -> Canvas:
        return Canvas(self._stage, self._black, paper="#ffffff")


class _Black(Mapping[str, Pyramid]):
    """Cut-outs in black, made when they are first drawn: most scenes are filled by their background."""

    def __init__(self, alphas: Mapping[str, NDArray[np.uint8]]) -> None:
        self._alphas = alphas
        self._made: dict[str, Pyramid] = {}

    def __getitem__(self, name: str) -> Pyramid:
        if name not in self._made:
            alpha = self._alphas[name]
            rgba = np.zeros((*alpha.shape, 4), np.uint8)
            rgba[..., 3] = alpha
            self._made[name] = Pyramid.of(rgba)
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._alphas)

    def __len__(self) -> int:
        return len(self._alphas)
