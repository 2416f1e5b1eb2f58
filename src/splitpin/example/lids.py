"""The cat's shut eyes: lids of its own fur over the eyes of the picture, and one curved line of lashes each.

There is no outline above the lashes, where the fur goes on: an outlined lid reads as an empty socket.
"""

from __future__ import annotations

import cv2
import numpy as np

from splitpin.example.cat import EYES_BOX, FINER, LEFT_EYE, RIGHT_EYE, fur, grown, laid, on_print, toned
from splitpin.example.paper import Cutting, Mask, Picture, cut, enlarge, screen, stock
from splitpin.example.scissors import Points, bend, blob, ribbon

LASHES: tuple[Points, ...] = (
    [(131, 113), (166, 151), (208, 143)],
    [(292, 148), (318, 170), (345, 141)],
)
"""Where each line begins, what it passes half-way and where it ends, in the found picture."""
REACH = 1.30
"""How large the paper of a lid is against the eye: it hides the eye's dark rim."""
FEATHER = 5.0
"""How softly it goes over into the face, pixels of the print."""
THICK = 9.0
"""How thick the lashes are at their middle, pixels of the print."""


def shut(found: Picture) -> Cutting:
    """Both eyes shut, on one transparent sheet."""
    left, top, right, bottom = EYES_BOX
    height, width = round((bottom - top) * FINER), round((right - left) * FINER)
    sheet = _lids(found, height, width)
    mask = np.zeros((height, width), np.float32)
    for eye, points in zip((LEFT_EYE, RIGHT_EYE), LASHES, strict=True):
        shape = on_print(grown(eye, REACH), left, top)
        mask = np.maximum(mask, cv2.GaussianBlur(blob(height, width, shape), (0, 0), FEATHER))
        line = _lash(height, width, on_print(points, left, top))
        # the lid is round: darker towards the lashes, on both sides
        sheet = laid(sheet, np.asarray(cv2.GaussianBlur(line, (0, 0), 9.0) * 0.55, np.float32), (88, 54, 36))
        sheet = laid(sheet, line, (44, 30, 28))
        mask = np.maximum(mask, line)
    return cut(stock(screen(sheet, 0.06), "eyes shut"), np.asarray(mask), "eyes shut", rim_mm=0.0, shade=0.0)


def _lids(found: Picture, height: int, width: int) -> Picture:
    """The colours around the eyes, drawn over them, with short hair on it."""
    left, top, right, bottom = EYES_BOX
    part = (found[top:bottom, left:right] * 255).astype(np.uint8)
    rows, columns = part.shape[:2]
    hole = np.zeros((rows, columns), np.float32)
    for eye in (LEFT_EYE, RIGHT_EYE):
        hole = np.maximum(hole, blob(rows, columns, on_print(grown(eye, REACH * 0.92), left, top, 1.0)))
    filled = cv2.inpaint(part, (hole > 0.1).astype(np.uint8), 5, cv2.INPAINT_TELEA)
    base = toned(enlarge(np.asarray(filled, np.float32) / 255.0, FINER))
    hair = fur(found, "lid", height, width)
    hair = 0.75 * (hair - cv2.GaussianBlur(hair, (0, 0), 12))
    over = cv2.GaussianBlur(cv2.resize(hole, (width, height)), (0, 0), 4.0)[..., None]
    smooth = cv2.GaussianBlur(base, (0, 0), 7.0)
    return np.asarray(np.clip(base * (1 - over) + (smooth + hair) * over, 0, 1), np.float32)


def _lash(height: int, width: int, points: Points) -> Mask:
    """A line that is thick at its middle and thin at both ends."""
    line = bend(points)
    return ribbon(height, width, line, THICK / 2 * np.sin(np.linspace(0.12, 0.88, len(line)) * np.pi))
