"""How far a scan lies askew, by the page's edges or by its lines of text."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin
from typing import Any, Literal, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from splitpin.picture.turn import turn

Rgb = NDArray[np.uint8]
Grey = NDArray[np.uint8]

SIDE = 1200
"""Pixels of the longer side that is looked at: 0.02° moves its end by less than half a pixel."""
STEEPEST = 15.0
"""A page that lies further askew than this, in degrees, was put down that way on purpose."""
OUTSIDE = 0.001
"""Share of the scan that may lie apart from the page: dust. A line of text is more."""
PEN = 0.8
"""Pixels, sigma, by which rows of text are smoothed when the turn is found exactly."""
NEAR_TOP = 4
"""Steps of 0.04° each way through which the parabola goes."""
FEWEST_LINES = 30.0
"""Edges of lines, counted as below, that text has at least. Magazine pages have 40, a lone title 11 to 15, a
clock's hands 18."""
LEAST_INK = 0.01
"""Share of the picture that is edges of text."""
LONG_RUN = 0.25
"""An edge that hangs together for this share of the picture's width is no letter's: a slat's, or a rule's."""
PLAIN_BESIDE = 0.68
"""Share of what lies beside the ink that is bare ground: 0.75 to 0.96 on pages, 0.62 on a wall."""


class Tilt(NamedTuple):
    """How a scan lies."""

    angle: float
    """How far to turn it, degrees anticlockwise, so that it is straight."""
    by: Literal["page", "lines", "nothing"]
    """What shows it."""
    page: tuple[tuple[float, float], ...] = ()
    """The page's corners in pixels of the scan, when its edges were found."""


def tilt(rgb: Rgb) -> Tilt:
    """Find how a scan lies askew: by the page's edges, else by its lines of text.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.

    Returns
    -------
    Tilt
        ``by`` is ``nothing``, and the angle 0, when neither is found.
    """
    if min(rgb.shape[:2]) < 32:
        return Tilt(0.0, "nothing")
    k = min(1.0, SIDE / max(rgb.shape[:2]))
    size = max(1, round(rgb.shape[1] * k)), max(1, round(rgb.shape[0] * k))
    small = np.asarray(cv2.resize(rgb, size, interpolation=cv2.INTER_AREA), np.uint8)
    corners = _page(small)
    if corners is not None:
        angle = _upright(corners)
        if abs(angle) <= STEEPEST:
            scale = np.array([rgb.shape[1] / size[0], rgb.shape[0] / size[1]])
            return Tilt(angle, "page", tuple((float(x), float(y)) for x, y in corners * scale))
    lines = _lines(np.asarray(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), np.uint8))
    return Tilt(0.0, "nothing") if lines is None else Tilt(lines, "lines")


def page_box(found: Tilt, width: int, height: int, inset: float = 0.004) -> tuple[int, int, int, int] | None:
    """The upright box within the page once the scan is straight: ``(left, top, width, height)`` in pixels.

    Parameters
    ----------
    found
        Where the page lies.
    width, height
        The scan's size, pixels.
    inset
        How much of the page's shorter side is left off all round, for the shadow at its edge.

    Returns
    -------
    None when no page was found.
    """
    if len(found.page) != 4:
        return None
    m = turn(found.angle, width, height)
    corners = np.array(found.page) @ m[:, :2].T + m[:, 2]
    xs, ys = np.sort(corners[:, 0]), np.sort(corners[:, 1])
    off = inset * min(xs[2] - xs[1], ys[2] - ys[1])
    left, right = max(0, round(xs[1] + off)), min(width, round(xs[2] - off))
    top, bottom = max(0, round(ys[1] + off)), min(height, round(ys[2] - off))
    return (left, top, right - left, bottom - top) if right > left and bottom > top else None


def _page(rgb: Rgb) -> NDArray[np.float64] | None:
    """The corners of a page that differs from the lid or table around it, clockwise from top left."""
    height, width = rgb.shape[:2]
    lab = np.asarray(cv2.cvtColor(cv2.medianBlur(rgb, 5), cv2.COLOR_RGB2LAB), np.float32)
    rim = max(2, min(height, width) // 100)
    border = np.concatenate(
        [lab[:rim].reshape(-1, 3), lab[-rim:].reshape(-1, 3), lab[:, :rim].reshape(-1, 3),
         lab[:, -rim:].reshape(-1, 3)]
    )  # fmt: skip
    around = np.median(border, axis=0)
    spread = float(np.median(np.abs(border - around).max(1)))
    if spread > 12:
        return None  # the picture fills the scan: what surrounds the page would be of one tone
    away = np.asarray(np.abs(lab - around).max(2), np.float32)
    otsu, _ = cv2.threshold(np.clip(away, 0, 255).astype(np.uint8), 0, 255, cv2.THRESH_OTSU)
    least = 4.0 + 2 * spread
    # cream paper hardly differs from a white lid, and a photograph on it differs much: at the high level the
    # page's text lies outside the photograph, which is no page then, and the low one is tried. The high one
    # comes first because shadows lie outside it.
    for level in (max(least, min(float(otsu) / 2, 12.0)), least):
        corners = _rectangle(away > level)
        if corners is not None:
            return corners
    return None


def _rectangle(page: NDArray[np.bool_]) -> NDArray[np.float64] | None:
    """The corners of the largest part, clockwise from top left, when it is a rectangle, large, and alone."""
    height, width = page.shape
    mask = np.asarray(
        cv2.morphologyEx(page.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8)), np.uint8
    )
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not outlines:
        return None
    outline = max(outlines, key=cv2.contourArea)
    area = cv2.contourArea(outline)
    box = cv2.minAreaRect(outline)
    if area < 0.2 * height * width or area < 0.93 * box[1][0] * box[1][1]:
        return None
    outside = sum(cv2.contourArea(o) for o in outlines if o is not outline and _clear(o, width, height))
    if outside > OUTSIDE * height * width:
        return None
    corners = np.asarray(cv2.boxPoints(box), np.float64)
    corners = _clockwise(corners)
    sides = [_side(outline.reshape(-1, 2), corners[i], corners[(i + 1) % 4]) for i in range(4)]
    if any(side is None for side in sides):
        return corners
    exact = [_crossing(sides[i - 1], sides[i]) for i in range(4)]
    return np.array(exact)


def _clear(outline: NDArray[Any], width: int, height: int) -> bool:
    """Whether a part touches no edge of the scan: strips along it are the scanner's own."""
    left, top, across, down = cv2.boundingRect(outline)
    return left > 1 and top > 1 and left + across < width - 1 and top + down < height - 1


def _clockwise(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    middle = corners.mean(0)
    turn = np.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    around = corners[np.argsort(turn)]
    first = int(np.argmin(around.sum(1)))
    return np.roll(around, -first, axis=0)


Line = tuple[NDArray[np.float64], NDArray[np.float64]]


def _side(outline: NDArray[Any], a: NDArray[np.float64], b: NDArray[np.float64]) -> Line | None:
    """The straight line through the outline's points along one side, leaving out its ends and stragglers."""
    span = float(np.hypot(*(b - a)))
    along = (b - a) / span
    away = np.array([-along[1], along[0]])
    t, off = (outline - a) @ along, (outline - a) @ away
    near = outline[(t > 0.08 * span) & (t < 0.92 * span) & (np.abs(off) < 0.03 * span)]
    if len(near) < 20:
        return None
    vx, vy, x, y = (float(v) for v in np.ravel(cv2.fitLine(near, cv2.DIST_HUBER, 0, 0.01, 0.001)))
    return np.array([x, y]), np.array([vx, vy])


def _crossing(one: Line | None, other: Line | None) -> NDArray[np.float64]:
    if one is None or other is None:
        raise ValueError("a side of the page is missing")
    (p, d), (q, e) = one, other
    s = np.linalg.solve(np.array([d, -e]).T, q - p)
    return np.asarray(p + d * s[0])


def _upright(corners: NDArray[np.float64]) -> float:
    """How far to turn, by the page's four sides, the longer ones counting for more."""
    turns, weights = [], []
    for i in range(4):
        dx, dy = corners[(i + 1) % 4] - corners[i]
        turn = degrees(atan2(dy, dx)) - 90 * i
        turns.append((turn + 45) % 90 - 45)
        weights.append(float(np.hypot(dx, dy)))
    # y runs down: an edge that falls to the right is put straight by turning anticlockwise
    return float(np.average(turns, weights=weights))


def _lines(grey: NDArray[np.uint8]) -> float | None:
    """The turn that makes lines of text level.

    The sums along rows vary most when they run along the lines (the projection profile: Postl 1986, from
    memory).
    """
    edges = np.abs(np.diff(grey.astype(np.float32), axis=0))
    ink = (edges > max(20.0, float(np.percentile(edges, 90)))).astype(np.float32)
    ys, xs = np.nonzero(ink)
    if len(ys) <= 200:
        return None
    if len(ys) > 60_000:
        pick = np.linspace(0, len(ys) - 1, 60_000).astype(int)
        ys, xs = ys[pick], xs[pick]
    height, width = grey.shape

    def sharpness(angle: float) -> float:
        t = radians(angle)
        rows = (ys - height / 2) * cos(t) - (xs - width / 2) * sin(t)
        counts = np.bincount((rows + 2 * max(height, width)).astype(int)).astype(np.float64)
        return float((np.diff(counts) ** 2).sum())

    coarse = np.arange(-STEEPEST, STEEPEST + 0.01, 0.25)
    scores = np.array([sharpness(a) for a in coarse])
    best = float(coarse[int(scores.argmax())])
    if scores.max() < 4.0 * float(np.median(scores)) or abs(best) > STEEPEST - 0.3:
        return None
    fine = best + np.arange(-0.4, 0.401, 0.04)
    smooth = np.array([_levelness(xs - width / 2, ys - height / 2, a) for a in fine])
    if not _written(grey, ink > 0, fine[int(smooth.argmax())]):
        return None
    # the top of the parabola through all that is near the highest
    near = np.abs(np.arange(len(fine)) - int(smooth.argmax())) <= NEAR_TOP
    bend, slope, _ = np.polyfit(fine[near] - best, smooth[near] / smooth.max(), 2)
    if bend >= 0:
        return best
    return float(np.clip(best - slope / (2 * bend), fine[near][0], fine[near][-1]))


def _written(grey: NDArray[np.uint8], ink: NDArray[np.bool_], angle: float) -> bool:
    """Whether lines are text: many, of some ink, and on a plain ground.

    Bricks, blinds, steps and roofs have lines too, and the picture is seldom to be turned by them.
    """
    if ink.mean() < LEAST_INK or _long(ink) > 0.5:
        return False
    ys, xs = np.nonzero(ink)
    t = radians(angle)
    rows = ys * cos(t) - xs * sin(t)
    counts = np.bincount((rows - rows.min()).astype(int)).astype(np.float64)
    steps = np.diff(ndimage.gaussian_filter1d(counts, 1.5)) ** 2
    # how many rows share the steps evenly: the inverse participation ratio
    if steps.sum() ** 2 < FEWEST_LINES * (steps**2).sum():
        return False
    marks = np.asarray(cv2.dilate(ink.astype(np.uint8), np.ones((3, 3), np.uint8)), np.uint8)
    beside = (cv2.dilate(marks, np.ones((15, 15), np.uint8)) > 0) & (marks == 0)
    smooth = cv2.medianBlur(grey, 5)
    off = np.asarray(cv2.absdiff(smooth, cv2.medianBlur(smooth, 61)))[: ink.shape[0]]
    return bool(beside.any()) and float((off[beside] <= 10).mean()) >= PLAIN_BESIDE


def _long(ink: NDArray[np.bool_]) -> float:
    """The share of the ink that hangs together farther across than letters do."""
    _, _, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    across = stats[1:, cv2.CC_STAT_WIDTH] > LONG_RUN * ink.shape[1]
    return float(stats[1:, cv2.CC_STAT_AREA][across].sum()) / max(1, int(ink.sum()))


def _levelness(xs: NDArray[np.float64], ys: NDArray[np.float64], angle: float) -> float:
    """How sharply sums along rows differ when turned by an angle, smoothly as the angle changes.

    Whole rows would hold more at nought degrees than at any other, where all of a row's pixels fall together:
    quarters of rows, smoothed by a gaussian as wide as a pen's edge, do not tell the pixels' own rows.
    """
    t = radians(angle)
    rows = (ys * cos(t) - xs * sin(t)) * 4
    rows -= rows.min()
    counts = np.bincount(rows.astype(int)).astype(np.float64)
    return float((np.diff(ndimage.gaussian_filter1d(counts, PEN * 4)) ** 2).sum())
