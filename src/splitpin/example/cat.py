"""The cat: a face from the picture ``chelsea``, and paper of its own fur for all that the picture leaves out.

Coordinates in this file are pixels of the found picture; ``FINER`` of ours are one of them.
"""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np

from splitpin.example.paper import (
    INK,
    OCHRE,
    PX_PER_MM,
    ROSE,
    STOCK,
    Cutting,
    Mask,
    Picture,
    colour,
    cut,
    enlarge,
    luminance,
    noise,
    ramp,
    screen,
    stock,
)
from splitpin.example.scissors import Points, bend, blob, ellipse, polygon, stroke

FINER = 2.3
CROWN = 46
"""Rows of forehead added above the picture's top, whose frame cuts the crown off."""

HEAD: Points = [
    (42, 8), (31, 40), (30, 80), (34, 118), (41, 142), (52, 166), (70, 186), (98, 206), (128, 226),
    (150, 243), (172, 262), (196, 275), (222, 284), (246, 287), (270, 284), (292, 276), (308, 260),
    (316, 240), (322, 222), (338, 206), (352, 178), (362, 148), (364, 116), (360, 84), (350, 52),
    (336, 22), (318, -6), (290, -28), (250, -40), (200, -42), (150, -38), (100, -26), (64, -8),
]  # fmt: skip
LEFT_EYE: Points = [
    (135, 100), (142, 90), (157, 85), (174, 86), (190, 93), (200, 105), (205, 120), (210, 142),
    (201, 144), (187, 146), (174, 145), (157, 138), (144, 125), (137, 112),
]  # fmt: skip
RIGHT_EYE: Points = [
    (295, 134), (303, 121), (315, 112), (328, 110), (338, 113), (342, 124), (341, 137), (336, 150),
    (326, 159), (314, 162), (303, 160), (296, 155), (294, 145),
]  # fmt: skip
LEFT_IRIS = ((170.0, 115.0), (33.5, 29.0))
RIGHT_IRIS = ((317.5, 135.5), (23.0, 26.0))

EYES_BOX = (122, 68, 356, 180)
"""Left, top, right, bottom of the paper that carries both eyes."""


def on_print(points: Points, left: float, top: float, scale: float = FINER) -> list[tuple[float, float]]:
    """Points of the found picture as pixels of a print of it."""
    return [((x - left) * scale, (y - top) * scale) for x, y in points]


def toned(picture: Picture) -> Picture:
    """The cat's colours, drawn towards the film's few inks."""
    tone = np.clip((luminance(picture) - 0.06) / 0.74, 0, 1) ** 0.92
    inked = ramp(tone, INK, (112, 74, 48), OCHRE, (240, 206, 150), STOCK)
    return np.asarray(np.clip(0.58 * inked + 0.42 * picture * 1.12, 0, 1), np.float32)


def face(found: Picture) -> Cutting:
    """The head without ears, eyes as in the picture."""
    tall = cv2.copyMakeBorder(found, CROWN, 0, 0, 0, cv2.BORDER_REFLECT_101)
    part = tall[:, 20:380]
    grown = enlarge(np.asarray(part, np.float32), FINER)
    printed = stock(screen(toned(grown)), "face")
    mask = blob(printed.shape[0], printed.shape[1], on_print(HEAD, 20, -CROWN))
    return cut(printed, mask, "face")


def fur(found: Picture, name: str, height: int, width: int, dark: float = 1.0) -> Picture:
    """A sheet of the cat's own fur: short hair of its forehead, laid side by side, turned over each time."""
    patch = enlarge(found[0:78, 62:210], FINER)
    patch = patch - cv2.GaussianBlur(patch, (0, 0), 40) + patch.mean(axis=(0, 1))
    rows, cols = patch.shape[:2]
    down, across = -(-height // rows), -(-width // cols)
    tiles = [
        np.concatenate(
            [patch[:: (-1 if r % 2 else 1), :: (-1 if c % 2 else 1)] for c in range(across)], axis=1
        )
        for r in range(down)
    ]
    sheet = np.concatenate(tiles, axis=0)[:height, :width]
    broad = noise(name + " coat", height, width, 14 * PX_PER_MM)[..., None] * 0.05
    return toned(np.asarray(np.clip((sheet + broad) * dark, 0, 1), np.float32))


def brushed(picture: Picture, stripe: Mask, name: str, strength: float = 0.62) -> Picture:
    """Dark bands in the fur, their borders torn along the hair."""
    height, width = stripe.shape
    ragged = noise(name, height, width, 3.0)
    shift = cv2.GaussianBlur(stripe, (0, 0), 5.0) + 0.16 * ragged
    band = np.clip((shift - 0.35) * 3.0, 0, 1)[..., None] * strength
    return np.asarray(picture * (1 - band) + picture * colour((96, 66, 52)) * band, np.float32)


def ear(found: Picture, side: str) -> Cutting:
    """One ear of fur paper with a lining of pink paper."""
    height, width = 340, 290
    outer: Points = [
        (22, 318), (12, 230), (30, 120), (64, 36), (84, 20), (112, 40), (176, 130), (236, 226), (272, 300),
        (250, 326), (140, 334),
    ]  # fmt: skip
    inner: Points = [
        (64, 320), (52, 240), (62, 146), (82, 82), (112, 112), (168, 200), (214, 290), (190, 322), (120, 326),
    ]  # fmt: skip
    sheet = fur(found, f"ear {side}", height, width, 0.92)
    pink = np.clip(0.52 + 0.10 * noise(f"lining {side}", height, width, 40), 0, 1)
    lining = ramp(np.asarray(pink, np.float32), (150, 84, 70), ROSE, (244, 206, 184))
    inside = blob(height, width, inner)[..., None]
    hair = np.zeros((height, width), np.float32)
    for k in range(8):
        x, lean = 66 + k * 17, 8 * (k % 3)
        tuft = [(x, 332), (x + 4, 270 - lean), (x + 18, 205 + 16 * (k % 2))]
        hair = np.maximum(hair, stroke(height, width, tuft, 14, taper=True))
    out = sheet * (1 - inside) + lining * inside
    soft = (cv2.GaussianBlur(hair, (0, 0), 1.0) * 0.75)[..., None]
    out = out * (1 - soft) + fur(found, f"ear hair {side}", height, width, 1.35) * soft
    printed = stock(screen(np.asarray(out, np.float32)), f"ear {side}")
    whole = cut(printed, blob(height, width, outer), f"ear {side}")
    return whole if side == "left" else np.ascontiguousarray(whole[:, ::-1])


def _iris(found: Picture) -> Picture:
    """Both eyes with plain irises: the slit pupils and the window they reflect are painted over."""
    left, top, right, bottom = EYES_BOX
    part = (found[top:bottom, left:right] * 255).astype(np.uint8)
    height, width = part.shape[:2]
    hole = np.maximum(
        ellipse(height, width, (173 - left, 110 - top), (13, 20)),
        ellipse(height, width, (313 - left, 131 - top), (10, 17)),
    )
    mended = cv2.inpaint(part, (hole > 0.1).astype(np.uint8), 5, cv2.INPAINT_TELEA)
    return enlarge(np.asarray(mended, np.float32) / 255.0, FINER)


class Gaze(NamedTuple):
    """How a pair of eyes looks."""

    right: float
    """How far the irises lie to the right of the picture's."""
    down: float
    """How far they lie below the picture's."""
    pupil: tuple[float, float] = (0.46, 0.70)
    """Width and height of the pupils against the iris."""
    opening: float = 1.06
    """The size of the eyes against the picture's."""
    lid: float | None = None
    """How far the upper lid has come down: 0 not at all, 1 all the way."""


GAZES = {
    "open": Gaze(2, 1),
    "half": Gaze(2, 3, lid=0.45),
    "wide": Gaze(1, 2, (0.24, 0.36), 1.17),
    "camera": Gaze(-8, 2, (0.44, 0.62), 1.10),
    "down": Gaze(7, 13),
    "left": Gaze(-19, 6),
    "up": Gaze(8, -9, opening=1.10),
    "flat": Gaze(-8, 4, lid=0.40),
}
"""The cat's replacement set. ``open`` looks at the cup, ``down`` at the wall, ``left`` along it, ``up`` after
the cup, ``camera`` at us, ``flat`` at us through lowered lids. Shut eyes are in :mod:`splitpin.example.lids`.
"""


def eyes(found: Picture, kind: str) -> Cutting:
    """Both eyes, on one transparent sheet."""
    gaze = GAZES[kind]
    left, top = EYES_BOX[:2]
    base = _iris(found)
    height, width = base.shape[:2]
    # greener and lighter than the picture's, so that the eyes carry to the back row
    tone = np.clip((luminance(base) - 0.05) / 0.6, 0, 1)
    irises = 0.65 * ramp(tone, INK, (84, 98, 50), (176, 180, 86), (226, 222, 150)) + 0.35 * base
    out = np.zeros_like(base)
    mask = np.zeros((height, width), np.float32)
    for points, iris, size in ((LEFT_EYE, LEFT_IRIS, 1.0), (RIGHT_EYE, RIGHT_IRIS, 0.74)):
        shape = grown(points, gaze.opening)
        opening = blob(height, width, on_print(shape, left, top))
        lining = opening - blob(height, width, on_print(grown(shape, 0.90), left, top))
        eye = _ball(np.asarray(irises, np.float32), iris, size, gaze)
        # the upper lid throws its shade on the ball
        shade = np.roll(cv2.GaussianBlur(1 - opening, (0, 0), 7), 10, axis=0) * opening
        eye = eye * (1 - 0.5 * shade[..., None])
        eye = laid(eye, np.clip(lining, 0, 1) * 0.92, (36, 26, 26))
        here = opening[..., None]
        if gaze.lid is not None:
            eye = _lidded(found, eye, kind, on_print(shape, left, top), gaze.lid)
            eye = laid(eye, np.clip(lining, 0, 1) * 0.45, (60, 40, 32))
        out = np.asarray(out * (1 - here) + eye * here, np.float32)
        mask = np.maximum(mask, opening)
    return cut(stock(screen(out, 0.06), f"eyes {kind}"), mask, f"eyes {kind}", rim_mm=0.0, shade=0.2)


def grown(points: Points, size: float) -> list[tuple[float, float]]:
    """A shape made larger about its middle."""
    x0, y0 = np.mean(np.asarray(points), axis=0)
    return [(float(x0 + (x - x0) * size), float(y0 + (y - y0) * size)) for x, y in points]


def laid(picture: Picture, mask: Mask, ink: tuple[int, int, int]) -> Picture:
    """A picture with an ink laid over it."""
    over = mask[..., None]
    return np.asarray(picture * (1 - over) + colour(ink) * over, np.float32)


def _ball(
    irises: Picture, iris: tuple[tuple[float, float], tuple[float, float]], size: float, gaze: Gaze
) -> Picture:
    """One eye, as if it had no lids: white, iris, pupil and glint."""
    height, width = irises.shape[:2]
    left, top = EYES_BOX[:2]
    (x, y), (rx, ry) = iris
    dx, dy = gaze.right * size * FINER, gaze.down * size * FINER
    cx, cy = (x - left) * FINER + dx, (y - top) * FINER + dy
    rx, ry = rx * FINER, ry * FINER
    shifted = cv2.warpAffine(
        irises, np.array([[1, 0, dx], [0, 1, dy]]), (width, height), borderMode=cv2.BORDER_REFLECT
    )
    disc = ellipse(height, width, (cx, cy), (rx, ry))
    within = cv2.GaussianBlur(disc, (0, 0), 3.0)
    shifted = shifted * (1 - 1.1 * disc * (1 - within))[..., None]
    eye = (
        np.broadcast_to(colour((238, 230, 208)), irises.shape) * (1 - disc[..., None])
        + shifted * disc[..., None]
    )
    wide, tall = gaze.pupil
    eye = laid(
        np.asarray(eye, np.float32), ellipse(height, width, (cx, cy), (ry * wide, ry * tall)), (24, 20, 22)
    )
    glint = ((cx - 5.5 * FINER * size, cy - 9 * FINER * size), (4.6 * FINER * size, 5.6 * FINER * size))
    return laid(eye, ellipse(height, width, *glint), (252, 248, 236))


def _lidded(found: Picture, eye: Picture, kind: str, outline: Points, lid: float) -> Picture:
    """An eye with its upper lid of fur paper down, the lashes as one dark line."""
    height, width = eye.shape[:2]
    (x0, y0), (x1, y1) = np.min(outline, axis=0), np.max(outline, axis=0)
    y = y0 + (y1 - y0) * lid
    sag, tilt = (y1 - y0) * 0.22 * lid**3, (y1 - y0) * 0.06
    lashes = [(x0 - 6, y - tilt - sag), ((x0 + x1) / 2, y + sag), (x1 + 6, y + tilt - sag * 0.5)]
    fine = bend(lashes)
    above = polygon(height, width, np.concatenate([[(x0 - 20, y0 - 40)], fine, [(x1 + 20, y0 - 40)]]))
    sheet = fur(found, f"lid {kind}", height, width, 1.18) * 0.6 + colour((226, 180, 122)) * 0.4
    round_ = np.clip((np.arange(height, dtype=np.float32) - y0) / max(1.0, y - y0), 0, 1)
    sheet = sheet * (0.80 + 0.24 * round_[:, None, None])
    shut = above[..., None]
    return laid(eye * (1 - shut) + sheet * shut, stroke(height, width, lashes, 8.0), (44, 30, 28))


def jaw(found: Picture) -> Cutting:
    """The chin with the inside of the mouth above it; at rest it lies behind the head."""
    height, width = 250, 330
    x, y = 0.5 * width, 0.0
    whole: Points = [
        (26, 8),
        (x, y + 2),
        (304, 8),
        (300, 120),
        (262, 196),
        (200, 236),
        (140, 238),
        (78, 204),
        (38, 130),
    ]
    inside: Points = [
        (44, 6),
        (x, 4),
        (286, 6),
        (280, 110),
        (244, 168),
        (196, 190),
        (140, 190),
        (92, 168),
        (56, 110),
    ]
    sheet = fur(found, "jaw", height, width, 1.22) * 0.55 + colour((240, 214, 170)) * 0.45
    depth = np.clip(np.arange(height, dtype=np.float32) / 190, 0, 1)[:, None]
    mouth = ramp(np.broadcast_to(depth, (height, width)), (30, 16, 20), (66, 24, 28), (120, 42, 38))
    hole = blob(height, width, inside)[..., None]
    out = sheet * (1 - hole) + mouth * hole
    tongue = blob(
        height, width, [(112, 186), (108, 140), (136, 112), (166, 122), (196, 112), (224, 140), (218, 186)]
    )
    pink = ramp(
        np.clip(0.5 + depth - 0.75 + 0 * tongue, 0, 1), (150, 62, 56), (214, 116, 100), (236, 160, 138)
    )
    inner = (tongue * hole[..., 0])[..., None]
    out = out * (1 - inner) + pink * inner
    out = laid(
        np.asarray(out, np.float32),
        stroke(height, width, [(166, 126), (167, 150), (165, 184)], 4) * hole[..., 0],
        (150, 62, 56),
    )
    for tooth in ([(92, 170), (100, 126), (116, 180)], [(238, 170), (230, 126), (214, 180)]):
        out = laid(out, polygon(height, width, tooth), (246, 240, 222))
    return cut(stock(screen(np.asarray(out, np.float32)), "jaw"), blob(height, width, whole), "jaw")


def whiskers() -> Cutting:
    """Strips of white paper, as thin as scissors can."""
    height, width = 300, 900
    mask = np.zeros((height, width), np.float32)
    for x, y, ex, ey, sag in (
        (330, 120, 20, 60, 14),
        (336, 140, 4, 128, 4),
        (342, 160, 30, 206, -10),
        (352, 176, 84, 268, -16),
        (580, 120, 858, 52, 14),
        (584, 140, 880, 116, 4),
        (580, 160, 862, 190, -10),
        (570, 176, 796, 258, -16),
    ):
        mask = np.maximum(
            mask, stroke(height, width, [(x, y), ((x + ex) / 2, (y + ey) / 2 - sag), (ex, ey)], 9, taper=True)
        )
    sheet = np.broadcast_to(colour((250, 244, 228)), (height, width, 3))
    return cut(stock(np.asarray(sheet, np.float32), "whiskers"), mask, "whiskers", rim_mm=0, shade=0.25)


def body(found: Picture) -> Cutting:
    """Chest and shoulders."""
    height, width = 720, 820
    shape: Points = [
        (290, 40), (410, 14), (530, 40), (640, 90), (722, 190), (770, 330), (790, 480), (796, 640),
        (780, 712), (410, 716), (40, 712), (24, 640), (30, 480), (50, 330), (98, 190), (180, 90),
    ]  # fmt: skip
    sheet = fur(found, "body", height, width, 0.94)
    bands = np.zeros((height, width), np.float32)
    for k in range(5):
        y = 190 + 110 * k
        for side in (-1, 1):
            x = 410 + side * (330 + 20 * k)
            band = [(x, y - 40), (410 + side * 250, y + 14), (410 + side * (150 - 8 * k), y - 6)]
            bands = np.maximum(bands, stroke(height, width, band, 46, taper=True))
    sheet = brushed(sheet, bands, "body bands")
    bib = blob(
        height,
        width,
        [
            (340, 60),
            (480, 60),
            (540, 220),
            (530, 420),
            (470, 640),
            (410, 700),
            (350, 640),
            (290, 420),
            (280, 220),
        ],
    )
    ragged = np.clip(
        (cv2.GaussianBlur(bib, (0, 0), 14) + 0.10 * noise("bib", height, width, 4) - 0.35) * 4, 0, 1
    )[..., None]
    white = fur(found, "bib", height, width, 1.3) * 0.35 + colour(STOCK) * 0.65
    out = sheet * (1 - ragged) + white * ragged
    return cut(stock(screen(np.asarray(out, np.float32)), "body"), blob(height, width, shape), "body")


def arm(found: Picture) -> Cutting:
    """A foreleg, its shoulder at the bottom."""
    height, width = 620, 230
    shape: Points = [
        (74, 16), (115, 8), (158, 16), (172, 120), (184, 260), (204, 420), (212, 540), (170, 606), (115, 612),
        (60, 606), (18, 540), (26, 420), (46, 260), (58, 120),
    ]  # fmt: skip
    sheet = fur(found, "arm", height, width, 1.0)
    bands = np.zeros((height, width), np.float32)
    for k in range(6):
        y = 84 + 86 * k
        bands = np.maximum(bands, stroke(height, width, [(30, y), (115, y + 26), (200, y)], 30))
    return cut(stock(screen(brushed(sheet, bands, "arm bands")), "arm"), blob(height, width, shape), "arm")


def paw(found: Picture) -> Cutting:
    """A paw with four toes, pointing up; its wrist at the bottom."""
    height, width = 300, 300
    shape: Points = [
        (92, 286), (84, 220), (40, 190), (22, 140), (34, 96), (66, 84), (78, 44), (116, 22), (148, 34),
        (184, 22), (222, 44), (234, 84), (266, 96), (278, 140), (260, 190), (216, 220), (208, 286),
        (150, 294),
    ]  # fmt: skip
    sheet = fur(found, "paw", height, width, 1.2) * 0.6 + colour((244, 218, 172)) * 0.4
    out = np.asarray(sheet, np.float32)
    for line in (
        [(78, 92), (84, 130), (98, 154)],
        [(150, 44), (150, 100), (150, 140)],
        [(222, 92), (216, 130), (202, 154)],
    ):
        crease = cv2.GaussianBlur(stroke(height, width, line, 11, taper=True), (0, 0), 1.2)
        out = laid(out, np.asarray(crease, np.float32), (92, 56, 44))
    for x, y, lean in ((46, 100, -16), (110, 36, -5), (190, 36, 5), (254, 100, 16)):
        claw = [(x - 7, y + 4), (x + lean * 0.6, y - 22), (x + 7, y + 4)]
        out = laid(out, polygon(height, width, claw), (250, 244, 228))
    return cut(stock(screen(out), "paw"), blob(height, width, shape), "paw")
