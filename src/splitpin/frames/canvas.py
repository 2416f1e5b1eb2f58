"""The frame being drawn: rows of a sheet come in, pixels go out, and only what changed is drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

import numpy as np
from numpy.typing import NDArray

from splitpin.character.place import Placed
from splitpin.frames.kernels import develop
from splitpin.frames.layer import Layer, Sampling, bounds
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pixels, Pyramid
from splitpin.frames.rect import Rect, merged
from splitpin.measure.light import light_table, signal_table
from splitpin.measure.table import Stage, View
from splitpin.sheet.sheet import Row

BAND = 64
"""Rows of the frame drawn at a time, layer after layer, so that they stay in the processor's cache."""
RESTING = 3
"""Exposures for which the lowest layers must have lain still before they are flattened."""


@dataclass
class Work:
    """What drawing has cost so far."""

    rows: int = 0
    """Exposures asked for."""
    reused: int = 0
    """Exposures in which nothing changed."""
    pieces: int = 0
    """Layers drawn, wholly or in part."""
    pixels: int = 0
    """Pixels drawn, once for each layer over them."""
    flattened: int = 0
    """Layers flattened into the ground that others are drawn on."""


class Canvas:
    """A frame that is drawn again and again.

    Parameters
    ----------
    stage
        The size of the picture and the field.
    pictures
        The cut-outs' pictures by name.
    look
        Whether pieces throw shadows, and how.
    paper
        The colour of the table, ``#rrggbb``.

    Notes
    -----
    What it draws depends on the last row alone, bit for bit: never on the rows before or on how much was
    drawn again. Compositing is source over in linear light, premultiplied, in 16 bits a channel.
    """

    def __init__(
        self,
        stage: Stage,
        pictures: Mapping[str, Pyramid],
        look: PaperLook | None = None,
        paper: str = "#ffffff",
    ) -> None:
        self.stage, self.pictures, self.look, self.paper = stage, pictures, look or PaperLook(), paper
        self.work = Work()
        self._frame = Rect(0, 0, stage.width, stage.height)
        self._rgb = np.empty((stage.height, stage.width, 3), np.uint8)
        self._paper = _pixel(paper)
        self._layers: list[Layer] | None = None
        self._still: list[int] = []
        self._ground: Pixels | None = None
        self._grounded: list[Layer] = []

    @property
    def rgb(self) -> NDArray[np.uint8]:
        """The frame as last drawn: uint8 (height, width, 3), sRGB. The next :meth:`draw` draws on it: copy
        what must stay.
        """
        return self._rgb

    def draw(self, placed: Sequence[Placed], view: View) -> tuple[Rect, ...]:
        """Draw an exposure.

        Parameters
        ----------
        placed
            The pieces, lowest first. One whose matrix is not finite or flattens it to nothing is not drawn.
        view
            What the camera takes in.

        Returns
        -------
        tuple of Rect
            Where anything may have changed against the exposure before: rectangles that do not overlap. The
            first time it is the whole frame.

        Raises
        ------
        KeyError
            When a piece's cut-out is not among the pictures.
        """
        layers = self._seen(placed, view)
        before, self._layers = self._layers, layers
        self.work.rows += 1
        if before is None:
            self._still = [1] * len(layers)
            dirty: tuple[Rect, ...] = (self._frame,)
        else:
            self._age(before, layers)
            dirty = merged(self._bounds(layer) for layer in changed(before, layers))
        self._settle(layers)
        if not dirty:
            self.work.reused += 1
        above = self._samplings(layers[len(self._grounded) :])
        for rect in dirty:
            self._redraw(rect, above)
        return dirty

    def _seen(self, placed: Sequence[Placed], view: View) -> list[Layer]:
        to_pixels = self.stage.to_pixels(view)
        layers = [Layer(p.cutout, p.matrix.then(to_pixels)) for p in placed]
        return [layer for layer in layers if self._bounds(layer).area]

    def _bounds(self, layer: Layer) -> Rect:
        return bounds(self.pictures[layer.name], layer.matrix, self._frame)

    def _samplings(self, layers: Sequence[Layer]) -> list[tuple[Rect, Sampling]]:
        return [
            (self._bounds(layer), Sampling.of(self.pictures[layer.name], layer.matrix)) for layer in layers
        ]

    def _age(self, before: list[Layer], layers: list[Layer]) -> None:
        still: list[int] = []
        same = True
        for i, layer in enumerate(layers):
            same = same and i < len(before) and before[i] == layer
            still.append(self._still[i] + 1 if same else 1)
        self._still = still

    def _settle(self, layers: list[Layer]) -> None:
        """Keep the flattened ground equal to the lowest layers that rest."""
        resting = next((i for i, age in enumerate(self._still) if age < RESTING), len(layers))
        same = next(
            (i for i, (a, b) in enumerate(zip(self._grounded, layers, strict=False)) if a != b),
            min(len(self._grounded), len(layers)),
        )
        if same == len(self._grounded) and resting <= same:
            return
        keep = max(resting, same)
        if not keep:
            self._grounded = []
            return
        if self._ground is None or not self._grounded:
            if self._ground is None:
                self._ground = np.empty((self.stage.height, self.stage.width), np.uint64)
            self._ground.fill(self._paper)
            self._grounded = []
        dropped, added = self._grounded[same:], layers[same:keep]
        self._grounded = layers[:keep]
        self.work.flattened += len(added)
        if dropped:
            below = self._samplings(self._grounded)
            for rect in merged(self._bounds(layer) for layer in [*dropped, *added]):
                self._ground[rect.y0 : rect.y1, rect.x0 : rect.x1] = self._paper
                self._lay(self._ground, 0, 0, rect, below)
        else:
            self._lay(self._ground, 0, 0, self._frame, self._samplings(added))

    def _redraw(self, rect: Rect, above: list[tuple[Rect, Sampling]]) -> None:
        for y in range(rect.y0, rect.y1, BAND):
            band = Rect(rect.x0, y, rect.x1, min(y + BAND, rect.y1))
            if self._grounded and self._ground is not None:
                tile = self._ground[band.y0 : band.y1, band.x0 : band.x1].copy()
            else:
                tile = np.full((band.y1 - band.y0, band.x1 - band.x0), self._paper)
            self._lay(tile, band.x0, band.y0, band, above)
            develop(tile, signal_table(), self._rgb[band.y0 : band.y1, band.x0 : band.x1])

    def _lay(
        self, tile: Pixels, left: int, top: int, region: Rect, layers: list[tuple[Rect, Sampling]]
    ) -> None:
        for rect, sampling in layers:
            part = rect.overlap(region)
            if part.area:
                self.work.pieces += 1
                self.work.pixels += sampling.draw(tile, left, top, part)


def changed(before: Sequence[Layer], after: Sequence[Layer]) -> list[Layer]:
    """The layers that must go or come to make one stack of the other, all others staying in their order."""
    found: list[Layer] = []
    for tag, i0, i1, j0, j1 in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag != "equal":
            found += [*before[i0:i1], *after[j0:j1]]
    return found


def draw_row(
    row: Row,
    stage: Stage,
    pictures: Mapping[str, Pyramid],
    look: PaperLook | None = None,
    paper: str = "#ffffff",
) -> NDArray[np.uint8]:
    """One exposure by itself: uint8 (height, width, 3), sRGB; the same bits as from a :class:`Canvas`."""
    canvas = Canvas(stage, pictures, look, paper)
    canvas.draw(row.placed, row.view)
    return canvas.rgb


def _pixel(colour: str) -> np.uint64:
    lanes = [int(light_table()[int(colour[i : i + 2], 16)]) for i in (1, 3, 5)]
    return np.uint64(lanes[0] | lanes[1] << 16 | lanes[2] << 32 | 0xFFFF << 48)
