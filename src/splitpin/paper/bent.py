"""Curved guide strips: templates that follow the way of a pin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, ceil, degrees, hypot

import numpy as np
import shapely
from shapely import LineString, MultiLineString, MultiPoint

from splitpin.measure.affine import Affine, turn
from splitpin.motion.path import drawn
from splitpin.paper.clip import Drawn
from splitpin.paper.foot import FOOT, LONG, SHORT, SIZE, TICK, WIDE, foot
from splitpin.paper.kitting import Kitting
from splitpin.paper.labels import thinned
from splitpin.paper.page import BLACK, HAIR, LINE, PALE, PENCIL, THIN, Stroke, Type, Words, box
from splitpin.paper.plan import Spot, arrow
from splitpin.paper.stock import POINT, Field, room_on
from splitpin.paper.travel import HOLD, Run

MARGIN = 9.0
"""Paper round what is drawn, mm."""
OUT = (1.6, 5.0, 9.0, 13.0, 18.0, 23.0)
"""How far from a tick's foot its number may stand, mm: the first place that is free."""
CLEAR = 1.15
"""Half of the height that a number needs, mm."""
SHARP = 0.5
"""The cosine of the turn at which a way has a corner."""
GRID = 50.0
"""Between the crosses that tell places on the table, mm."""


def bent(run: Run, number: int, kitting: Kitting) -> tuple[list[Drawn], Field]:
    """A curved template: the way of the pin, a tick across it at each place, and where it lies on the table.

    It lies as the field does; one too large for a sheet is turned so that it takes fewer.
    """
    angle = _angle(run, kitting)
    turned = turn(-angle)
    places = [turned.apply(*place) for place in run.places]
    marks = list(_way(places))
    outward = _outward(places)
    shown = thinned(len(places), 400, [n for n, s in enumerate(run.stops) if s.last > s.first])
    ticks = [
        LineString([place, _off(place, side, LONG)]) for place, side in zip(places, outward, strict=True)
    ]
    labels = _Labels(MultiLineString([LineString(places), *ticks]), places, kitting.type)
    numbered = {n: label for n in shown if (label := labels.find(run, n, places[n], outward[n]))}
    for n, (place, side) in enumerate(zip(places, outward, strict=True)):
        long = LONG if n in numbered else SHORT
        marks.append(Stroke((place, _off(place, side, long)), TICK))
    for lead, words in numbered.values():
        marks += [lead, words] if lead else [words]
    marks += _goes_on(marks[0], labels)
    xs, ys = zip(*labels.corners(), strict=True)
    left, right = min(xs) - MARGIN, max(xs) + MARGIN
    low, high = min(ys) - MARGIN, max(ys) + MARGIN
    if right - left < WIDE:
        left, right = (left + right - WIDE) / 2, (left + right + WIDE) / 2
    marks += _grid(Field(left, low, right - left, high - low), turned, labels)
    extent = Field(left, low - FOOT, right - left, high - low + FOOT)
    marks.append(Stroke(box(extent.x, extent.y, extent.width, extent.height), THIN, closed=True))
    marks += foot(run, number, kitting, Field(left, low - FOOT, right - left, FOOT), angle)
    return marks, extent


def _angle(run: Run, kitting: Kitting) -> float:
    """How far the template is turned against the field, degrees."""
    xs, ys = zip(*run.places, strict=True)
    around = 2 * (MARGIN + LONG + 14.0)
    wide, tall = max(xs) - min(xs) + around, max(ys) - min(ys) + around + FOOT
    lying, standing = room_on(kitting.stock.lying()), room_on(kitting.stock)
    if any(wide <= room.width and tall <= room.height for room in (lying, standing)):
        return 0.0
    least = MultiPoint(run.places).minimum_rotated_rectangle
    corners = list(least.exterior.coords)[:3]
    sides = sorted(
        pairwise(corners), key=lambda side: hypot(side[1][0] - side[0][0], side[1][1] - side[0][1])
    )
    (ax, ay), (bx, by) = sides[-1]
    angle = degrees(atan2(by - ay, bx - ax))
    # what travels to the right goes on doing so
    return angle - 180 if angle > 90 else angle + 180 if angle <= -90 else angle


def _way(places: Sequence[Spot]) -> Iterator[Drawn]:
    """The line through all places, smooth but at its corners."""
    corners = [0]
    for n in range(1, len(places) - 1):
        (ax, ay), (bx, by), (cx, cy) = places[n - 1 : n + 2]
        dot = (bx - ax) * (cx - bx) + (by - ay) * (cy - by)
        if dot < SHARP * hypot(bx - ax, by - ay) * hypot(cx - bx, cy - by):
            corners.append(n)
    corners.append(len(places) - 1)
    line: list[Spot] = [places[0]]
    for a, b in pairwise(corners):
        if b == a + 1:
            line.append(places[b])
            continue
        way = drawn(list(places[a : b + 1]))
        steps = max(8, ceil(way.length / 0.5))
        xs, ys = way.at([n / steps for n in range(1, steps + 1)])
        line += zip(xs, ys, strict=True)
    yield Stroke(tuple(line), LINE, PENCIL)


def _goes_on(way: Drawn, labels: _Labels) -> Iterator[Drawn]:
    """An arrow beyond the end of the way, where nothing is in its way."""
    if not isinstance(way, Stroke):
        return
    (ax, ay), (bx, by) = way.points[-2:]
    long = hypot(bx - ax, by - ay) or 1.0
    ux, uy = (bx - ax) / long, (by - ay) / long
    near, tip = (bx + 3.0 * ux, by + 3.0 * uy), (bx + 6.0 * ux, by + 6.0 * uy)
    if labels.free(LineString([near, tip])):
        yield from arrow(tip, (ux, uy), 3.0)


def _outward(places: Sequence[Spot]) -> list[Spot]:
    """For each place the direction across the way, to the side to which it bulges."""
    p = np.asarray(places)
    ahead = np.vstack([p[1:] - p[:-1], p[-1:] - p[-2:-1]])
    behind = np.vstack([ahead[:1], ahead[:-1]])
    unit = [v / np.maximum(np.hypot(v[:, 0], v[:, 1]), 1e-12)[:, None] for v in (ahead, behind)]
    along = unit[0] + unit[1]
    # at a place where it turns right back there is no middle: across the step that led there
    back = np.hypot(along[:, 0], along[:, 1]) < 0.2
    along[back] = unit[1][back]
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    left = float(np.sum(ahead[:-1, 0] * ahead[1:, 1] - ahead[:-1, 1] * ahead[1:, 0])) > 0
    side = np.column_stack([along[:, 1], -along[:, 0]]) * (1.0 if left else -1.0)
    return [(float(x), float(y)) for x, y in side]


def _off(place: Spot, side: Spot, by: float) -> Spot:
    return place[0] + side[0] * by, place[1] + side[1] * by


class _Labels:
    """Numbers beside ticks: none lies on another, nor on the way."""

    def __init__(self, way: MultiLineString, places: Sequence[Spot], type_: Type) -> None:
        self.way, self.type = way, type_
        self.taken: list[LineString] = []
        self.spots = list(places)

    def find(self, run: Run, n: int, place: Spot, side: Spot) -> tuple[Stroke | None, Words] | None:
        """The number of a place with the line that leads to it; None where there is no room for it."""
        stop = run.stops[n]
        held = stop.last - stop.first + 1 >= HOLD
        wide = self.type(stop.words, SIZE, held)
        for over in (1.0, -1.0):
            way = (side[0] * over, side[1] * over)
            for out in OUT:
                near = (LONG if over > 0 else 0.0) + out
                a, b = _off(place, way, near), _off(place, way, near + wide)
                line = LineString([a, b])
                if self.way.distance(line) < CLEAR or self._meets(line):
                    continue
                self.taken.append(line)
                self.spots += [a, b]
                lead = None
                if out > OUT[0] or over < 0:
                    foot_ = _off(place, way, LONG if over > 0 else 0.0)
                    lead = Stroke((foot_, _off(place, way, near - 0.6)), HAIR, PENCIL)
                return lead, _words(stop.words, a, way, held=held)
        return None

    def _meets(self, line: LineString) -> bool:
        return bool(self.taken) and float(np.min(shapely.distance(line, self.taken))) < 2 * CLEAR

    def free(self, line: LineString) -> bool:
        """Whether a line of type there would lie on nothing."""
        far = self.way if not self.taken else shapely.union_all([self.way, *self.taken])
        return float(far.distance(line)) > 2 * CLEAR + 1.0

    def corners(self) -> list[Spot]:
        """What has to be on the paper."""
        return self.spots


def _words(text: str, a: Spot, way: Spot, *, held: bool) -> Words:
    """A number that reads from the left, whichever way its tick points."""
    angle = degrees(atan2(way[1], way[0]))
    # the base line lies below the middle of the line of type
    drop = 0.36 * SIZE * POINT
    if -90 < angle <= 90:
        return Words(text, a[0] + drop * way[1], a[1] - drop * way[0], SIZE, BLACK, "left", angle, bold=held)
    return Words(
        text, a[0] - drop * way[1], a[1] + drop * way[0], SIZE, BLACK, "right", angle + 180, bold=held
    )


def _grid(field: Field, turned: Affine, labels: _Labels) -> Iterator[Drawn]:
    """Crosses at round places of the table, to be laid on the field by the rulers of the table marks."""
    back = turned.inverse()
    corners = [back.apply(x, y) for x, y in box(field.x, field.y, field.width, field.height)]
    xs, ys = zip(*corners, strict=True)
    for n in range(ceil(min(xs) / GRID), int(max(xs) // GRID) + 1):
        for m in range(ceil(min(ys) / GRID), int(max(ys) // GRID) + 1):
            x, y = turned.apply(n * GRID, m * GRID)
            words = f"{n * GRID:+.0f}, {m * GRID:+.0f}".replace("-", "−").replace("+0", "0")
            wide = labels.type(words, 5.5)
            inside = field.x + 4 < x < field.right - wide - 3 and field.y + 4 < y < field.top - 4
            if inside and labels.free(LineString([(x - 3, y), (x + wide + 2, y + 1.5)])):
                for dx, dy in ((2.5 * turned.a, 2.5 * turned.b), (2.5 * turned.c, 2.5 * turned.d)):
                    yield Stroke(((x - dx, y - dy), (x + dx, y + dy)), HAIR, PALE)
                yield Words(words, x + 0.8, y + 0.8, 5.5, PENCIL)
