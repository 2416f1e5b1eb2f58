"""Old coins from the picture ``coins``: printed in copper, silver and gold, cut along their worn edges."""

from __future__ import annotations

import cv2
import numpy as np

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.recipe import Recipe
from splitpin.example.paper import INK, STOCK, Colour, Mask, Picture, enlarge, luminance, ramp, screen, stock
from splitpin.example.scissors import Points, blob, scaled

SCALE = 3.0
"""Pixels of the print for one of the found picture."""
ACROSS_MM = 21.0
"""How wide each coin is on the table: money of all sizes is worth the same here."""
INK_MM = 0.15
MARGIN = 24
"""How far beyond a coin's edge it is worked on, pixels of the print."""

METALS: dict[str, tuple[Colour, ...]] = {
    "copper": (INK, (104, 52, 34), (186, 98, 58), (232, 160, 112), (252, 220, 184)),
    "silver": (INK, (92, 92, 92), (158, 160, 156), (214, 214, 206), (250, 248, 238)),
    "gold": (INK, (112, 74, 26), (206, 150, 52), (238, 200, 104), (254, 240, 190)),
}
TRAY: tuple[Colour, ...] = ((20, 20, 24), (70, 72, 74), (140, 140, 136), STOCK)
"""What the coins lie on, and those that are not wanted."""

COINS: dict[str, tuple[str, Points]] = {
    "coin-1": ("copper", [
        (124, 196), (123.5, 201.5), (121, 207), (118, 211.5), (113.5, 215), (108, 217), (102.5, 217.5),
        (97, 216.5), (91.5, 215), (87, 211.5), (83, 207), (81, 202), (80, 196), (81, 190.5), (83.5, 185),
        (87, 180.5), (91.5, 177), (97, 175), (102.5, 175), (108, 175.5), (113, 177.5), (118, 180.5),
        (121.5, 185), (123.5, 190.5),
    ]),
    "coin-2": ("silver", [
        (236.5, 193.5), (236, 199.5), (234, 205.5), (230.5, 210.5), (225, 213.5), (219.5, 215.5),
        (213.5, 217), (207.5, 216.5), (201.5, 214.5), (196.5, 210.5), (192.5, 205.5), (190, 200),
        (189, 193.5), (189.5, 187), (192, 181), (197, 177), (202, 173), (207.5, 171), (213.5, 170),
        (219.5, 171), (225, 173.5), (230, 177), (233.5, 182), (235.5, 187.5),
    ]),
    "coin-3": ("gold", [
        (179, 51), (178.5, 57), (176.5, 62.5), (173, 67.5), (168, 71), (162, 73), (156, 73.5), (150, 73),
        (144.5, 70.5), (139.5, 67), (135.5, 62.5), (133, 57), (132, 51), (133, 45), (135.5, 39.5),
        (139.5, 35), (144.5, 31.5), (150, 29), (156, 28.5), (162, 29), (167.5, 31.5), (172, 35.5),
        (175.5, 40), (178, 45.5),
    ]),
    "coin-4": ("copper", [
        (296.5, 120), (295, 126.5), (293, 132.5), (288.5, 137), (283.5, 141), (277.5, 143.5),
        (271.5, 144), (265.5, 142.5), (260, 140), (254.5, 137), (250, 132.5), (246.5, 127), (245.5, 120),
        (246.5, 113), (249, 107), (253.5, 102), (259, 98.5), (265, 96), (271.5, 95), (278, 95.5),
        (284.5, 98), (289, 102.5), (294, 107), (296, 113.5),
    ]),
    "coin-5": ("gold", [
        (379.5, 187.5), (379, 195.5), (375.5, 203), (370.5, 209.5), (363.5, 214.5), (356, 217),
        (348, 218), (340, 217.5), (332, 214.5), (325.5, 210), (320, 203.5), (316.5, 196), (315.5, 187.5),
        (316.5, 179), (319.5, 171.5), (325, 164.5), (332, 160.5), (340, 157), (348, 156), (356.5, 157),
        (364, 160), (370.5, 165), (375.5, 172), (378.5, 179.5),
    ]),
    "coin-6": ("silver", [
        (74.5, 261), (73, 268), (70.5, 274.5), (66, 280), (60.5, 284), (54, 287), (47, 288),
        (39.5, 287.5), (33, 285), (27, 281), (22, 275), (19.5, 268.5), (18.5, 261), (19, 253.5),
        (22, 246.5), (26.5, 241), (32.5, 236.5), (39.5, 233.5), (47, 232.5), (54.5, 233.5),
        (61.5, 236.5), (67.5, 241), (72, 247), (74, 254),
    ]),
    "coin-7": ("gold", [
        (297, 53), (296, 58), (294, 63), (291, 67.5), (286.5, 70), (281, 71.5), (276, 72), (271, 71),
        (266, 69.5), (262, 66.5), (259, 62.5), (256, 58), (255.5, 53), (256, 48), (258.5, 43.5),
        (261.5, 39.5), (266, 36), (270.5, 34.5), (276, 33.5), (281, 34.5), (286.5, 36), (290.5, 39),
        (294, 43), (296, 48),
    ]),
    "coin-8": ("copper", [
        (296.5, 194), (296, 200), (294.5, 205.5), (291.5, 211.5), (286.5, 215), (280.5, 216.5),
        (274.5, 216), (269, 214), (264, 212), (259, 209), (255, 205), (251.5, 200), (251, 194),
        (252.5, 188), (254.5, 182.5), (258, 177.5), (263, 174.5), (268.5, 173), (274.5, 172),
        (280, 173.5), (285, 175.5), (289, 179.5), (292, 183.5), (295, 188.5),
    ]),
}  # fmt: skip
"""The metal of each coin, and where a knife is set along its edge in the found picture, in its pixels."""


def sheet(found: Picture) -> Picture:
    """All coins on one sheet, those of the film in their metals, as postcards were coloured by hand."""
    grown = enlarge(found, SCALE, 1.1)
    tone = luminance(grown)
    printed = ramp(np.asarray(np.clip(tone, 0, 1), np.float32), *TRAY)
    for metal, edge in COINS.values():
        on_print = scaled(edge, SCALE)
        around = _around(on_print)
        part = tone[around]
        height, width = part.shape
        left, top = around[1].start, around[0].start
        coin = blob(height, width, [(x - left, y - top) for x, y in on_print])
        low, high = np.percentile(part[coin > 0.5], (5, 97))
        metallic = np.clip(0.14 + 0.86 * np.clip((part - low) / (high - low), 0, 1) ** 0.75, 0, 1)
        # worn coins of different sharpness get the same lit rim and the same shade beside it
        metallic = metallic + _rim(coin)
        # the colour is laid on a little past the edge, as a brush does
        laid = cv2.GaussianBlur(cv2.dilate(coin, np.ones((9, 9), np.uint8)), (0, 0), 2.0)[..., None]
        ink = ramp(np.asarray(np.clip(metallic, 0, 1), np.float32), *METALS[metal])
        printed[around] = printed[around] * (1 - laid) + ink * laid
    return stock(screen(printed, 0.07), "coins print")


def recipe(name: str) -> Recipe:
    """Cut one coin out of the sheet with a knife, and blacken its edge."""
    edge = scaled(COINS[name][1], SCALE)
    across = max(x for x, _ in edge) - min(x for x, _ in edge)
    ppi = round(across / ACROSS_MM * MM_PER_INCH, 2)
    return Recipe(picture="coins-print", edge="knife", knife=edge, ink_mm=INK_MM, ppi=ppi)


def _around(edge: Points) -> tuple[slice, slice]:
    """The part of the sheet with a coin in it, and a little more."""
    (x0, y0), (x1, y1) = (np.asarray(edge).min(axis=0), np.asarray(edge).max(axis=0))
    return slice(max(0, int(y0) - MARGIN), int(y1) + MARGIN), slice(
        max(0, int(x0) - MARGIN), int(x1) + MARGIN
    )


def _rim(coin: Mask) -> Mask:
    """Light on the side of the lamp, the top left, and a groove inside of it."""
    inside = np.asarray(coin > 0.5, np.uint8)
    depth = cv2.distanceTransform(inside, cv2.DIST_L2, 5) / np.sqrt(inside.sum() / np.pi)
    broad = cv2.GaussianBlur(coin, (0, 0), 12.0)
    lit = 8.0 * (
        cv2.Sobel(broad, cv2.CV_32F, 1, 0, scale=0.5) + cv2.Sobel(broad, cv2.CV_32F, 0, 1, scale=0.5)
    )
    rim = 0.16 * lit * np.exp(-(((depth - 0.06) / 0.045) ** 2)) - 0.14 * np.exp(
        -(((depth - 0.16) / 0.03) ** 2)
    )
    return np.asarray(rim * inside, np.float32)
