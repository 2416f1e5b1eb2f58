"""Bend a joint through its range and see where it opens.

About each pin lies the joint: the largest disc that is all paper at rest, no wider than the narrower of the
two pieces near it. What of that disc shows the table when the piece is turned is a gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.character.figure import Figure
from splitpin.character.pinning import below
from splitpin.character.place import Placed, place
from splitpin.character.pose import Pose

Mask = NDArray[np.bool_]
RAYS, RINGS = 240, 40
"""How finely a joint is looked at: directions, and steps outwards."""
COVERED = 128
"""Alpha from which a pixel counts as paper."""
OPEN = 0.02
"""A joint with less than this share of its disc open counts as closed: so much is the tooth of the edges."""
OTHERWISE = (-60.0, 60.0)
"""The range of a piece without limits, degrees."""
STEP = 2.0
"""Degrees from one look to the next."""


class Bent(NamedTuple):
    """A joint at one angle."""

    angle: float
    """Degrees away from rest, anticlockwise."""
    gap_mm2: float
    """How much of the joint shows the table, square millimetres."""
    open: bool
    """Whether that is a gap that is seen."""


class Swept(NamedTuple):
    """A joint through its range."""

    piece: str
    holder: str
    radius_mm: float
    """The joint's disc; 0 where the pin lies on no paper."""
    bent: tuple[Bent, ...]
    """From the least angle to the greatest."""

    @property
    def clear(self) -> tuple[float, float]:
        """The angles about rest between which no gap is seen, degrees."""
        low = [one.angle for one in self.bent if one.open and one.angle < 0]
        high = [one.angle for one in self.bent if one.open and one.angle > 0]
        shut = [one.angle for one in self.bent if not one.open]
        least = min((a for a in shut if not low or a > max(low)), default=0.0)
        most = max((a for a in shut if not high or a < min(high)), default=0.0)
        return min(least, 0.0), max(most, 0.0)

    @property
    def worst(self) -> Bent:
        """Where it is open widest."""
        return max(self.bent, key=lambda one: one.gap_mm2)


def angles_of(figure: Figure, piece: str) -> tuple[float, ...]:
    """The angles at which a piece is looked at: its whole range, in even steps, and its rest."""
    low, high = figure.character.pieces[piece].limits or OTHERWISE
    count = max(1, ceil((high - low) / STEP))
    steps = {round(low + (high - low) * n / count, 4) for n in range(count + 1)}
    return tuple(sorted({max(-360.0, min(360.0, a)) for a in steps} | ({0.0} if low <= 0 <= high else set())))


def sweep(
    figure: Figure,
    piece: str,
    alphas: Mapping[str, NDArray[np.uint8]],
    angles: Sequence[float],
    look: Pose | None = None,
) -> Swept:
    """Turn one piece of a figure at rest, and see whether its joint opens.

    Parameters
    ----------
    figure
        The figure.
    piece
        A piece that hangs on another.
    alphas
        The alpha of each of its cut-outs, uint8 (height, width).
    angles
        Degrees away from rest, from the least to the greatest.
    look
        What the figure shows and hides while it is at rest, as channels; what it shows at rest when left out.
    """
    holder = (figure.character.pieces[piece].on or "").split(".")[0]
    rest = {one.piece: one for one in place(figure, look or {})}
    both = [rest[name] for name in (piece, holder) if name in rest]
    pin = both[0].pin if both else (0.0, 0.0)
    # A joint of which one piece is hidden is none.
    widest = min(_half_width(one, alphas, pin) for one in both) if len(both) == 2 else 0.0
    radius = min(widest, _closed(list(rest.values()), alphas, pin, widest))
    if radius <= 0:
        return Swept(piece, holder, 0.0, tuple(Bent(angle, 0.0, False) for angle in angles))
    spots, areas = _disc(pin, radius)
    turning = below(figure.character, piece)
    still = _paper([one for name, one in rest.items() if name not in turning], alphas, spots)
    found = []
    for angle in angles:
        lying = place(figure, {**(look or {}), f"{piece}.angle": angle})
        seen = still | _paper([one for one in lying if one.piece in turning], alphas, spots)
        gap = float(areas[~seen].sum())
        found.append(Bent(angle, round(gap, 3), gap > OPEN * float(areas.sum())))
    return Swept(piece, holder, round(radius, 3), tuple(found))


def _disc(pin: tuple[float, float], radius: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Spots in a disc, (n, 2), and the area that each stands for.

    The outermost hundredth is left to the tooth of the edges.
    """
    t = (np.arange(RAYS) + 0.5) * (2 * np.pi / RAYS)
    edges = np.linspace(0.0, radius * 0.99, RINGS + 1)
    r = (edges[1:] + edges[:-1]) / 2
    spots = np.stack([pin[0] + np.outer(r, np.cos(t)), pin[1] + np.outer(r, np.sin(t))], axis=-1)
    areas = np.repeat(np.pi * (edges[1:] ** 2 - edges[:-1] ** 2) / RAYS, RAYS)
    return spots.reshape(-1, 2), areas


def _paper(
    placed: Sequence[Placed], alphas: Mapping[str, NDArray[np.uint8]], spots: NDArray[np.float64]
) -> Mask:
    """Which spots of the table lie under paper."""
    seen = np.zeros(len(spots), np.bool_)
    for one in placed:
        alpha = alphas[one.cutout]
        a, b, c, d, e, f = one.matrix.inverse()
        x = np.floor(spots[:, 0] * a + spots[:, 1] * c + e)
        y = np.floor(spots[:, 0] * b + spots[:, 1] * d + f)
        fits = (x >= 0) & (y >= 0) & (x < alpha.shape[1]) & (y < alpha.shape[0])
        seen[fits] |= alpha[y[fits].astype(np.int64), x[fits].astype(np.int64)] >= COVERED
    return seen


def _closed(
    placed: Sequence[Placed], alphas: Mapping[str, NDArray[np.uint8]], pin: tuple[float, float], most: float
) -> float:
    """The radius of the largest disc about a pin that is all paper, up to ``most``, mm."""
    if most <= 0:
        return 0.0
    spots, _ = _disc(pin, most)
    # A crack of less than a pixel where two edges meet is not looked at.
    rings = _paper(placed, alphas, spots).reshape(RINGS, RAYS).mean(axis=1) >= 1 - OPEN
    closed = RINGS if rings.all() else int(np.argmin(rings))
    return most * closed / RINGS


def _half_width(one: Placed, alphas: Mapping[str, NDArray[np.uint8]], pin: tuple[float, float]) -> float:
    """Half the width of a piece near a pin, mm: the largest disc in it whose rim comes near that pin."""
    alpha = alphas[one.cutout]
    deep = cv2.distanceTransform(
        cv2.copyMakeBorder((alpha >= COVERED).astype(np.uint8), 1, 1, 1, 1, cv2.BORDER_CONSTANT),
        cv2.DIST_L2,
        5,
    )[1:-1, 1:-1]
    x, y = one.matrix.inverse().apply(*pin)
    ys, xs = np.indices(alpha.shape, dtype=np.float32)
    away = np.hypot(xs + np.float32(0.5 - x), ys + np.float32(0.5 - y))
    # A disc that reaches the pin, or ends a little before it, as where two pieces only touch.
    near = away <= deep * np.float32(1.05) + np.float32(2.0)
    return float(np.max(deep[near], initial=0.0)) * float(abs(one.matrix.determinant) ** 0.5)
