"""The frame being drawn: rows of a sheet come in, pixels go out, and only what changed is drawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

import numpy as np
from numpy.typing import NDArray

from splitpin.character.place import Placed
from splitpin.frames.kept import Kept
from splitpin.frames.kernels import develop
from splitpin.frames.layer import Layer, Sampling, bounds
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pixels, Pyramid
from splitpin.frames.rect import Rect, merged
from splitpin.frames.shadow import Shadows
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
    """Layers made ready for drawing: new ones, and those that came into play again."""
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
    shadows
        Where shadows are kept for all who draw these pictures.

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
        shadows: Kept | None = None,
    ) -> None:
        self.stage, self.pictures = stage, pictures
        self.work = Work()
        self._shadows = Shadows(pictures, look, shadows) if look is not None and look.shadows else None
        self._frame = Rect(0, 0, stage.width, stage.height)
        self._rgb = np.empty((stage.height, stage.width, 3), np.uint8)
        self._paper = pixel_of(paper)
        self._layers: list[Layer] | None = None
        self._still: list[int] = []
        self._ground: Pixels | None = None
        self._grounded: list[Layer] = []
        self._samplings: dict[Layer, Sampling] = {}

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
        layers = [layer for layer in self._stack(placed, view) if layer.rect.area]
        before, self._layers = self._layers, layers
        self.work.rows += 1
        if before is None:
            dirty: tuple[Rect, ...] = (self._frame,)
        else:
            dirty = merged(layer.rect for layer in changed(before, layers))
        if not dirty:
            self.work.reused += 1
        self._age(before or [], layers)
        self._samplings = {layer: s for layer in layers if (s := self._samplings.get(layer)) is not None}
        self._settle(layers)
        above = layers[len(self._grounded) :]
        for rect in dirty:
            self._redraw(rect, above)
        return dirty

    def _stack(self, placed: Sequence[Placed], view: View) -> Iterator[Layer]:
        to_pixels = self.stage.to_pixels(view)
        for p in placed:
            if self._shadows:
                blur = self._shadows.blur(p.matrix)
                picture, offset = self._shadows.of(p.cutout, blur)
                matrix = offset.then(self._shadows.matrix(p.matrix)).then(to_pixels)
                yield Layer(p.cutout, matrix, bounds(picture, matrix, self._frame), blur)
            matrix = p.matrix.then(to_pixels)
            yield Layer(p.cutout, matrix, bounds(self.pictures[p.cutout], matrix, self._frame))

    def _age(self, before: list[Layer], layers: list[Layer]) -> None:
        still: list[int] = []
        same = True
        for i, layer in enumerate(layers):
            same = same and i < len(before) and before[i] == layer
            still.append(self._still[i] + 1 if same else 1)
        self._still = still

    def _settle(self, layers: list[Layer]) -> None:
        """Keep the flattened ground equal to the lowest layers that rest."""
        same = _shared(self._grounded, layers)
        keep = max(same, next((i for i, age in enumerate(self._still) if age < RESTING), len(layers)))
        dropped, added = self._grounded[same:], layers[same:keep]
        if not dropped and not added:
            return
        if self._ground is None:
            self._ground = np.empty((self.stage.height, self.stage.width), np.uint64)
        fresh = not self._grounded
        self._grounded = layers[:keep]
        self.work.flattened += len(added)
        if not keep:
            return
        if fresh:
            self._ground.fill(self._paper)
        for rect in merged(layer.rect for layer in dropped):
            self._ground[rect.y0 : rect.y1, rect.x0 : rect.x1] = self._paper
            self._lay(self._ground, 0, 0, rect, layers[:same])
        self._lay(self._ground, 0, 0, self._frame, added)

    def _redraw(self, rect: Rect, above: list[Layer]) -> None:
        for y in range(rect.y0, rect.y1, BAND):
            band = Rect(rect.x0, y, rect.x1, min(y + BAND, rect.y1))
            if self._grounded and self._ground is not None:
                tile = self._ground[band.y0 : band.y1, band.x0 : band.x1].copy()
            else:
                tile = np.full((band.y1 - band.y0, band.x1 - band.x0), self._paper)
            self._lay(tile, band.x0, band.y0, band, above)
            develop(tile, band.x0, band.y0, signal_table(), self._rgb)

    def _lay(self, tile: Pixels, left: int, top: int, region: Rect, layers: Sequence[Layer]) -> None:
        for layer in layers:
            part = layer.rect.overlap(region)
            if part.area:
                self.work.pixels += self._sampling(layer).draw(tile, left, top, part)

    def _sampling(self, layer: Layer) -> Sampling:
        if layer not in self._samplings:
            self.work.pieces += 1
            if self._shadows and layer.blur >= 0:
                picture = self._shadows.of(layer.name, layer.blur).picture
            else:
                picture = self.pictures[layer.name]
            self._samplings[layer] = Sampling.of(picture, layer.matrix)
        return self._samplings[layer]


def _shared(a: Sequence[Layer], b: Sequence[Layer]) -> int:
    """How many layers at the bottom are the same."""
    return next((i for i, (p, q) in enumerate(zip(a, b, strict=False)) if p != q), min(len(a), len(b)))


def changed(before: Sequence[Layer], after: Sequence[Layer]) -> list[Layer]:
    """The layers that must go or come to make one stack of the other, all others staying in their order."""
    start = _shared(before, after)
    end = _shared(before[start:][::-1], after[start:][::-1])
    before, after = before[start : len(before) - end], after[start : len(after) - end]
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


def pixel_of(colour: str) -> np.uint64:
    """The opaque pixel of a colour ``#rrggbb``."""
    lanes = [int(light_table()[int(colour[i : i + 2], 16)]) for i in (1, 3, 5)]
    return np.uint64(lanes[0] | lanes[1] << 16 | lanes[2] << 32 | 0xFFFF << 48)
