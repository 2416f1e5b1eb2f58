"""Marks cut off at the edges of a sheet, so that nothing is drawn where no paper is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import cos, pi, radians, sin
from typing import TypeVar

import shapely
from shapely import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from splitpin.measure.affine import Affine
from splitpin.paper.page import Disc, Stroke, Type, Words
from splitpin.paper.stock import POINT, Field

Drawn = Stroke | Disc | Words
"""Marks that can be tiled."""
Shape = TypeVar("Shape", bound=BaseGeometry)
TALL, DEEP = 0.76, 0.24
"""How far type reaches over and under its base line, against its size."""
SIDES = 96
"""Of a circle that is cut off."""


def clipped(marks: Iterable[Drawn], window: Field | BaseGeometry, type_: Type) -> Iterator[Drawn]:
    """What of marks lies in a window, where it lay; words and filled circles wholly or not at all.

    Parameters
    ----------
    marks
        In any millimetres, y up.
    window
        In the same.
    type_
        The type.
    """
    frame = box(window.x, window.y, window.right, window.top) if isinstance(window, Field) else window
    for mark in marks:
        match mark:
            case Words():
                if frame.covers(Polygon(word_box(mark, type_))):
                    yield mark
            case Disc((x, y), radius):
                round_ = Point(x, y).buffer(radius + mark.width / 2)
                if frame.covers(round_):
                    yield mark
                elif mark.fill is None and frame.intersects(round_):
                    yield from _stroke(_circle(mark), frame)
            case Stroke():
                yield from _stroke(mark, frame)


def moved(marks: Iterable[Drawn], by: Affine) -> Iterator[Drawn]:
    """Marks shifted and turned."""
    for mark in marks:
        match mark:
            case Words():
                x, y = by.apply(mark.x, mark.y)
                yield mark._replace(x=x, y=y, angle=mark.angle + by.angle)
            case Disc((x, y)):
                yield mark._replace(centre=by.apply(x, y))
            case Stroke(points):
                yield mark._replace(points=tuple(by.apply(*point) for point in points))


def word_box(words: Words, type_: Type) -> tuple[tuple[float, float], ...]:
    """The corners of the box round a line of type, anticlockwise."""
    width = type_(words.text, words.size, words.bold)
    if words.room is not None:
        width = min(width, words.room)
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[words.align]
    low, high = -DEEP * words.size * POINT, TALL * words.size * POINT
    t = radians(words.angle)
    c, s = cos(t), sin(t)
    corners = ((left, low), (left + width, low), (left + width, high), (left, high))
    return tuple((words.x + c * x - s * y, words.y + s * x + c * y) for x, y in corners)


def _stroke(mark: Stroke, frame: BaseGeometry) -> Iterator[Stroke]:
    points = mark.points
    if mark.closed and mark.fill is not None:
        inside = Polygon(points).intersection(frame)
        for part in _parts(inside, Polygon):
            yield mark._replace(points=tuple(part.exterior.coords[:-1]), width=0.0)
    if mark.width <= 0:
        return
    line = LineString((*points, points[0]) if mark.closed else points)
    if frame.covers(line):
        yield mark._replace(fill=None)
        return
    found = line.intersection(frame)
    for part in _parts(shapely.line_merge(found) if mark.closed else found, LineString):
        yield mark._replace(points=tuple(part.coords), closed=False, fill=None)


def _parts(found: BaseGeometry, kind: type[Shape]) -> list[Shape]:
    return [part for part in shapely.get_parts(found) if isinstance(part, kind) and not part.is_empty]


def _circle(disc: Disc) -> Stroke:
    (x, y), r = disc.centre, disc.radius
    turns = (2 * pi * n / SIDES for n in range(SIDES))
    return Stroke(
        tuple((x + r * cos(t), y + r * sin(t)) for t in turns), disc.width, disc.grey, (), closed=True
    )
