"""Captions drawn over a frame: white letters with a dark edge, low in the middle, clear of the margins."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from splitpin.frames.rect import Rect
from splitpin.measure.light import light_table, signal_table
from splitpin.measure.table import Stage

SAFE = 0.05
"""The part of the picture's width and height beside which no letters go: 90 % are safe (EBU R 95, from
memory)."""
SIZE = 0.052
"""The size of the type against the picture's height, or against its width at 16:9 where it is narrower:
common practice for letters that are read from a sofa."""
EDGE = 0.10
"""The width of the dark edge against the size of the type."""
SMALLEST = 5


class Plate(NamedTuple):
    """A caption, drawn, and where it lies in the frame."""

    rect: Rect
    ink: NDArray[np.float64]
    """(height, width): how much of a pixel the letters cover, 0..1."""
    edge: NDArray[np.float64]
    """How much they and their edge cover."""


def plate(lines: Sequence[str], stage: Stage, font: bytes) -> Plate:
    """Set a caption.

    Parameters
    ----------
    lines
        From the upper to the lower.
    stage
        The frame's size.
    font
        A TrueType or OpenType font.
    """
    room = stage.width * (1 - 2 * SAFE)
    size = max(SMALLEST, round(SIZE * min(stage.height, stage.width * 9 / 16 * 1.3)))
    while size > SMALLEST and max(_face(font, size).getlength(line) for line in lines) + size / 2 > room:
        size -= 1
    face = _face(font, size)
    rim = max(1, round(size * EDGE))
    step = round(size * 1.25)
    width = int(min(stage.width, max(face.getlength(line) for line in lines) + 2 * rim + 4))
    height = min(stage.height, step * len(lines) + 2 * rim)
    ink, edge = (Image.new("L", (width, height)) for _ in range(2))
    for i, line in enumerate(lines):
        at = (width / 2, rim + step * i + step / 2)
        ImageDraw.Draw(ink).text(at, line, 255, face, anchor="mm")
        ImageDraw.Draw(edge).text(at, line, 255, face, anchor="mm", stroke_width=rim)
    x0 = (stage.width - width) // 2
    y0 = max(0, round(stage.height * (1 - SAFE)) - height)
    over = np.maximum(np.asarray(ink, np.float64), np.asarray(edge, np.float64)) / 255
    return Plate(Rect(x0, y0, x0 + width, y0 + height), np.asarray(ink, np.float64) / 255, over)


def draw_plate(rgb: NDArray[np.uint8], shown: Plate) -> None:
    """Lay a caption over a frame, uint8 (height, width, 3), in linear light."""
    x0, y0, x1, y1 = shown.rect
    under = light_table()[rgb[y0:y1, x0:x1]] / 65535
    edge, ink = shown.edge[..., None], shown.ink[..., None]
    light = under * (1 - edge) + 0.004 * (edge - ink) + 0.92 * ink
    rgb[y0:y1, x0:x1] = signal_table()[np.rint(np.clip(light, 0, 1) * 65535).astype(np.uint16)]


def _face(font: bytes, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(BytesIO(font), size, layout_engine=ImageFont.Layout.BASIC)
