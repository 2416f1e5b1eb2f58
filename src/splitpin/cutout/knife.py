"""The knife: a cut that keeps to the edge between the points that a person sets."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates
from scipy.spatial import cKDTree

from splitpin.cutout.coverage import coverage
from splitpin.cutout.curves import area, fit_closed, flatten
from splitpin.cutout.lightest import lightest_path
from splitpin.cutout.loop import refuse_crossing
from splitpin.cutout.mistake import CutError

Real = NDArray[np.float64]
Field = NDArray[np.float32]

REACH = 8.0
"""How far a point that was set may lie beside the edge it means, px."""
STRAY, LEAST_STRAY, MOST_STRAY = 0.25, 8.0, 96.0
"""How far from the straight line between two points the cut may lie: a share of its length (a quarter circle
needs 0.21), and px."""
CLOSE, FEW = 6.0, 12
"""A hand that draws sets points so close together, px, that they go back and forth: one of them is enough,
but of a small thing so many stay all round."""
HAIR, LEAST_HAIR = 1.5, 4.0
"""Where the cut runs out to a point and back again closer to itself than this, and for longer than this, it
leaves a hair, px."""
BLUR = 1.0
"""The Gaussian in which edges are looked for, px."""
SMOOTH = 0.35
"""How far the curves may lie beside the edge as it was found, px: smoother than a pixel's steps."""
FLATNESS = 0.02
"""How far polygons lie beside the curves, px: no eye sees it."""
FAINTEST = 2.0
"""The least change of colour that is an edge, 8-bit steps a pixel."""
MOST_POINTS = 10_000


def knife(rgb: NDArray[np.uint8], points: Sequence[tuple[float, float]], reach: float = REACH) -> Real:
    """Cut along the edge, round through points and back to the first.

    From the straight lines between the points, each moved to the clearest edge within ``reach``, the cut
    strays by a quarter of their length at most, or by 8 pixels. Where it would run out to a point and back
    the same way, it turns before.

    Parameters
    ----------
    rgb
        uint8 (height, width, 3), sRGB.
    points
        Three or more, ``(x, y)`` in pixels from the top left corner, in order along the edge.
    reach
        How far a point may lie beside the edge it means, px; 0 takes points as they are.

    Returns
    -------
    ndarray
        Curves (n, 4, 2), pixels, as :mod:`splitpin.cutout.curves` has them; closed, clockwise as seen.

    Raises
    ------
    CutError
        When the points enclose nothing, or the line through them crosses itself.
    """
    set_points = checked(points, rgb.shape[1], rgb.shape[0], min(CLOSE, reach))
    snapped = [snap(rgb, p, reach) for p in set_points]
    parts = [along(rgb, a, b, reach) for a, b in zip(snapped, [*snapped[1:], snapped[0]], strict=True)]
    for k in range(len(parts)):
        parts[k - 1], parts[k] = _without_hair(parts[k - 1], parts[k])
    line = np.concatenate([part[:-1] for part in parts])
    if len(line) < 3 or abs(area(line)) < 1.0:
        raise CutError(
            "knife", "points that enclose nothing", "a line around the thing", "set points around it"
        )
    # The kinks where parts meet at points set in flat parts of the picture are no corners of the thing.
    curves = fit_closed(line, SMOOTH, arm=4.0)
    if area(flatten(curves, FLATNESS)) < 0:
        curves = curves[::-1, ::-1]
    return curves


def along(
    rgb: NDArray[np.uint8], a: tuple[float, float], b: tuple[float, float], reach: float = REACH
) -> Real:
    """The part of the cut between two points on the edge: what follows the hand while a point is set.

    Returns
    -------
    ndarray
        (n, 2), pixels, from ``a`` to ``b``, a point every pixel or so.
    """
    if reach <= 0 or hypot(a[0] - b[0], a[1] - b[1]) < 2:
        return np.array([a, b], np.float64)
    side = float(np.clip(STRAY * hypot(a[0] - b[0], a[1] - b[1]), LEAST_STRAY, MOST_STRAY))
    strip = _Strip(rgb, a, b, side)
    cost = _costs(strip)
    height, width = cost.shape
    path = lightest_path(cost, strip.end, height // 2, width - 1 - strip.end, height // 2)
    places = _onto_ridge(np.stack([path % width, path // width], axis=1) + 0.5, strip.edges)
    found = strip.to_picture(places)
    found[0], found[-1] = a, b
    return found


def snap(rgb: NDArray[np.uint8], point: tuple[float, float], reach: float = REACH) -> tuple[float, float]:
    """The place on an edge that a point means: the clearest within reach, nearer ones preferred."""
    if reach <= 0:
        return point
    strip = _Strip(rgb, point, point, ceil(reach))
    places = np.indices(strip.edges.shape)[::-1].reshape(2, -1).T.astype(np.float64) + 0.5
    found = strip.to_picture(places)
    away = np.hypot(*(found - point).T)
    clear = strip.edges.reshape(-1)
    inside = ((found >= 0) & (found <= (rgb.shape[1], rgb.shape[0]))).all(axis=1) & (away <= reach)
    best = int(np.argmax(np.where(inside, clear * (1 - 0.5 * (away / reach) ** 2), -1.0)))
    if clear[best] < FAINTEST:
        return point
    row, column = divmod(best, strip.edges.shape[1])
    x, y = strip.to_picture(np.array([_crest(strip.edges, row, column)]))[0]
    return float(np.clip(x, 0, rgb.shape[1])), float(np.clip(y, 0, rgb.shape[0]))


def blade(curves: Real, width: int, height: int) -> NDArray[np.uint8]:
    """The alpha of what lies inside a cut: crisp, one pixel of exact coverage at the edge.

    Parameters
    ----------
    curves
        (n, 4, 2), pixels.
    width, height
        The picture.
    """
    share = coverage([flatten(curves, FLATNESS)], width, height)
    return np.rint(share * 255).astype(np.uint8)


def checked(
    points: Sequence[tuple[float, float]], width: int, height: int, close: float = 0.0
) -> list[tuple[float, float]]:
    """Points that a knife can follow, without repeats; of those closer together than ``close`` px one.

    Raises
    ------
    CutError
        When there are fewer than three, too many, one is outside the picture, or the line through them
        crosses itself.
    """
    kept: dict[int, tuple[float, float]] = {}
    last = None
    for i, (x, y) in enumerate(points):
        if not (0 <= x <= width and 0 <= y <= height):
            raise CutError(
                f"knife point {i + 1}",
                f"[{x:g}, {y:g}]",
                f"a place in the picture, {width} × {height} pixels",
                "set it inside",
            )
        if (x, y) != last:
            kept[i] = last = (float(x), float(y))
    if len(kept) > 1 and last == next(iter(kept.values())):
        kept.popitem()
    if not 3 <= len(kept) <= MOST_POINTS:
        raise CutError(
            "knife", f"{len(kept)} points", f"3 to {MOST_POINTS}", "set points along the edge, all round"
        )
    kept = _thinned(kept, close)
    way = list(kept.values())
    refuse_crossing("knife", "points that go round once", "set them in order along the edge", way, list(kept))
    return way


def _thinned(points: dict[int, tuple[float, float]], close: float) -> dict[int, tuple[float, float]]:
    size = float(np.ptp(np.array(list(points.values())), axis=0).max())
    close = min(close, 3 * size / FEW)
    few: dict[int, tuple[float, float]] = {}
    x, y = first = next(iter(points.values()))
    for i, (u, v) in points.items():
        if not few or hypot(u - x, v - y) >= close:
            few[i] = x, y = u, v
    if len(few) > 3 and hypot(x - first[0], y - first[1]) < close:
        few.popitem()
    return few if len(few) >= 3 else points


def _without_hair(before: Real, after: Real) -> tuple[Real, Real]:
    """Two parts of the cut that meet at a point, shortened to where they part ways."""
    back = before[::-1]
    away, which = (np.asarray(found) for found in cKDTree(after).query(back))
    beside = int(np.argmax(np.append(away > HAIR, True))) - 1
    ends = min(beside, len(before) - 2)
    if ends <= 0 or np.hypot(*(back[ends] - back[0])) < LEAST_HAIR or which[ends] > len(after) - 2:
        return before, after
    left, right = len(before) - ends, int(which[ends])
    meeting = ((back[ends] + after[right]) / 2)[None]
    return np.vstack([before[: left - 1], meeting]), np.vstack([meeting, after[right + 1 :]])


class _Strip:
    """The picture along the line between two points, turned so that the line lies level: the way between
    points that are far apart need not look at all the picture.

    ``edges``, float32 (height, width), is how sharply the colour changes, 8-bit steps a pixel: the larger
    eigenvalue of the colour gradient's tensor: S. Di Zenzo, "A note on the gradient of a multi-image", 1986.
    """

    def __init__(
        self, rgb: NDArray[np.uint8], a: tuple[float, float], b: tuple[float, float], side: float
    ) -> None:
        long = hypot(b[0] - a[0], b[1] - a[1])
        u = np.array([b[0] - a[0], b[1] - a[1]]) / long if long else np.array([1.0, 0.0])
        self.end = ceil(min(side, 48.0))
        half, more = ceil(side), 4
        width, height = ceil(long) + 2 * self.end + 1, 2 * half + 1
        # The first point is the centre of the pixel (end, half); the last may miss its pixel's by a little.
        u = u * (long / max(ceil(long), 1)) if long else u
        self._turn = np.stack([u, [-u[1], u[0]]])
        self._origin = np.array(a) - (self.end + 0.5, half + 0.5) @ self._turn
        # Blurred with its surroundings, so that the strip's own border is no edge.
        corner = self.to_picture(np.array([[0.5 - more, 0.5 - more]]))[0] - 0.5
        matrix = np.column_stack([self._turn.T, corner])
        size = (width + 2 * more, height + 2 * more)
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        part = cv2.warpAffine(rgb[..., :3], matrix, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
        soft = cv2.GaussianBlur(part.astype(np.float32), (0, 0), BLUR)
        gx = cv2.Scharr(soft, cv2.CV_32F, 1, 0, scale=1 / 32)
        gy = cv2.Scharr(soft, cv2.CV_32F, 0, 1, scale=1 / 32)
        xx, yy, xy = (np.einsum("ijk,ijk->ij", p, q) for p, q in ((gx, gx), (gy, gy), (gx, gy)))
        larger = (xx + yy + np.sqrt((xx - yy) ** 2 + 4 * xy * xy)) / 2
        self.edges = np.ascontiguousarray(np.sqrt(larger)[more:-more, more:-more])

    def to_picture(self, places: Real) -> Real:
        """From the strip's pixels to the picture's."""
        return np.asarray(self._origin + places @ self._turn)


def _costs(strip: _Strip) -> NDArray[np.uint8]:
    """What a step through each pixel of the strip costs, 1..255."""
    edges, middle, n = strip.edges, strip.edges.shape[0] // 2, strip.end
    # What counts as a clear edge depends on the thing: that at the clearer of the two points, for the other
    # may have been set beside the edge.
    at = [edges[middle - 2 : middle + 3, x - 2 : x + 3].max() for x in (n, edges.shape[1] - 1 - n)]
    clear = np.minimum(edges / max(float(max(at)), FAINTEST), 1.0)
    # Of two edges the nearer to the line between the points is the likelier.
    far = np.abs(np.arange(len(edges)) - middle)[:, None] / middle
    return np.asarray(np.rint(4 + 247 * (1 - clear) ** 2 + 4 * far**2), np.uint8)


def _crest(edges: Field, row: int, column: int) -> tuple[float, float]:
    """The place (x, y) near a pixel where the edge is clearest across its way, finer than pixels.

    C. Steger, "An unbiased detector of curvilinear structures", IEEE PAMI 20(2), 1998: the top, across, of
    the parabola through the pixels around.
    """
    x, y = column + 0.5, row + 0.5
    e = edges[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2].astype(np.float64)
    if e.shape != (3, 3):
        return x, y
    slope = np.array([(e[:, 2] - e[:, 0]).sum(), (e[2] - e[0]).sum()]) / 6
    xy = (e[2, 2] - e[2, 0] - e[0, 2] + e[0, 0]) / 4
    xx, yy = (e[:, 0] - 2 * e[:, 1] + e[:, 2]).sum() / 3, (e[0] - 2 * e[1] + e[2]).sum() / 3
    bends, ways = np.linalg.eigh(np.array([[xx, xy], [xy, yy]]))
    across = ways[:, 0]
    if bends[0] >= 0:
        return x, y
    by = float(np.clip(-(slope @ across) / bends[0], -1, 1))
    return x + by * float(across[0]), y + by * float(across[1])


def _onto_ridge(places: Real, edges: Field) -> Real:
    """Move a path of whole pixels to where across it the edge is clearest, finer than pixels."""
    smooth = gaussian_filter1d(places, 1.5, axis=0, mode="nearest")
    smooth[0], smooth[-1] = places[0], places[-1]
    if len(smooth) < 3:
        return smooth
    way = np.gradient(smooth, axis=0)
    across = np.stack([-way[:, 1], way[:, 0]], axis=1) / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    offsets = np.linspace(-2, 2, 17)
    at = smooth[:, None] + offsets[None, :, None] * across[:, None]
    profile = map_coordinates(edges, [at[..., 1] - 0.5, at[..., 0] - 0.5], order=1, mode="nearest")
    # The middle of what stands out of the profile: steadier than its peak.
    weight = np.maximum(profile - 0.5 * profile.max(axis=1, keepdims=True), 0) ** 2
    total = weight.sum(axis=1)
    shift = np.where(total > 1e-6, (weight * offsets).sum(axis=1) / np.maximum(total, 1e-9), 0.0)
    shift = gaussian_filter1d(shift, 1.0, mode="nearest")
    return np.asarray(smooth + shift[:, None] * across)
