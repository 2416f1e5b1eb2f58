"""The cup: rim, coffee and spoon from the picture ``coffee``, seen from lower down; the rest is glazed paper.

Coordinates in this file are pixels of our prints unless a name says otherwise.
"""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from splitpin.example.paper import (
    INK,
    SILVER,
    STOCK,
    VERMILION,
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
from splitpin.example.scissors import Points, bend, blob, ellipse, polygon, stroke

RIM = ((290.0, 112.5), (116.5, 93.5))
"""Centre and radii of the rim in the found picture."""
WIDE, DEEP = 252.0, 84.0
"""Radii of our rim: as wide, but seen from half as high."""
SPOON_AXIS = 12.8
"""How far the found spoon leans from upright, degrees."""

GLAZE: tuple[Colour, ...] = ((58, 18, 18), (140, 36, 28), VERMILION, (226, 108, 74), (250, 214, 186))


def rim(found: Picture) -> Cutting:
    """The rim with the coffee in it, squeezed to a flatter ellipse."""
    (cx, cy), (rx, ry) = RIM
    height, width = round(2 * DEEP) + 16, round(2 * WIDE) + 16
    x = (np.arange(width, dtype=np.float32) - width / 2) / np.float32(WIDE) * np.float32(rx) + np.float32(cx)
    y = (np.arange(height, dtype=np.float32) - height / 2) / np.float32(DEEP) * np.float32(ry) + np.float32(
        cy
    )
    map_x, map_y = np.meshgrid(x, y)
    seen = cv2.remap(found, map_x, map_y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    tone = np.clip((luminance(np.clip(seen, 0, 1)) - 0.03) / 0.87, 0, 1)
    # coffee stays brown by the picture's own colour, porcelain takes the stock's
    printed = 0.45 * ramp(tone, INK, (120, 66, 36), (206, 146, 84), STOCK, (255, 250, 238)) + 0.55 * seen
    mask = ellipse(height, width, (width / 2, height / 2), (WIDE, DEEP))
    return cut(stock(screen(np.asarray(np.clip(printed, 0, 1), np.float32)), "rim"), mask, "rim", rim_mm=0.3)


PROFILE = np.array(
    [(252, 0), (250, 90), (244, 200), (226, 320), (190, 420), (152, 480), (134, 505), (136, 524), (150, 545)],
    np.float64,
)
"""The cup's right side: half widths, and how far below the rim's middle they lie."""


def _half_width(below: npt.NDArray[np.float64] | float) -> npt.NDArray[np.float64]:
    return np.asarray(np.interp(np.asarray(below, np.float64), PROFILE[:, 1], PROFILE[:, 0]))


def _lower(line: npt.NDArray[np.float64], by: float) -> npt.NDArray[np.float64]:
    return np.asarray(line + np.array([0.0, by]))


def front() -> Cutting:
    """The body, with the front half of the rim on it: what hides the spoon's foot."""
    height, width = 672, 520
    cx, top = width / 2, DEEP
    t = np.linspace(0, np.pi, 60)
    right = PROFILE + np.array([cx, top])
    left = (PROFILE * [-1, 1] + np.array([cx, top]))[::-1]
    foot = np.stack([cx + 150 * np.cos(t), top + 545 + 28 * np.sin(t)], 1)
    lip = np.stack([cx - WIDE * np.cos(t), top + DEEP * np.sin(t)], 1)
    mask = polygon(height, width, np.concatenate([right, foot, left, lip]))
    below = np.arange(height, dtype=np.float64) - top
    u = np.clip((np.arange(width)[None, :] - cx) / _half_width(below)[:, None], -1, 1)
    v = np.clip(below[:, None] / 560.0, 0, 1)
    # a glazed drum: dark at both sides, one broad and one narrow window reflected in it
    tone = 0.58 * np.sqrt(np.clip(1 - (u * 0.93 + 0.10) ** 2, 0, 1)) + 0.02
    tone += 0.42 * np.exp(-(((u + 0.60) / 0.085) ** 2)) * np.clip(1.15 - 1.3 * np.abs(v - 0.42), 0, 1)
    tone += 0.16 * np.exp(-(((u - 0.80) / 0.06) ** 2)) * np.clip(1.0 - 1.5 * np.abs(v - 0.4), 0, 1)
    tone -= 0.20 * np.clip((v - 0.80) / 0.2, 0, 1)
    tone += 0.03 * noise("glaze", height, width, 60) + 0.012 * noise("glaze fine", height, width, 7)
    out = ramp(np.asarray(np.clip(tone, 0, 1), np.float32), *GLAZE)
    shade = cv2.GaussianBlur(polygon(height, width, np.concatenate([lip, _lower(lip, 34)[::-1]])), (0, 0), 6)
    out = np.asarray(out * (1 - 0.45 * shade[..., None]), np.float32)
    white = polygon(height, width, np.concatenate([lip, _lower(lip, 15)[::-1]]))[..., None]
    lips = colour(STOCK) * (1.0 - 0.25 * np.abs(u))[..., None]
    out = np.asarray(out * (1 - white) + lips * white, np.float32)
    for low, thick in ((420, 6), (435, 3)):  # two bands of cream round the foot, as such cups wear
        x = _half_width(low) * np.cos(t)
        line = np.stack([cx + x, top + low + 44 * np.sin(t)], 1)
        band = polygon(height, width, np.concatenate([line, _lower(line, thick)[::-1]]))[..., None] * 0.8
        out = out * (1 - band) + colour((238, 200, 150)) * band
    return cut(stock(screen(np.asarray(out, np.float32)), "front"), mask, "front", rim_mm=0.45)


def handle() -> Cutting:
    """The handle, an arm on the hip."""
    height, width = 360, 250
    shape: Points = [
        (246, 22), (150, 8), (60, 30), (14, 104), (24, 204), (92, 278), (180, 330), (246, 352), (246, 290),
        (200, 262), (130, 214), (86, 170), (84, 116), (112, 82), (168, 78), (246, 92),
    ]  # fmt: skip
    mask = blob(height, width, shape)
    depth = cv2.distanceTransform(np.asarray(mask > 0.5, np.uint8), cv2.DIST_L2, 5)
    down = np.linspace(0, 1, height, dtype=np.float32)[:, None]
    tone = 0.12 + 0.52 * np.clip(depth / 30, 0, 1) - 0.10 * down
    shine = cv2.GaussianBlur(stroke(height, width, [(150, 32), (58, 46), (44, 130)], 13), (0, 0), 3)
    tone = np.clip(tone + 0.45 * shine + 0.03 * noise("handle", height, width, 40), 0, 1)
    return cut(
        stock(screen(ramp(np.asarray(tone, np.float32), *GLAZE)), "handle"), mask, "handle", rim_mm=0.45
    )


def saucer() -> Cutting:
    """The saucer, seen from as low as the cup."""
    height, width = 236, 880
    cx, cy = width / 2, 96.0
    brim = ellipse(height, width, (cx, cy), (428, 88))
    under = blob(
        height,
        width,
        [
            (14, 96),
            (60, 142),
            (170, 186),
            (300, 216),
            (440, 224),
            (580, 216),
            (710, 186),
            (820, 142),
            (866, 96),
            (440, 60),
        ],
    )
    x = np.broadcast_to((np.arange(width, dtype=np.float32)[None, :] - cx) / 428, (height, width))
    y = np.broadcast_to((np.arange(height, dtype=np.float32)[:, None] - cy) / 88, (height, width))
    radius = np.sqrt(x**2 + y**2)
    tone = 0.50 + 0.10 * x * -1 - 0.05 * y + 0.03 * noise("saucer", height, width, 50)
    tone = tone + 0.34 * np.exp(-(((radius - 0.955) / 0.016) ** 2)) * np.clip(0.7 - x + y * 0.6, 0.15, 1.2)
    tone = (
        tone
        - 0.16 * np.exp(-(((radius - 0.60) / 0.04) ** 2))
        + 0.12 * np.exp(-(((radius - 0.66) / 0.025) ** 2))
    )
    tone = np.where(radius < 0.6, tone - 0.08, tone)
    out = ramp(np.asarray(np.clip(tone, 0, 1), np.float32), *GLAZE)
    below = ramp(
        np.asarray(
            np.clip(0.40 - 0.0022 * (np.arange(height, dtype=np.float32)[:, None] - 120) - 0.1 * x, 0, 1),
            np.float32,
        ),
        *GLAZE,
    )
    out = out * brim[..., None] + below * (1 - brim[..., None])
    return cut(
        stock(screen(np.asarray(out, np.float32)), "saucer"), np.maximum(brim, under), "saucer", rim_mm=0.45
    )


def spoon(found: Picture) -> Cutting:
    """The spoon, bowl up: the bowl from the picture; the handle, half hidden there, of silver paper."""
    scale = 2.35
    grown = enlarge(found, scale)
    outline = [
        (383, 215), (383, 236), (394, 251), (405.5, 271.8), (403.5, 287), (394, 305.5), (379, 319),
        (360, 325), (343, 320), (331, 304), (326.5, 285), (330, 268), (343.5, 253), (362, 241.5),
        (372.5, 234), (374.5, 221), (376.5, 215),
    ]  # fmt: skip
    cx, cy = 379.5 * scale, 224 * scale
    height, width = 700, 330
    # the picture's spoon points down and leans; ours points up
    turn = cv2.getRotationMatrix2D((cx, cy), 180 + SPOON_AXIS, 1.0)
    turn[:, 2] += np.array([150 - cx, 262 - cy])
    silver = cv2.warpAffine(grown, turn, (width, height), flags=cv2.INTER_CUBIC)
    points = [tuple(turn @ (x * scale, y * scale, 1)) for x, y in outline]
    bowl = blob(height, width, [(float(x), float(y)) for x, y in points])
    tone = np.clip((luminance(np.clip(silver, 0, 1)) - 0.02) / 0.85, 0, 1)
    metal = ramp(
        np.asarray(tone**0.62, np.float32), INK, (96, 84, 78), SILVER, (238, 232, 216), (255, 252, 242)
    )
    metal = np.asarray(0.8 * metal + 0.2 * np.clip(silver, 0, 1), np.float32)
    grip: Points = [
        (142, 240), (158, 240), (160, 380), (163, 520), (173, 600), (176, 650), (162, 690), (138, 690),
        (124, 650), (127, 600), (137, 520), (140, 380),
    ]  # fmt: skip
    shaft = blob(height, width, grip)
    u = np.clip(np.abs(np.arange(width, dtype=np.float32) - 150) / 26, 0, 1)
    bright = 0.86 - 0.5 * u[None, :] + 0.03 * noise("grip", height, width, 30)
    plain = ramp(np.asarray(np.clip(bright, 0, 1), np.float32), INK, (110, 100, 94), SILVER, (242, 238, 224))
    out = plain * (1 - bowl[..., None]) + metal * bowl[..., None]
    return cut(
        stock(screen(np.asarray(out, np.float32)), "spoon"), np.maximum(bowl, shaft), "spoon", rim_mm=0.35
    )


def moustache(found_grass: Picture) -> Cutting:
    """A proud moustache, cut from a picture of grass printed in black."""
    height, width = 130, 330
    patch = enlarge(found_grass[100:230, 60:390], 1.0)
    tone = np.clip(luminance(patch) * 1.1 - 0.22, 0, 1)
    hair = ramp(np.asarray(tone, np.float32), (20, 16, 18), (52, 42, 42), (110, 92, 82))[:height, :width]
    right: Points = [
        (165, 40),
        (190, 26),
        (222, 34),
        (256, 60),
        (288, 62),
        (304, 44),
        (298, 24),
        (316, 30),
        (322, 60),
        (300, 92),
        (262, 104),
        (222, 98),
        (188, 84),
        (166, 66),
    ]
    left: Points = [(330 - x, y) for x, y in right]
    mask = np.maximum(blob(height, width, right), blob(height, width, left))
    return cut(stock(hair, "moustache"), mask, "moustache", rim_mm=0.4)


LOOKS = {
    "proud": (-5.0, 3.0, 0.46),
    "open": (-8.0, 2.0, 0.16),
    "shut": (0.0, 0.0, 0.78),
    "down": (-6.0, 10.0, 0.30),
    "away": (9.0, -2.0, 0.40),
}
"""The cup's replacement set: how far the pupils lie to the right and below, how far the lids are down."""


def eyes(kind: str) -> Cutting:
    """Two eyes of paper with heavy lids of glaze."""
    dx, dy, lid = LOOKS[kind]
    height, width = 110, 250
    out = flat("cup eyes", height, width, (246, 240, 224), 0.02)
    mask = np.zeros((height, width), np.float32)
    for cx, tip in ((72, 1.0), (178, -1.0)):
        centre, radii = (float(cx), 58.0), (44.0, 41.0)
        ball = ellipse(height, width, centre, radii)
        mask = np.maximum(mask, ball)
        pupil = ellipse(height, width, (cx + dx, 60 + dy), (19, 22))
        glint = ellipse(height, width, (cx + dx - 6, 52 + dy), (6, 7))
        line = bend(
            [
                (cx - 50, 58 - 41 + 82 * lid - 4 * tip),
                (cx, 58 - 41 + 82 * lid + 5 * lid),
                (cx + 50, 58 - 41 + 82 * lid + 4 * tip),
            ]
        )
        over = polygon(height, width, np.concatenate([[(cx - 60, -30)], line, [(cx + 60, -30)]]))
        rows = np.arange(height, dtype=np.float32)[:, None]
        tone = np.broadcast_to(np.clip(0.34 + 0.24 * (rows - 14) / 60, 0, 1), (height, width))
        red = ramp(np.asarray(tone, np.float32), *GLAZE)
        near = ball[..., None]
        eye = np.asarray(out, np.float32)
        for shape, ink in ((pupil, (26, 20, 22)), (glint, (255, 250, 240))):
            eye = eye * (1 - shape[..., None]) + colour(ink) * shape[..., None]
        eye = eye * (1 - over[..., None]) + red * over[..., None]
        lash = polygon(height, width, np.concatenate([_lower(line, -4), _lower(line, 4)[::-1]]))[..., None]
        eye = eye * (1 - lash) + colour((40, 20, 20)) * lash
        edge = (
            np.clip(ball - ellipse(height, width, centre, (radii[0] - 4, radii[1] - 4)), 0, 1)[..., None]
            * 0.85
        )
        eye = eye * (1 - edge) + colour((44, 20, 20)) * edge
        out = np.asarray(out * (1 - near) + eye * near, np.float32)
    return cut(stock(out, f"cup eyes {kind}"), mask, f"cup eyes {kind}", rim_mm=0, shade=0.15)


def ring() -> Cutting:
    """What coffee leaves: a ring, darker at its edges, nearly broken once, with two drops beside it."""
    height, width = 140, 560
    cx, cy, rx, ry = 262.0, 70.0, 226.0, 56.0
    x = (np.arange(width, dtype=np.float32)[None, :] - cx) / rx
    y = (np.arange(height, dtype=np.float32)[:, None] - cy) / ry
    radius = np.hypot(x, y) + 0.014 * noise("ring", height, width, 30)
    angle = np.arctan2(y, x)
    strength = np.clip(0.86 + 0.30 * np.sin(angle + 2.2) + 0.16 * np.sin(angle * 3), 0.25, 1)
    band = np.clip((0.15 - np.abs(radius - 0.84)) / 0.03, 0, 1) * strength
    edges = np.exp(-(((radius - 0.97) / 0.022) ** 2)) + 0.7 * np.exp(-(((radius - 0.71) / 0.022) ** 2))
    amount = np.clip(band * 0.66 + edges * band * 0.4, 0, 0.95)
    for dx, dy, r in ((516.0, 92.0, 13.0), (543.0, 72.0, 7.0)):
        amount = np.maximum(amount, 0.85 * ellipse(height, width, (dx, dy), (r, r * 0.42)))
    sheet = flat("ring", height, width, (84, 44, 22), 0.05)
    return np.asarray(np.rint(np.dstack([sheet, amount]) * 255), np.uint8)
