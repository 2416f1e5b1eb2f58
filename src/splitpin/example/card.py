"""The title, of letters cut from many papers."""

from __future__ import annotations

from functools import lru_cache

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from splitpin.example.paper import (
    INK,
    MOSS,
    OCHRE,
    STOCK,
    TEAL,
    VERMILION,
    Colour,
    Cutting,
    Mask,
    colour,
    cut,
    flat,
    noise,
    screen,
    stock,
)
from splitpin.example.scissors import polygon

SCRAPS: tuple[tuple[Colour, Colour], ...] = (
    (VERMILION, STOCK),
    (STOCK, INK),
    (OCHRE, INK),
    (TEAL, STOCK),
    (INK, STOCK),
    ((236, 208, 168), VERMILION),
    (MOSS, STOCK),
)
"""Paper and letter of each scrap, in turn."""


def letter(sign: str, size: int) -> Mask:
    """A letter, as black as wooden type."""
    sheet = Image.new("L", (size * 2, size * 2), 0)
    font = ImageFont.load_default(size)
    ImageDraw.Draw(sheet).text((size, size), sign, 255, font, anchor="mm", stroke_width=max(1, size // 17))
    return np.asarray(sheet, np.float32) / 255.0


@lru_cache(maxsize=16)
def scrap(sign: str, number: int) -> Cutting:
    """One letter on its scrap of paper."""
    generator = np.random.default_rng(number * 31)
    size = 230
    paper, ink = SCRAPS[number % len(SCRAPS)]
    side = 260 + 24 * (number % 3)
    mark = letter(sign, size)
    middle = mark.shape[0] // 2
    sheet = flat(f"scrap {number}", side, side, paper)
    face = np.zeros((side, side), np.float32)
    half = side // 2
    face[:] = mark[middle - half : middle - half + side, middle - half : middle - half + side]
    worn = np.clip(face - 0.55 * np.clip(noise(f"wear {number}", side, side, 7) - 1.2, 0, 1), 0, 1)
    printed = sheet * (1 - worn[..., None]) + colour(ink) * worn[..., None]
    j = generator.uniform(-9, 9, (4, 2))
    corners = np.array([(18, 14), (side - 18, 14), (side - 18, side - 14), (18, side - 14)], np.float64) + j
    return cut(
        stock(screen(np.asarray(printed, np.float32), 0.05), f"scrap {number}"),
        polygon(side, side, corners),
        f"scrap {number}",
        0.0,
    )


def title(take: int) -> Cutting:
    """EXACT CHANGE on two lines; take 2 lies a little differently, as paper does that was touched."""
    height, width = 700, 1900
    table = np.zeros((height, width, 4), np.float32)
    number = 0
    for line, (word, left) in enumerate((("EXACT", 270), ("CHANGE", 130))):
        for k, sign in enumerate(word):
            piece = scrap(sign, number)
            generator = np.random.default_rng(100 + number)
            angle = float(generator.uniform(-7, 7)) + (1.6 if (number + take) % 2 else -1.6) * (take - 1)
            side = piece.shape[0]
            room = int(side * 1.25)
            turn = cv2.getRotationMatrix2D((side / 2, side / 2), angle, 1.0)
            turn[:, 2] += (room - side) / 2
            flat_piece = piece.astype(np.float32) / 255
            flat_piece[..., :3] *= flat_piece[..., 3:]
            turned = np.clip(cv2.warpAffine(flat_piece, turn, (room, room), flags=cv2.INTER_LINEAR), 0, 1)
            x = left + k * 272 + int(generator.uniform(-10, 10))
            y = line * 318 + int(generator.uniform(6, 34))
            spot = table[y : y + room, x : x + room]
            turned = turned[: spot.shape[0], : spot.shape[1]]
            shadow = cv2.GaussianBlur(np.roll(turned[..., 3], (5, 4), axis=(0, 1)), (0, 0), 3.0) * 0.32
            spot[..., :3] *= (1 - shadow)[..., None]
            spot[..., 3] = spot[..., 3] + shadow * (1 - spot[..., 3])
            spot[:] = spot * (1 - turned[..., 3:]) + turned
            number += 1
    table[..., :3] /= np.maximum(table[..., 3:], 1e-6)
    return np.asarray(np.rint(np.clip(table, 0, 1) * 255), np.uint8)
