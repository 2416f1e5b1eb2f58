"""A small plan of the field that shows where a slip lies on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from splitpin.measure.table import Stage
from splitpin.paper.clip import Drawn
from splitpin.paper.page import BLACK, HAIR, PENCIL, THIN, Disc, Stroke, Words, box
from splitpin.paper.stock import Field

Spot = tuple[float, float]


def plan(stage: Stage, places: Sequence[Spot], room: Field) -> Iterator[Drawn]:
    """The field, and a way over it with its direction; what lies outside of the field is shown too.

    Parameters
    ----------
    stage
        The field.
    places
        Of a pin on the table, mm, one after the other; one alone is a pin that stays.
    room
        Where on the slip it is drawn.
    """
    right, high = stage.field_mm / 2, stage.field_height_mm / 2
    xs, ys = [-right, right, *(x for x, _ in places)], [-high, high, *(y for _, y in places)]
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    scale = min(room.width / wide, room.height / tall)
    left = room.x + (room.width - wide * scale) / 2 - min(xs) * scale
    low = room.y + (room.height - tall * scale) / 2 - min(ys) * scale

    def at(x: float, y: float) -> Spot:
        return left + x * scale, low + y * scale

    corner = at(-right, -high)
    yield Stroke(box(*corner, 2 * right * scale, 2 * high * scale), THIN, PENCIL, closed=True)
    middle = at(0, 0)
    for dx, dy in ((0.8, 0.0), (0.0, 0.8)):
        yield Stroke(((middle[0] - dx, middle[1] - dy), (middle[0] + dx, middle[1] + dy)), HAIR, PENCIL)
    way = [at(*place) for place in places]
    if len(way) == 1:
        yield Disc(way[0], 0.7, 0.0, fill=0.0)
        return
    yield Stroke(tuple(way), 0.3)
    yield Disc(way[0], 0.55, THIN, fill=1.0)
    yield from arrow(way[-1], _heading(way), 1.8)


def arrow(tip: Spot, heading: Spot, length: float) -> Iterator[Drawn]:
    """A filled arrow head."""
    (x, y), (dx, dy) = tip, heading
    back, half = (x - dx * length, y - dy * length), length / 3
    points = (tip, (back[0] - dy * half, back[1] + dx * half), (back[0] + dy * half, back[1] - dx * half))
    yield Stroke(points, 0.0, closed=True, fill=BLACK)


def up_arrow(at: Spot, heading: Spot) -> Iterator[Drawn]:
    """Which way the field's upper edge lies."""
    (x, y), (dx, dy) = at, heading
    yield Stroke(((x - 4 * dx, y - 4 * dy), (x + 3 * dx, y + 3 * dy)), THIN)
    yield from arrow((x + 4 * dx, y + 4 * dy), heading, 2.4)
    yield Words("N", x + 5.6 * dx, y + 5.6 * dy - 0.9, 6.5, BLACK, "middle", bold=True)


def _heading(way: Sequence[Spot]) -> Spot:
    end = way[-1]
    for x, y in reversed(way[:-1]):
        long = hypot(end[0] - x, end[1] - y)
        if long > 0.3:
            return (end[0] - x) / long, (end[1] - y) / long
    return 1.0, 0.0
