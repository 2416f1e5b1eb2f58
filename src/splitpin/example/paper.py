"""Printed paper: what makes pictures of different origin look like cuttings from one old magazine.

Comes in: floating pictures (height, width, 3), sRGB, 0 to 1. Goes out: the same, printed in the film's few
inks on the same stock, or cut out as 8-bit RGBA with a rim of bare paper.
"""

from __future__ import annotations

from zlib import crc32

import cv2
import numpy as np
import numpy.typing as npt

Picture = npt.NDArray[np.float32]
"""(height, width, 3), sRGB, 0 to 1."""
Mask = npt.NDArray[np.float32]
"""(height, width), 0 outside and 1 inside."""
Cutting = npt.NDArray[np.uint8]
"""(height, width, 4), sRGB and straight alpha."""
Colour = tuple[int, int, int]

PX_PER_MM = 7.0
"""How fine the cut-outs are: half as fine again as the picture that is made of them."""

STOCK: Colour = (243, 234, 214)
INK: Colour = (43, 36, 36)
VERMILION: Colour = (203, 66, 42)
OCHRE: Colour = (219, 158, 62)
TEAL: Colour = (92, 137, 132)
MOSS: Colour = (72, 96, 72)
ROSE: Colour = (226, 160, 138)
SILVER: Colour = (178, 178, 170)

GRAIN_CELL_MM = 0.22
SCREEN_MM = 1.15
"""Pitch of the printing dots: coarse, as in a newspaper seen through a loupe."""


def colour(rgb: Colour) -> Picture:
    """A colour as a floating value that spreads over a picture."""
    return np.asarray(rgb, np.float32) / np.float32(255.0)


def noise(name: str, height: int, width: int, cell: float) -> Mask:
    """Smooth noise about 0 with deviation 1, the same for the same name.

    ``cell`` is the size of its blotches in pixels.
    """
    generator = np.random.default_rng(crc32(name.encode()))
    small = generator.standard_normal(
        (max(2, round(height / cell) + 2), max(2, round(width / cell) + 2)), dtype=np.float32
    )
    grown = cv2.resize(small, (width, height), interpolation=cv2.INTER_CUBIC)
    return np.asarray(grown / (grown.std() + 1e-6), np.float32)


def luminance(picture: Picture) -> Mask:
    """How bright each pixel looks: Rec. 709 weights on the encoded values, enough for printing."""
    return np.asarray(picture @ np.array([0.2126, 0.7152, 0.0722], np.float32), np.float32)


def ramp(tone: Mask, *inks: Colour) -> Picture:
    """Print a tone, 0 to 1, in inks from the darkest to the lightest."""
    stops = np.linspace(0.0, 1.0, len(inks))
    levels = np.linspace(0, 1, 256)
    table = np.stack([np.interp(levels, stops, [ink[c] / 255 for ink in inks]) for c in range(3)], axis=1)
    return np.asarray(table.astype(np.float32)[np.clip(tone * 255.0, 0, 255).astype(np.uint8)])


def screen(picture: Picture, strength: float = 0.10, pitch_mm: float = SCREEN_MM) -> Picture:
    """Lay the printing dots over a picture: strongest in the middle tones, at 45 degrees as black was."""
    height, width = picture.shape[:2]
    k = np.float32(2 * np.pi / (pitch_mm * PX_PER_MM) / np.sqrt(2))
    x = np.arange(width, dtype=np.float32)[None, :] * k
    y = np.arange(height, dtype=np.float32)[:, None] * k
    # cos(x + y) + cos(x - y) is 2 cos x cos y: the turned grid of dots is a product of two rows
    dots = np.cos(x) * np.cos(y)
    tone = luminance(picture)
    weight = (4.0 * tone * (1.0 - tone)) ** 1.5 * strength
    return np.asarray(picture * (1.0 + (dots * weight)[..., None]), np.float32)


def stock(picture: Picture, name: str, grain: float = 0.022, mottle: float = 0.018) -> Picture:
    """Give a print the tooth and the blotches of cheap paper."""
    height, width = picture.shape[:2]
    tooth = noise(name, height, width, GRAIN_CELL_MM * PX_PER_MM) * grain
    blotch = noise(name + " blotches", height, width, 6.0 * PX_PER_MM) * mottle
    return np.asarray(np.clip(picture * (1.0 + (tooth + blotch)[..., None]), 0, 1), np.float32)


def flat(name: str, height: int, width: int, ink: Colour, grain: float = 0.03) -> Picture:
    """A sheet of coloured paper."""
    fibre = cv2.GaussianBlur(noise(name + " fibre", height, width, 2.0), (0, 0), 4.0, sigmaY=0.6)
    sheet = np.broadcast_to(colour(ink), (height, width, 3)) * (1.0 + 0.05 * fibre[..., None])
    return stock(np.asarray(sheet, np.float32), name, grain, 0.02)


def enlarge(picture: Picture, scale: float, crisp: float = 0.6) -> Picture:
    """Enlarge a small picture for printing, its edges made crisp again."""
    height, width = picture.shape[:2]
    size = (max(1, round(width * scale)), max(1, round(height * scale)))
    grown = cv2.resize(picture, size, interpolation=cv2.INTER_CUBIC if scale > 1 else cv2.INTER_AREA)
    soft = cv2.GaussianBlur(grown, (0, 0), max(0.8, scale * 0.9))
    return np.asarray(np.clip(grown + crisp * (grown - soft), 0, 1), np.float32)


def cut(
    picture: Picture,
    mask: Mask,
    name: str,
    rim_mm: float = 0.55,
    rim: Colour = STOCK,
    shade: float = 0.10,
) -> Cutting:
    """Cut a print out with scissors.

    Parameters
    ----------
    picture
        The print.
    mask
        Where the scissors went, 0 to 1, soft over one pixel.
    name
        Seeds the unsteadiness of the rim.
    rim_mm
        The bare paper left around the figure, mm; 0 cuts flush.
    rim
        The colour of the bare paper.
    shade
        How much darker the very edge is: the paper's thickness, turned away from the lamp.
    """
    inside = np.asarray(mask > 0.5, np.uint8)
    # a frame of outside, so that a shape that fills its sheet still has edges
    depth = cv2.distanceTransform(np.pad(inside, 1), cv2.DIST_L2, 5)[1:-1, 1:-1]
    height, width = mask.shape
    out = picture
    if rim_mm > 0:
        wander = rim_mm * PX_PER_MM * (1.0 + 0.28 * noise(name + " scissors", height, width, 5 * PX_PER_MM))
        bare = np.clip(wander - depth + 0.5, 0, 1)[..., None]
        out = out * (1 - bare) + colour(rim) * bare
    edge = np.clip(1.0 - depth / (0.22 * PX_PER_MM), 0, 1)[..., None]
    out = np.clip(out * (1.0 - shade * edge), 0, 1)
    rgba = np.dstack([out, np.clip(mask, 0, 1)])
    rgba[mask <= 0] = 0.0
    return np.asarray(np.rint(rgba * 255.0), np.uint8)


def trimmed(cutting: Cutting) -> tuple[Cutting, tuple[int, int]]:
    """A cutting without its empty margins, and where its top left corner was."""
    ys, xs = np.nonzero(cutting[..., 3])
    top, left = max(0, int(ys.min()) - 1), max(0, int(xs.min()) - 1)
    return cutting[top : int(ys.max()) + 2, left : int(xs.max()) + 2], (left, top)
