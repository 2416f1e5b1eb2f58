"""Cards that a film file opens with, drawn as if of paper: a slate, and a leader with a turning hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from io import BytesIO
from math import cos, pi, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from splitpin.frames.standin import INK, PAPER, PENCIL, TABLE
from splitpin.measure.table import Stage

FINE = 2
"""Drawn so many times as large, so that edges are soft."""
OCHRE, TEAL, BRICK, BRASS, GLINT = "#d9a94e", "#7fa39a", "#a5483a", "#b98d3c", "#efd592"
FAINT = "#8a7c64"
SHADE, DARK = (60, 45, 30), 110
"""The colour of shadows, and how much of it lies in them: 255 is all."""
NOTCHES = 12

Frame = NDArray[np.uint8]
Places = Sequence[tuple[float, float]]
_Shape = Callable[[ImageDraw.ImageDraw, Any, float], None]
"""Draws itself with a pen, in a colour, so far to the right and down."""


class _Table:
    """A table to lay paper on; lengths are pixels of the frame."""

    def __init__(self, stage: Stage) -> None:
        self._stage = stage
        self._image = Image.new("RGB", (stage.width * FINE, stage.height * FINE), TABLE)
        self.unit = min(stage.height, stage.width * 9 / 16) / 100
        """A hundredth of the height of the widest 16:9 that the frame holds."""

    def disc(self, x: float, y: float, radius: float, colour: str, lift: float = 0.8) -> None:
        """Lay down a disc; ``lift`` is how far its shadow falls, in units."""
        self._lay(lambda pen, fill, dx: pen.ellipse(_box(x + dx, y + dx, radius), fill), colour, lift)

    def slip(self, places: Places, colour: str, lift: float = 0.8) -> None:
        """Lay down a piece with straight edges."""
        self._lay(
            lambda pen, fill, dx: pen.polygon(
                [((px + dx) * FINE, (py + dx) * FINE) for px, py in places], fill
            ),
            colour,
            lift,
        )

    def _lay(self, shape: _Shape, colour: str, lift: float) -> None:
        if lift:
            soft = lift * self.unit * FINE * 0.6
            shadow = Image.new("L", self._image.size, 0)
            shape(ImageDraw.Draw(shadow), DARK, lift * self.unit)
            if (around := shadow.getbbox()) is not None:
                # Beyond three times its softness nothing of a shadow is left.
                reach = int(3 * soft) + 2
                x0, y0 = max(0, around[0] - reach), max(0, around[1] - reach)
                box = (x0, y0, around[2] + reach, around[3] + reach)
                part = shadow.crop(box).filter(ImageFilter.GaussianBlur(soft))
                self._image.paste(SHADE, (x0, y0, x0 + part.width, y0 + part.height), part)
        shape(ImageDraw.Draw(self._image), colour, 0.0)

    def copied(self) -> _Table:
        """The table as it is, to lay more on."""
        other = _Table(self._stage)
        other._image = self._image.copy()
        return other

    def pin(self, x: float, y: float) -> None:
        """Put a split pin in: a brass head with a glint."""
        self.disc(x, y, 2.2 * self.unit, BRASS, 0.5)
        self.disc(x - 0.6 * self.unit, y - 0.6 * self.unit, 0.8 * self.unit, GLINT, 0.0)

    def words(
        self, text: str, x: float, y: float, size: float, colour: str, font: bytes, anchor: str
    ) -> None:
        """Set a line."""
        face = _face(font, size * self.unit)
        ImageDraw.Draw(self._image).text((x * FINE, y * FINE), text, colour, face, anchor)

    def done(self) -> Frame:
        """The frame, uint8 (height, width, 3)."""
        small = self._image.resize((self._stage.width, self._stage.height), Image.Resampling.BOX)
        return np.array(small, np.uint8)


def slate(stage: Stage, title: str, lines: Sequence[tuple[str, str]], font: bytes) -> Frame:
    """A card with what the file holds.

    Parameters
    ----------
    stage
        The frame's size.
    title
        Set large; smaller where it is long.
    lines
        What is told, and how it is.
    font
        A TrueType or OpenType font.
    """
    table = _Table(stage)
    unit = table.unit
    middle, wide, high = stage.width / 2, 140 * unit, 78 * unit
    left, top = middle - wide / 2, (stage.height - high) / 2
    table.slip(_rectangle(left, top, wide, high), PAPER, 1.2)
    for x in (left + 6 * unit, left + wide - 6 * unit):
        table.pin(x, top + 6 * unit)
    room = wide - 28 * unit
    table.words(
        title, left + 14 * unit, top + 17 * unit, _fitting(title, 9.0, room / unit, font), INK, font, "ls"
    )
    table.slip(_rectangle(left + 14 * unit, top + 22 * unit, room, 0.4 * unit), PENCIL, 0.0)
    step = min(8.0, 41 / max(1, len(lines) - 1))
    for i, (what, how) in enumerate(lines):
        y = top + (31 + step * i) * unit
        table.words(what, left + 14 * unit, y, 3.2, FAINT, font, "ls")
        table.words(how, left + 42 * unit, y, _fitting(how, 4.0, room / unit - 28, font), INK, font, "ls")
    return table.done()


def count(stage: Stage, figure: int, turn: float, font: bytes) -> Frame:
    """A disc with a figure, and on it a dial with a hand on a split pin.

    Parameters
    ----------
    stage
        The frame's size.
    figure
        What is counted.
    turn
        Where the hand points: 0 is up, growing clockwise to 1.
    font
        A TrueType or OpenType font.
    """
    table = _counted(stage, figure, font).copied()
    x, y = _dial(stage, table.unit)
    table.slip(_hand(x, y, 15 * table.unit, 2 * pi * turn, table.unit), BRICK, 0.6)
    table.pin(x, y)
    return table.done()


@lru_cache(maxsize=2)
def _counted(stage: Stage, figure: int, font: bytes) -> _Table:
    """All of it that stays for a second."""
    table = _Table(stage)
    unit = table.unit
    x, y = stage.width / 2 - 12 * unit, stage.height / 2
    table.disc(x, y, 36 * unit, OCHRE, 1.4)
    table.disc(x, y, 32 * unit, PAPER, 0.5)
    table.words(str(figure), x, y, 48.0, INK, font, "mm")
    x, y = _dial(stage, unit)
    table.disc(x, y, 20 * unit, TEAL, 1.2)
    for notch in range(NOTCHES):
        ahead = 2 * pi * notch / NOTCHES
        table.disc(x + 17 * unit * sin(ahead), y - 17 * unit * cos(ahead), 0.7 * unit, PAPER, 0.0)
    return table


def _dial(stage: Stage, unit: float) -> tuple[float, float]:
    return stage.width / 2 + 30 * unit, stage.height / 2 + 18 * unit


def _hand(x: float, y: float, length: float, angle: float, unit: float) -> Places:
    """A strip with a point and a short tail."""
    ahead, aside = (sin(angle), -cos(angle)), (cos(angle), sin(angle))
    along = (
        (-5 * unit, 1.6),
        (length - 3 * unit, 1.6),
        (length, 0.0),
        (length - 3 * unit, -1.6),
        (-5 * unit, -1.6),
    )
    return [
        (x + a * ahead[0] + s * unit * aside[0], y + a * ahead[1] + s * unit * aside[1]) for a, s in along
    ]


def _rectangle(x: float, y: float, width: float, height: float) -> Places:
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]


def _box(x: float, y: float, radius: float) -> tuple[float, float, float, float]:
    return ((x - radius) * FINE, (y - radius) * FINE, (x + radius) * FINE, (y + radius) * FINE)


def _fitting(text: str, size: float, room: float, font: bytes) -> float:
    """The size at which a line is no wider than there is room, both in units."""
    wide = _face(font, 100.0).getlength(text) / (100.0 * FINE) * size
    return size * min(1.0, room / wide) if wide else size


def _face(font: bytes, size: float) -> ImageFont.FreeTypeFont:
    # The other engine, where a computer has it, would space letters in ways of its own.
    return ImageFont.truetype(BytesIO(font), max(1.0, size * FINE), layout_engine=ImageFont.Layout.BASIC)
