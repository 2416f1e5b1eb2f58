"""The picture ``coffee``: printed twice; of one print the cup is cut out, of the other the table is mended.

So a wooden table is there that nobody photographed empty, and the cup can be slid off it. Coordinates in
this file are pixels of the found picture unless a name says otherwise.
"""

from __future__ import annotations

import cv2
import numpy as np

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.recipe import Recipe, Stroke
from splitpin.example.paper import INK, STOCK, Colour, Mask, Picture, enlarge, luminance, ramp, screen, stock
from splitpin.example.scissors import Points, blob, scaled

CUP_PX_PER_MM = 4.8
"""How fine the print of the cup is: as fine as the film's picture."""
CUP_SCALE = 2.4
"""Pixels of it for one of the found picture: the cup fills most of the field's height."""
TABLE_PX_PER_MM = 2.95
"""How fine the print of the table is: finer, the found picture has nothing more to show."""
TABLE_SCALE = 2.0
"""Pixels of it for one of the found picture: the table fills the field and a little more."""
TABLE_ROWS = (40, 378)
"""The rows of the found picture that the table is printed from."""

AROUND: Points = [
    (279, 14.5), (259, 17), (239.5, 22), (219.5, 31.5), (200, 45.5), (183, 65), (165, 76), (145, 85),
    (125, 100), (106.5, 119), (93, 139), (83, 159), (76.5, 179), (73.5, 198.5), (73, 218.5), (75, 238),
    (80, 258), (88, 278), (99, 298), (114.5, 318), (133.5, 337), (153.5, 352.5), (173, 365), (193, 375),
    (213, 382), (233, 387), (253, 392), (273, 393.5), (292.5, 393), (312, 391), (332, 387), (352, 381.5),
    (372, 375), (392, 366), (412, 353), (431.5, 338), (450, 318), (463.5, 298), (473, 278.5),
    (478.5, 258.5), (482, 239), (482, 219), (480, 199), (472, 179), (462.5, 159), (449, 139),
    (434, 119.5), (423, 100), (427, 80), (416.5, 64), (396.5, 65), (378.5, 49), (358.5, 34), (339, 24.5),
    (319, 18.5), (299, 15.5),
]  # fmt: skip
"""The loop around cup, saucer and spoon, a finger's breadth outside."""
BRIM: Points = [
    (280, 22), (258, 25), (236, 32), (214, 44.5), (193, 64), (174, 81.5), (152, 89.5), (130, 106.5),
    (109.5, 128), (96, 150.5), (86.5, 173), (82, 195), (81, 217), (83, 239), (90, 261.5), (99.5, 284),
    (115, 306), (135.5, 328), (158, 345.5), (180, 359.5), (202, 370), (224.5, 377), (247, 382),
    (269, 386), (291, 385), (313, 383), (335.5, 378), (358, 371.5), (380, 363), (402, 350),
    (424.5, 333.5), (445, 311.5), (459, 289), (468, 267), (473, 245), (475, 222.5), (472, 200),
    (463, 178), (451.5, 156), (435, 134), (417.5, 111.5), (417, 89), (412, 71), (389.5, 72), (369, 51.5),
    (347, 37), (325, 28), (302.5, 24),
]  # fmt: skip
"""The way of a stroke just inside the edge: saucer and table are of nearly one colour here and there."""
SHINE: tuple[tuple[float, Points], ...] = (
    (3.0, [(90, 210), (94, 240), (104, 272)]),
    (3.0, [(408, 78), (417, 76), (413, 95), (409, 110)]),
    (20.0, [(345, 300), (365, 280), (385, 290), (370, 310)]),
    (60.0, [(280, 130), (250, 240), (300, 300)]),
)
"""Radius and way of strokes over what shines as the table does: the brim, the spoon, the coffee."""
INK_MM = 0.25

WOOD: tuple[Colour, ...] = ((26, 16, 14), (62, 33, 24), (110, 62, 38), (154, 98, 60), (206, 162, 112))
SHADED: Points = [
    (160, 22), (200, 8), (290, 0), (370, 14), (398, 52), (420, 52), (442, 68), (438, 100), (460, 130),
    (492, 175), (502, 240), (488, 320), (446, 376), (390, 410), (270, 410), (150, 406), (86, 345), (56, 290),
    (56, 210), (68, 140), (120, 78),
]  # fmt: skip
"""Cup, saucer, spoon and the darkest of their shadow."""
BEYOND: Points = [(-30, -30), (190, -30), (160, 5), (70, 66), (0, 116), (-30, 130)]
"""Where the table ends and the dark of the room begins."""
NEAR = ((12.0, 1.0), (40.0, 0.02), (120.0, 0.001))
"""How far from a pixel its light is looked for, in pixels, and what that counts: the nearest most."""


def cup_print(found: Picture) -> Picture:
    """The whole picture in the film's inks, its red kept."""
    tone = np.clip((luminance(found) - 0.03) / 0.87, 0, 1)
    inked = ramp(tone, INK, (120, 40, 28), (206, 120, 74), STOCK, (255, 250, 238))
    toned = np.asarray(np.clip(0.25 * inked + 0.75 * found * 1.08, 0, 1), np.float32)
    return stock(screen(enlarge(toned, CUP_SCALE), 0.08), "coffee print")


def cup_recipe() -> Recipe:
    """Cut cup, saucer and spoon out of their print in one piece."""
    strokes = [_stroke([*BRIM, BRIM[0]], 2.5), *(_stroke(way, radius) for radius, way in SHINE)]
    return Recipe(
        picture="coffee-print",
        loop=scaled(AROUND, CUP_SCALE),
        keep=strokes,
        ink_mm=INK_MM,
        ppi=CUP_PX_PER_MM * MM_PER_INCH,
    )


def _stroke(way: Points, radius: float) -> Stroke:
    return Stroke(points=scaled(way, CUP_SCALE), radius=round(radius * CUP_SCALE, 1))


def table_print(found: Picture) -> Picture:
    """The table as if it had been lit evenly, in brown: what is mended then suits every place of it."""
    height, width = found.shape[:2]
    wood = 1 - np.maximum(blob(height, width, SHADED), blob(height, width, BEYOND))
    bright = luminance(found)
    lamp = _about(bright, wood)
    contrast = np.sqrt(np.maximum(_about((bright - lamp) ** 2, wood), 1e-6))
    grain = (bright - lamp) / np.maximum(contrast, 0.02)
    # what shines would be copied, and nothing shines in two places
    tone = np.clip(0.42 + 0.11 * grain + 0.25 * (lamp - 0.4), 0, 0.68)
    toned = 0.85 * ramp(np.asarray(tone, np.float32), *WOOD) + 0.15 * found
    grown = enlarge(np.asarray(toned, np.float32), TABLE_SCALE, 0.9)
    printed = stock(screen(grown, 0.06, 0.7), "table", 0.02, 0.012)
    top, bottom = (round(row * TABLE_SCALE) for row in TABLE_ROWS)
    return np.ascontiguousarray(printed[top:bottom])


def table_hole(height: int, width: int) -> Mask:
    """What is not wood in the print of the table."""
    top = round(TABLE_ROWS[0] * TABLE_SCALE)
    holes = (
        blob(height, width, [(x * TABLE_SCALE, y * TABLE_SCALE - top) for x, y in points])
        for points in (SHADED, BEYOND)
    )
    return np.maximum(*holes)


def _about(what: Mask, wood: Mask) -> Mask:
    """The mean of the wood round about each pixel, from farther away where none is near."""
    total, count = np.zeros_like(what), np.zeros_like(what)
    for far, weight in NEAR:
        total += weight * cv2.GaussianBlur(what * wood, (0, 0), far)
        count += weight * cv2.GaussianBlur(wood, (0, 0), far)
    return np.asarray(total / np.maximum(count, 1e-9), np.float32)
