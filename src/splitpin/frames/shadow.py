"""The shadow of a cut-out: its outline, darkened, with a soft edge."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, floor, log2, sqrt
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.frames.kept import Kept
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.affine import Affine, move

WIDEST_BLUR = 512.0
"""Pixels; a softer edge than this is drawn this soft."""
ROOM = 1 << 29
"""Bytes that shadows may take: a piece that grows or shrinks leaves one behind with every half octave."""


class Shadow(NamedTuple):
    """What lies under a cut-out."""

    picture: Pyramid
    """Black, and as opaque as the shadow is deep."""
    offset: Affine
    """Where its pixels lie among the cut-out's."""

    @property
    def room(self) -> int:
        """Memory that it takes."""
        return self.picture.room


class Shadows:
    """The shadows of a set of cut-outs, each made once as long as there is room for it.

    A piece lies one thickness above whatever is below it, and throws one shadow there: at the distance and
    with the penumbra that :class:`~splitpin.frames.look.PaperLook` gives for that lift. The shadow takes away
    ``depth`` of the light.

    Parameters
    ----------
    pictures
        The cut-outs' pictures by name.
    look
        The paper and the lamp.
    kept
        Where shadows are kept, shared with others who draw the same pictures; a place of its own when left
        out.
    """

    def __init__(self, pictures: Mapping[str, Pyramid], look: PaperLook, kept: Kept | None = None) -> None:
        self._pictures, self._look, self._kept = pictures, look, kept or Kept(ROOM)

    def matrix(self, to_table: Affine) -> Affine:
        """Where the shadow of a piece lies on the table."""
        return to_table.then(move(*self._look.offset(self._look.thickness_mm)))

    def blur(self, to_table: Affine) -> float:
        """How wide its soft edge is, in pixels of the cut-out: in steps of half an octave, so that a piece
        that grows or shrinks needs few of them; 0 when it is as good as sharp.
        """
        size = sqrt(abs(to_table.determinant))
        width = self._look.penumbra(self._look.thickness_mm) / size if size else 0.0
        if not width > 0.5:
            return 0.0
        return float(min(2.0 ** (round(2 * log2(width)) / 2), WIDEST_BLUR))

    def of(self, name: str, blur: float) -> Shadow:
        """The shadow of a cut-out, so soft."""
        return self._kept.get((name, blur, self._look.depth), lambda: self._make(name, blur))

    def _make(self, name: str, blur: float) -> Shadow:
        picture = self._pictures[name]
        margin = ceil(blur / 2) + 1
        alpha = softened(np.pad(picture.alpha, margin), blur)
        rgba = np.zeros((*alpha.shape, 4), np.uint8)
        rgba[..., 3] = np.rint(alpha * self._look.depth)
        return Shadow(Pyramid.of(rgba), move(picture.box.x0 - margin, picture.box.y0 - margin))


def softened(alpha: NDArray[np.uint8], width: float) -> NDArray[np.float32]:
    """Every edge as a straight ramp of ``width`` pixels: what an evenly bright square lamp makes of it."""
    taps = np.ones(1)
    if width > 1.0:
        whole = floor((width - 1) / 2)
        end = (width - 1) / 2 - whole
        taps = np.concatenate([[end], np.ones(2 * whole + 1), [end]]) / width
    real = alpha.astype(np.float32)
    return np.asarray(cv2.sepFilter2D(real, -1, taps, taps, borderType=cv2.BORDER_CONSTANT), np.float32)
