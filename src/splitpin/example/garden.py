"""Where it happens: paper sky, a brick wall with its coping, grass."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from splitpin.example.paper import (
    MOSS,
    PX_PER_MM,
    Colour,
    Cutting,
    Picture,
    colour,
    cut,
    enlarge,
    flat,
    luminance,
    noise,
    ramp,
    screen,
    stock,
)
from splitpin.example.scissors import Points, blob, ellipse, polygon

SKY: Colour = (176, 204, 192)
BRICKS: tuple[Colour, ...] = ((88, 62, 58), (150, 106, 92), (196, 150, 128), (232, 208, 178))
STONE: tuple[Colour, ...] = ((104, 96, 88), (170, 158, 140), (212, 200, 176), (240, 230, 208))
MEADOW: tuple[Colour, ...] = ((30, 44, 38), MOSS, (120, 142, 92), (196, 204, 146))


def mirrored(picture: Picture, height: int, width: int) -> Picture:
    """A texture laid side by side, turned over each time so that no seam shows."""
    rows, columns = (
        _there_and_back(n, side) for n, side in zip((height, width), picture.shape, strict=False)
    )
    return np.asarray(picture[rows][:, columns], np.float32)


def _there_and_back(count: int, side: int) -> npt.NDArray[np.intp]:
    way = np.arange(count) % (2 * side)
    return np.where(way < side, way, 2 * side - 1 - way)


def backdrop(found_grass: Picture, height: int, width: int) -> Cutting:
    """Paper sky ruled like an engraving, a sun of ochre paper, a far meadow."""
    y = np.linspace(0, 1, height, dtype=np.float32)[:, None]
    light = np.broadcast_to(0.15 + 0.85 * y**1.3, (height, width))
    sheet = ramp(np.asarray(light, np.float32), (140, 182, 176), SKY, (216, 222, 198), (240, 230, 204))
    # the ruled lines swell towards the top: so engravers darken a sky
    wander = noise("ruling", height, width, 40 * PX_PER_MM) * 1.2
    rows = np.arange(height, dtype=np.float32)[:, None]
    wave = 0.5 + 0.5 * np.cos(2 * np.pi * (rows + wander) / (2.1 * PX_PER_MM))
    line = np.clip((wave - (0.60 + 0.36 * y)) * 6, 0, 1)[..., None] * 0.16
    sheet = stock(np.asarray(sheet * (1 - line) + colour((84, 132, 130)) * line, np.float32), "sky", 0.016)
    out = np.dstack([np.rint(sheet * 255).astype(np.uint8), np.full((height, width), 255, np.uint8)])
    disc = sun(round(0.37 * height))
    lay(out, disc, round(0.735 * width - disc.shape[1] / 2), round(0.30 * height - disc.shape[0] / 2))
    meadow = grass(found_grass, "far meadow", round(0.30 * height), width, 0.62, 0.86)
    lay(out, meadow, 0, round(0.50 * height))
    return out


def lay(table: Cutting, cutting: Cutting, left: int, top: int) -> None:
    """Paste a cutting onto another one that is opaque, with a soft shadow below and to the right of it."""
    height, width = cutting.shape[:2]
    y0, x0, y1, x1 = (
        max(0, top),
        max(0, left),
        min(table.shape[0], top + height),
        min(table.shape[1], left + width),
    )
    part = cutting[y0 - top : y1 - top, x0 - left : x1 - left].astype(np.float32) / 255
    alpha = part[..., 3]
    below = table[y0:y1, x0:x1, :3].astype(np.float32) / 255
    cast = cv2.warpAffine(alpha, np.array([[1.0, 0, 3], [0, 1, 4]]), alpha.shape[::-1])
    cast = cv2.GaussianBlur(cast, (0, 0), 3.0)[..., None]
    below = below * (1 - 0.30 * cast)
    mixed = below * (1 - alpha[..., None]) + part[..., :3] * alpha[..., None]
    table[y0:y1, x0:x1, :3] = np.rint(mixed * 255)


def sun(size: int) -> Cutting:
    """A sun of ochre paper in coarse printing dots."""
    x = (np.arange(size, dtype=np.float32) - size / 2) / (size / 2)
    tone = np.clip(1.05 - 0.55 * np.hypot(x[None, :], x[:, None]), 0, 1)
    sheet = ramp(np.asarray(tone, np.float32), (214, 128, 60), (232, 168, 84), (246, 214, 140))
    disc = ellipse(size, size, (size / 2, size / 2), (size / 2 - 3, size / 2 - 3))
    return cut(stock(screen(sheet, 0.16), "sun"), disc, "sun", 0.7)


def cloud(name: str, points: Points, height: int, width: int) -> Cutting:
    """A cloud of cream paper, torn."""
    mask = blob(height, width, points)
    tear = 0.10 * noise(name, height, width, 9) + 0.05 * noise(name + " fine", height, width, 3)
    torn = np.clip((cv2.GaussianBlur(mask, (0, 0), 6) + tear - 0.5) * 8, 0, 1)
    y = np.linspace(1, 0, height, dtype=np.float32)[:, None]
    sheet = flat(name, height, width, (250, 243, 226), 0.02) * (0.88 + 0.12 * y[..., None])
    return cut(np.asarray(sheet, np.float32), np.asarray(torn, np.float32), name, 0.0, shade=0.06)


def bricks(found: Picture, height: int, width: int) -> Picture:
    """A wall from the picture ``brick``: a path that runs away, made square and turned upright."""
    source = np.array([(59, 0), (453, 0), (511, 511), (0, 511)], np.float32)
    size = 1000
    target = np.array([(0, 0), (size, 0), (size, size), (0, size)], np.float32)
    square = cv2.warpPerspective(
        enlarge(found, 1.0), cv2.getPerspectiveTransform(source, target), (size, size), flags=cv2.INTER_CUBIC
    )
    courses = cv2.rotate(square, cv2.ROTATE_90_CLOCKWISE)
    grown = enlarge(np.asarray(np.clip(courses, 0, 1), np.float32), 1.1, 0.8)
    tone = luminance(mirrored(grown, height, width))
    tone = np.clip((tone - 0.28) / 0.40, 0, 1)
    tone = (
        tone + 0.05 * noise("weather", height, width, 24 * PX_PER_MM) - 0.04 * noise("soot", height, width, 9)
    )
    return stock(screen(ramp(np.asarray(np.clip(tone, 0, 1), np.float32), *BRICKS), 0.13), "bricks", 0.03)


def wall(brick: Picture, gravel: Picture, height: int, width: int, coping: int) -> Cutting:
    """The garden wall under its coping of stone, the coping's top at the top of the sheet."""
    out = bricks(brick, height, width)
    fall = np.clip((np.arange(height, dtype=np.float32) - coping) / (4 * PX_PER_MM), 0, 1)[:, None, None]
    out = out * (0.62 + 0.38 * fall)
    grit = luminance(mirrored(enlarge(gravel, 1.0), coping, width))
    slab = 0.55 + 0.32 * (grit - 0.5) + 0.04 * noise("coping", coping, width, 60)
    y = np.linspace(0, 1, coping, dtype=np.float32)[:, None]
    slab = slab + 0.26 * np.exp(-((y / 0.16) ** 2)) - 0.22 * np.clip((y - 0.72) / 0.28, 0, 1)
    for joint in range(430, width, 640):
        wide = np.abs(np.arange(width, dtype=np.float32) - joint)[None, :]
        slab = slab - 0.4 * np.clip(1 - wide / 3.5, 0, 1)
    out[:coping] = stock(screen(ramp(np.asarray(np.clip(slab, 0, 1), np.float32), *STONE), 0.08), "coping")
    edge = np.abs(np.arange(height) - coping)[:, None, None] < 2.2
    out = np.where(edge, colour((246, 238, 220)), out)
    mask = np.ones((height, width), np.float32)
    return cut(np.asarray(out, np.float32), mask, "wall", 0.5)


def grass(found: Picture, name: str, height: int, width: int, tall: float, dark: float = 1.0) -> Cutting:
    """A strip of grass from the picture ``grass``, cut into blades.

    ``tall`` is how much of its height the blades may take.
    """
    tone = luminance(mirrored(enlarge(found, 1.35, 0.9), height, width))
    tone = np.clip((tone - 0.18) / 0.58, 0, 1) * dark
    y = np.linspace(0, 1, height, dtype=np.float32)[:, None]
    tone = np.clip(tone * (1.15 - 0.5 * y), 0, 1)
    sheet = stock(screen(ramp(np.asarray(tone, np.float32), *MEADOW), 0.10), name)
    generator = np.random.default_rng(len(name) * 7919 + width)
    ground = round(height * tall)
    mask = np.zeros((height, width), np.float32)
    mask[ground:] = 1.0
    x = -10.0
    while x < width + 10:
        top = ground - float(generator.uniform(0.25, 1.0)) * (ground - 6)
        lean, half = float(generator.normal(0, 16)), float(generator.uniform(8, 15))
        middle = x + lean * 0.45, ground + (top - ground) * 0.6
        blade = np.array(
            [
                (x - half, ground + 30),
                (x - half * 0.8, ground),
                (middle[0] - half * 0.4, middle[1]),
                (x + lean, top),
                (middle[0] + half * 0.5, middle[1]),
                (x + half * 0.8, ground),
                (x + half, ground + 30),
            ]
        )
        x0, x1 = max(0, int(blade[:, 0].min()) - 2), min(width, int(blade[:, 0].max()) + 3)
        if x1 > x0:
            mask[:, x0:x1] = np.maximum(mask[:, x0:x1], polygon(height, x1 - x0, blade - [x0, 0]))
        x += float(generator.uniform(9, 22))
    return cut(sheet, mask, name, 0.32, rim=(206, 210, 160), shade=0.2)


CLOUDS: dict[str, tuple[int, int, Points]] = {
    "cloud-1": (190, 620, [
        (30, 150), (70, 110), (140, 108), (180, 56), (260, 30), (340, 50), (390, 90), (460, 80), (520, 108),
        (590, 140), (560, 168), (310, 172), (80, 170),
    ]),
    "cloud-2": (130, 430, [
        (20, 104), (60, 74), (120, 70), (170, 34), (240, 30), (290, 62), (350, 66), (408, 98), (380, 116),
        (200, 118), (50, 116),
    ]),
}  # fmt: skip
"""Height, width and outline of each cloud."""
