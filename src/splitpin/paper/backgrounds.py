"""Backgrounds: a reduced guide of each on one page, or all of it at true size on sheets that are joined."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from shapely import Polygon, affinity, box

from splitpin.measure.affine import Affine, move, stretch
from splitpin.paper.clip import moved
from splitpin.paper.kitting import Kitting
from splitpin.paper.page import HAIR, LINE, PENCIL, THIN, Mark, Page, Print, Stroke, Words, cross
from splitpin.paper.page import box as oblong
from splitpin.paper.slips import Tile, tiles
from splitpin.paper.stock import Field, room_on
from splitpin.paper.wanted import Item, wanted
from splitpin.sheet.stack import BACKGROUND

SAYS = 12.0
"""For words above a guide, mm."""
ASK = "--only tiles prints them. Or paint it on one sheet by this guide."
PALER = 0.6
"""How strong a guide's picture is: one writes on it."""


def backgrounds(kitting: Kitting) -> list[Page]:
    """A guide of each background: all of it on one page, with the field and its marks each 50 mm."""
    return [page for item in _items(kitting) for page in _guide(kitting, item)]


def background_tiles(kitting: Kitting) -> list[Page]:
    """Each background at true size, on as many sheets as it needs."""
    return [page for item in _items(kitting) for page in _true(kitting, item)]


def _items(kitting: Kitting) -> list[Item]:
    return [item for item in wanted(kitting) if item.envelope == BACKGROUND]


def _extent(item: Item) -> Field:
    x0, y0, x1, y1 = (float(n) for n in item.shape().bounds)
    return Field(x0, y0, x1 - x0, y1 - y0)


def _tiles(kitting: Kitting, item: Item) -> list[Tile]:
    ways = [room_on(kitting.stock.lying()), room_on(kitting.stock)]
    return tiles(_extent(item), [(way.width, way.height) for way in ways])


def _guide(kitting: Kitting, item: Item) -> Iterator[Page]:
    extent = _extent(item)
    stock = kitting.stock.lying() if extent.width > extent.height else kitting.stock
    room = room_on(stock)
    k = min(1.0, room.width / extent.width, (room.height - SAYS) / extent.height)
    to = (
        move(-extent.x, -extent.y).then(stretch(k, k)).then(move(room.x, room.top - SAYS - k * extent.height))
    )
    many = len(_tiles(kitting, item))
    told = [
        f"{extent.width:.1f} × {extent.height:.1f} mm, here at {100 * k:.3g} %; in {', '.join(item.scenes)}",
        f"At true size it takes {many} {'sheet' if many == 1 else 'sheets'} of {stock.name}: {ASK}",
    ]
    marks: list[Mark] = [
        Words(line, room.x, room.top - 3.5 - 4.0 * n, 7.5 - n, PENCIL if n else 0.0, room=room.width)
        for n, line in enumerate(told)
    ]
    marks.append(Print(f"cutouts/{item.cut.name}.png", item.flat.then(to), PALER))
    frame = oblong(extent.x, extent.y, extent.width, extent.height)
    marks += moved([Stroke(frame, LINE, closed=True)], to)
    middle = extent.x + extent.width / 2, extent.y + extent.height / 2
    wide, high = ceil(extent.width / 100), ceil(extent.height / 100)
    for n in range(-wide, wide + 1):
        for m in range(-high, high + 1):
            x, y = middle[0] + 50.0 * n, middle[1] + 50.0 * m
            if extent.x <= x <= extent.right and extent.y <= y <= extent.top:
                at = to.apply(x, y)
                marks += cross(*at, 3.0 if n == m == 0 else 1.2, THIN if n == m == 0 else HAIR)
    yield Page("backgrounds", f"Background {item.cut.name}: a guide", stock, tuple(marks))


def _true(kitting: Kitting, item: Item) -> Iterator[Page]:
    for tile in _tiles(kitting, item):
        stock = kitting.stock.lying() if tile.way == 0 else kitting.stock
        room, window = room_on(stock), tile.window
        to = move(room.x - window.x, room.top - window.top)
        inside = _inside(item, window, to)
        marks: list[Mark] = [Print(f"cutouts/{item.cut.name}.png", item.flat.then(to), clip=inside)]
        marks += [Stroke(ring, THIN, PENCIL, closed=True) for ring in inside]
        marks += moved(tile.joins, to)
        name = f", sheet {tile.name}" if tile.name else ""
        yield Page("tiles", f"Background {item.cut.name}{name}", stock, tuple(marks))


def _inside(item: Item, window: Field, to: Affine) -> tuple[tuple[tuple[float, float], ...], ...]:
    part = item.shape().intersection(box(window.x, window.y, window.right, window.top))
    here = affinity.affine_transform(part, [to.a, to.c, to.b, to.d, to.e, to.f])
    rings = []
    for polygon in getattr(here, "geoms", [here]):
        if isinstance(polygon, Polygon) and not polygon.is_empty:
            rings += [polygon.exterior, *polygon.interiors]
    return tuple(tuple((float(x), float(y)) for x, y in ring.coords[:-1]) for ring in rings)
