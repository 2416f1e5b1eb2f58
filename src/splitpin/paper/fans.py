"""Bend fans: the directions of a turning piece, exposure by exposure, about its pin."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, degrees, hypot, radians, sin

from splitpin.measure.affine import move
from splitpin.paper.clip import Drawn, clipped, moved, word_box
from splitpin.paper.foot import FOOT, SIZE, SMALL, WIDE, signed
from splitpin.paper.kitting import Kitting
from splitpin.paper.labels import spread
from splitpin.paper.page import BLACK, HAIR, LINE, PENCIL, THIN, Disc, Page, Stroke, Words, box, cross
from splitpin.paper.plan import Spot, plan, up_arrow
from splitpin.paper.slips import Slip, pages
from splitpin.paper.stock import POINT, Field, room_on
from splitpin.paper.travel import HOLD
from splitpin.paper.turning import Fan, Ray, fans

RAY = 0.13
"""The width of a ray's line, mm; no other line has it."""
HOLE = 2.0
"""Radius of the hole for the pin, mm."""
BEYOND = 7.0
"""How far rays go on beyond the tip, mm, so that they are seen beside the piece."""
LEAST = 28.0
"""How long rays are at least, from the pin, mm."""
INNER = 0.4
"""Where rays begin, as a share of their length."""
LEAD = 6.0
"""From the end of a ray to its number, mm."""
PITCH = 2.5
"""Between numbers, mm."""
MARGIN = 3.0
"""Paper round what is drawn, mm."""
SHRINK = 0.93
"""From one try of the length of rays to the next."""


def bend_fans(kitting: Kitting) -> list[Page]:
    """A fan for everything that turns, scene by scene."""
    done: list[Page] = []
    for staged in kitting.scenes:
        found = [fan_slip(fan, n, kitting) for n, fan in enumerate(fans(staged, kitting.cut), 1)]
        done += pages("fans", f"Bend fans: {staged.name}", found, kitting.stock)
    return done


def fan_slip(fan: Fan, number: int, kitting: Kitting) -> Slip:
    """A fan that lies as the field does; its rays end sooner where the paper does."""
    long = max(LEAST, hypot(*fan.tip) + BEYOND)
    while True:
        marks = rays(fan, long)
        points = [(-HOLE, -HOLE), (HOLE, HOLE)]
        for mark in marks:
            points += word_box(mark, kitting.type) if isinstance(mark, Words) else ()
            points += mark.points if isinstance(mark, Stroke) else ()
        xs, ys = zip(*points, strict=True)
        left, right, low, high = min(xs) - MARGIN, max(xs) + MARGIN, min(ys) - MARGIN, max(ys) + MARGIN
        if right - left < WIDE:
            left, right = (left + right - WIDE) / 2, (left + right + WIDE) / 2
        extent = Field(left, low - FOOT, right - left, high - low + FOOT)
        rooms = {lying: room_on(kitting.stock.lying() if lying else kitting.stock) for lying in (True, False)}
        fits = [
            lying for lying, r in rooms.items() if extent.width <= r.width and extent.height <= r.height
        ]  # fmt: skip
        if fits or long < LEAST / 2:
            break
        long *= SHRINK
    above = Field(left, low, right - left, high - low)
    marks = [*clipped(_shape(fan), above, kitting.type), *marks]
    marks += _foot(fan, number, kitting, Field(left, low - FOOT, right - left, FOOT), long)
    marks.append(Stroke(box(extent.x, extent.y, extent.width, extent.height), THIN, closed=True))
    here = tuple(moved(marks, move(-extent.x, -extent.y)))
    return Slip(extent.width, extent.height, here, not fits or fits[0])


def rays(fan: Fan, long: float) -> list[Drawn]:
    """The rays of a fan about its pin at (0, 0), with their numbers, which do not lie on one another."""
    around = in_order(fan)
    order = [angle for angle, _ in around]
    at = long + LEAD
    pitch = degrees(PITCH / at)
    least, most = order[0], order[-1]
    slack = max(0.0, 360 - pitch - (most - least)) / 2
    places = spread(order, pitch, least - slack, most + slack)
    marks: list[Drawn] = []
    for (angle, ray), place in zip(around, places, strict=True):
        u, v = _unit(angle), _unit(place)
        marks.append(Stroke(((u[0] * long * INNER, u[1] * long * INNER), (u[0] * long, u[1] * long)), RAY))
        lead = ((u[0] * long, u[1] * long), (v[0] * (at - 0.7), v[1] * (at - 0.7)))
        marks.append(Stroke(lead, HAIR, PENCIL))
        held = any(last - first + 1 >= HOLD for first, last in ray.spans)
        marks.append(_number(ray.words, v, at, place, held=held))
    marks += [Disc((0.0, 0.0), HOLE, LINE), *cross(0.0, 0.0, HOLE + 2.0, THIN)]
    return marks


def in_order(fan: Fan) -> list[tuple[float, Ray]]:
    """The rays in order round the pin from the end of the widest gap, with directions that only grow."""
    around = sorted((ray.angle % 360, ray) for ray in fan.rays)
    gaps = [(around[(n + 1) % len(around)][0] - angle) % 360 for n, (angle, _) in enumerate(around)]
    start = (gaps.index(max(gaps)) + 1) % len(around)
    return around[start:] + [(angle + 360, ray) for angle, ray in around[:start]]


def _unit(angle: float) -> Spot:
    return cos(radians(angle)), sin(radians(angle))


def _number(text: str, way: Spot, at: float, angle: float, *, held: bool) -> Words:
    """A number that reads from the left, whichever way its ray points."""
    drop = 0.36 * SIZE * POINT
    x, y = way[0] * at, way[1] * at
    if cos(radians(angle)) >= 0:
        return Words(text, x + drop * way[1], y - drop * way[0], SIZE, BLACK, "left", angle, bold=held)
    return Words(text, x - drop * way[1], y + drop * way[0], SIZE, BLACK, "right", angle + 180, bold=held)


def _shape(fan: Fan) -> list[Drawn]:
    """The piece as it lies first, and its tip."""
    marks: list[Drawn] = [Stroke(loop, HAIR, PENCIL, (1.2, 1.2), closed=True) for loop in fan.shape]
    return [*marks, Disc(fan.tip, 0.9, THIN, PENCIL)]


def _foot(fan: Fan, number: int, kitting: Kitting, room: Field, long: float) -> Sequence[Drawn]:
    small = Field(room.x + 1.5, room.y + 1.5, 20.0, FOOT - 3.0)
    marks = list(plan(kitting.stage, [fan.pin], small))
    marks += up_arrow((small.right + 6.0, room.y + FOOT / 2 - 1.0), (0.0, 1.0))
    x, wide = small.right + 12.0, room.right - small.right - 14.0
    pin = f"pin at ({signed(fan.pin[0])}, {signed(fan.pin[1])}) on the field"
    past = hypot(*fan.tip) - long
    lines = (
        f"{fan.scene} · fan {number} · {fan.name}",
        "exposures on each ray, holds in bold; N to the top of the field",
        pin if fan.stays else f"{pin} at first: the fan goes with it",
        "the ringed tip of the piece points along the ray"
        + (f"; it ends {past:.0f} mm past the rays" if past > 0 else ""),
    )
    for n, words in enumerate(lines):
        size = 8 if n == 0 else SMALL
        marks.append(Words(words, x, room.top - 4.0 - 3.6 * n, size, room=wide, bold=n == 0))
    return marks
