"""What turns in a scene, read from its rows: where each turning piece's tip points.

A piece turns when its own angle changes; what is only turned along by the piece it hangs on has no fan of its
own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import atan2, degrees, hypot
from typing import NamedTuple

from splitpin.character.place import Placed
from splitpin.paper.kitting import Cut, Staged
from splitpin.paper.travel import Spot, changes, span
from splitpin.sheet.sheet import Row

SAME = 0.005
"""Directions nearer than this, degrees, are the same."""
MOST = 32
"""A fan has no more rays than this; another goes on."""
LETTERS = 28
"""Nor has a ray a longer label."""


class Ray(NamedTuple):
    """One direction of a piece, and the exposures for which it has it; they count from 1."""

    angle: float
    """Where its tip points on the table, degrees anticlockwise from the right."""
    spans: tuple[tuple[int, int], ...]

    @property
    def words(self) -> str:
        """Its exposures: ``1–4, 9``."""
        return ", ".join(span(*one) for one in self.spans)


class Fan(NamedTuple):
    """The directions of a piece during some exposures."""

    scene: str
    who: str
    piece: str
    rays: tuple[Ray, ...]
    pin: Spot
    """Where its pin lies on the table on the first of them, mm."""
    stays: bool
    """Whether the pin lies there on all of them."""
    shape: tuple[tuple[Spot, ...], ...]
    """Its outline when it is first seen, mm from its pin."""
    tip: Spot
    """The point of it that is furthest from the pin, mm."""

    @property
    def name(self) -> str:
        """Whose it is: ``cat.head``, or ``coin`` of a bare cut-out."""
        return self.who if self.piece == "piece" else f"{self.who}.{self.piece}"


class _Seen(NamedTuple):
    exposure: int
    angle: float
    pin: Spot


def fans(staged: Staged, cut: Callable[[str], Cut]) -> Iterator[Fan]:
    """Every fan of a scene, in the order of the cast, then of time."""
    for who, figure in staged.figures.items():
        for bone in figure.ladder:
            channels = [bone.channels[0]] + (["angle"] if bone.name == figure.root else [])
            if not changes(staged.sheet.rows, who, channels):
                continue
            lying = list(_lying(staged.sheet.rows, who, bone.name))
            if not lying:
                continue
            shape, tip, along = _tip(lying[0][1], cut(lying[0][1].cutout))
            seen = [_Seen(n, _direction(p, along), p.pin) for n, p in lying]
            if max(_turned(one.angle, seen[0].angle) for one in seen) < SAME:
                continue
            for rays, part in _parts(seen):
                stays = all(hypot(s.pin[0] - part[0].pin[0], s.pin[1] - part[0].pin[1]) < 0.05 for s in part)
                yield Fan(staged.name, who, bone.name, rays, part[0].pin, stays, shape, tip)


def _lying(rows: Sequence[Row], who: str, piece: str) -> Iterator[tuple[int, Placed]]:
    for n, row in enumerate(rows, 1):
        for placed in row.placed:
            if placed.piece == piece and placed.who == who:
                yield n, placed


def _tip(placed: Placed, cut: Cut) -> tuple[tuple[tuple[Spot, ...], ...], Spot, Spot]:
    """The outline about the pin, its furthest point, and the way there in pixels of the cut-out."""
    k = cut.mm_per_px
    loops = []
    for loop in cut.outline.loops:
        points = [placed.matrix.apply(float(x) / k, float(y) / k) for x, y in loop.polygon(0.3)]
        loops.append(tuple((x - placed.pin[0], y - placed.pin[1]) for x, y in points))
    tip = max((point for loop in loops for point in loop), key=lambda point: hypot(*point))
    a, b, c, d, _, _ = placed.matrix
    area = placed.matrix.determinant
    along = (d * tip[0] - c * tip[1]) / area, (a * tip[1] - b * tip[0]) / area
    return tuple(loops), tip, along


def _direction(placed: Placed, along: Spot) -> float:
    a, b, c, d, _, _ = placed.matrix
    return degrees(atan2(b * along[0] + d * along[1], a * along[0] + c * along[1]))


def _turned(a: float, b: float) -> float:
    """How far apart two directions are, degrees."""
    return abs((a - b + 180) % 360 - 180)


def _parts(seen: Sequence[_Seen]) -> Iterator[tuple[tuple[Ray, ...], list[_Seen]]]:
    rays: list[Ray] = []
    part: list[_Seen] = []
    for one in seen:
        longer = _with(rays, one)
        if len(longer) > MOST or any(len(ray.words) > LETTERS for ray in longer):
            yield tuple(rays), part
            # it begins where the last one ended, so that hands can go on from there
            part = [part[-1]]
            longer = _with(_with([], part[0]), one)
        rays = longer
        part.append(one)
    yield tuple(rays), part


def _with(rays: list[Ray], one: _Seen) -> list[Ray]:
    """Rays with one more exposure on them."""
    n = one.exposure
    for k, ray in enumerate(rays):
        if _turned(ray.angle, one.angle) < SAME:
            first, last = ray.spans[-1]
            new = (*ray.spans[:-1], (first, n)) if last == n - 1 else (*ray.spans, (n, n))
            return [*rays[:k], ray._replace(spans=new), *rays[k + 1 :]]
    return [*rays, Ray(one.angle, ((n, n),))]
