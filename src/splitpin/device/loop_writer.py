"""Pictures that go round for ever: GIF and WebP."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

import cv2
import numpy as np
import PIL
from numpy.typing import NDArray
from PIL import Image
from scipy.spatial import KDTree

from splitpin.device.pictures import read_picture
from splitpin.measure.light import light_table, signal_table

SIGNATURE = f"loop 1 pillow {PIL.__version__}"
"""What a loop depends on besides its pictures."""

Rgb = NDArray[np.uint8]
Frames = Callable[[], Iterator[Rgb]]
"""The pictures in order, as often as they are asked for; uint8 (height, width, 3), sRGB."""

CELLS = 64
"""Steps of each colour in the table that finds the nearest one of a palette."""
BAYER = 8
"""The side of the pattern of dots."""
SEEN = 256 * 256
"""Pixels from which the palette is made."""


def frame_of(file: Path) -> Rgb:
    """A picture that was drawn, uint8 (height, width, 3)."""
    return np.ascontiguousarray(read_picture(file)[..., :3])


def smaller(rgb: Rgb, width: int) -> Rgb:
    """A picture no wider than this; light, not signal, is averaged."""
    height, whole = rgb.shape[:2]
    if width >= whole:
        return rgb
    size = (width, max(1, round(height * width / whole)))
    light = cv2.resize(light_table()[rgb], size, interpolation=cv2.INTER_AREA)
    return np.asarray(signal_table()[light], np.uint8)


def gif(frames: Frames, delays: Sequence[int], colours: int) -> bytes:
    """A GIF that goes round for ever.

    All pictures share one palette, and the dots that stand for colours between lie in a pattern that stays
    where it is, so that what rests does not swarm and costs nothing.

    Parameters
    ----------
    frames
        The pictures.
    delays
        How long each is seen, in 1/100 s.
    colours
        2 to 255.
    """
    palette = _palette(frames, len(delays), colours)
    table = _nearest(palette)
    spread = 255 / max(2.0, colours ** (1 / 3))
    images = (_mapped(rgb, table, palette, spread) for rgb in frames())
    return _saved(images, "GIF", [10 * delay for delay in delays], disposal=1, optimize=False)


def webp(frames: Frames, delays: Sequence[int], quality: int) -> bytes:
    """A WebP that goes round for ever.

    Parameters
    ----------
    frames
        The pictures.
    delays
        How long each is seen, in 1/1000 s.
    quality
        0 to 100.
    """
    images = (Image.fromarray(rgb) for rgb in frames())
    return _saved(images, "WEBP", list(delays), quality=quality, method=4)


class Written(NamedTuple):
    """What a loop holds."""

    width: int
    height: int
    pictures: int
    """What looks the same as the one before it is not written again."""


def written(data: bytes) -> Written:
    """What a GIF or WebP holds."""
    with Image.open(BytesIO(data)) as loop:
        return Written(loop.width, loop.height, int(getattr(loop, "n_frames", 1)))


def _saved(images: Iterator[Image.Image], form: str, delays: list[int], **options: object) -> bytes:
    data = BytesIO()
    first = next(images)
    first.save(data, form, save_all=True, append_images=images, duration=delays, loop=0, **options)
    return data.getvalue()


def _palette(frames: Frames, count: int, colours: int) -> NDArray[np.uint8]:
    """The colours that stand best for all pictures together, uint8 (colours, 3)."""
    each = max(16, SEEN // max(1, count))
    parts = []
    for rgb in frames():
        pixels = rgb.reshape(-1, 3)
        # Every so manieth pixel, not a mean: small spots of strong colour must not be lost.
        parts.append(pixels[:: max(1, len(pixels) // each)])
    bins, counts = np.unique(np.concatenate(parts) // 8, axis=0, return_counts=True)
    # The root of how often: the green of an eye has its place beside all the sky.
    seen = np.repeat(bins * 8 + 4, np.ceil(np.sqrt(counts)).astype(np.int64), axis=0).astype(np.uint8)
    quantized = Image.fromarray(seen[None]).quantize(colours, Image.Quantize.MEDIANCUT, kmeans=3)
    found = np.array(quantized.getpalette() or [0, 0, 0], np.uint8).reshape(-1, 3)[:colours]
    return np.unique(found, axis=0)


def _nearest(palette: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """For each cell of colours, the number of the nearest of the palette."""
    steps = (np.arange(CELLS) + 0.5) * (256 / CELLS)
    cells = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    return np.asarray(KDTree(palette).query(cells)[1], np.uint8).reshape(CELLS, CELLS, CELLS)


def _mapped(rgb: Rgb, table: NDArray[np.uint8], palette: NDArray[np.uint8], spread: float) -> Image.Image:
    height, width = rgb.shape[:2]
    dots = np.tile(_PATTERN, (-(-height // BAYER), -(-width // BAYER)))[:height, :width, None]
    dotted = np.clip(rgb + np.rint(dots * spread * SOFT).astype(np.int16), 0, 255) * CELLS // 256
    image = Image.fromarray(table[dotted[..., 0], dotted[..., 1], dotted[..., 2]])
    image.putpalette(palette.tobytes())
    return image


SOFT = 0.35
"""How far the dots reach between two colours: as far as hides the steps, no further. [T]"""


def _bayer(side: int) -> NDArray[np.float64]:
    """The ordered pattern of Bayer (1973), -0.5 to 0.5."""
    pattern = np.zeros((1, 1))
    while len(pattern) < side:
        pattern = np.block([[4 * pattern, 4 * pattern + 2], [4 * pattern + 3, 4 * pattern + 1]])
    return (pattern + 0.5) / side**2 - 0.5


_PATTERN = _bayer(BAYER)
