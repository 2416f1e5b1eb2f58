"""Leaves: what is cut from a sheet in one go: a copy of a piece, or one tile of it where it is too large."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from shapely import MultiPolygon, Polygon, box, get_parts

from splitpin.measure.affine import Affine
from splitpin.paper.clip import Drawn, clipped
from splitpin.paper.jointing import turned
from splitpin.paper.nest import Tag
from splitpin.paper.page import Curve, Curves, Point, Print, Stroke, Type
from splitpin.paper.slips import tiles
from splitpin.paper.stock import Field
from splitpin.paper.wanted import Item

LABEL = 6.0
"""Points, of the words beside a leaf."""
TALL = 2.6
"""Of a label, mm."""
EDGE_LINE = 0.1
"""Of a cut line, mm."""


class Leaf(NamedTuple):
    """Something to cut out."""

    item: Item
    copy: int
    """From 1."""
    tile: str
    """Of a piece on several leaves: which one."""
    shape: MultiPolygon
    """mm, y up, about the top left corner of its picture."""
    joins: tuple[Drawn, ...]
    """Where it joins the other tiles."""

    @property
    def label(self) -> str:
        """What stands beside it."""
        words = self.item.name + (f" {self.tile}" if self.tile else "")
        if self.copy > self.item.needed:
            return f"{words}, spare"
        return f"{words}, {self.copy} of {self.item.needed}" if self.item.needed > 1 else words

    def tag(self, type_: Type) -> Tag:
        """How large its label is."""
        return Tag(round(type_(self.label, LABEL) + 0.4, 2), TALL)


def leaves(items: Iterable[Item], room: Field, type_: Type) -> Iterator[Leaf]:
    """All copies of items, those that are larger than a page on several leaves."""
    for item in items:
        shape = item.shape()
        found = list(_tiles(item, shape, room, type_))
        for copy in range(1, item.copies + 1):
            for leaf in found:
                yield leaf._replace(copy=copy)


def _tiles(item: Item, shape: MultiPolygon, room: Field, type_: Type) -> Iterator[Leaf]:
    x0, y0, x1, y1 = shape.bounds
    wide, high = room.width, room.height - TALL - 2.0
    tiled = tiles(Field(x0, y0, x1 - x0, y1 - y0), [(wide, high), (high, wide)])
    for tile in tiled:
        w = tile.window
        part = shape if not tile.name else _only(shape.intersection(box(w.x, w.y, w.right, w.top)))
        if not part.is_empty:
            yield Leaf(item, 1, tile.name, part, tuple(clipped(tile.joins, part, type_)))


def face(leaf: Leaf, to: Affine) -> Iterator[Print | Curves | Stroke]:
    """Its picture and its cut line, where ``to`` lays it on the page."""
    item = leaf.item
    rings = tuple(ring for part in get_parts(turned(leaf.shape, to)) for ring in rings_of(part))
    matrix = item.flat.then(to)
    yield Print(f"cutouts/{item.cut.name}.png", matrix, clip=rings if leaf.tile else ())
    if leaf.tile:
        for ring in rings:
            yield Stroke(ring, EDGE_LINE, closed=True, use="cut")
    else:
        yield Curves(cut_lines(item, to), EDGE_LINE, use="cut")


def cut_lines(item: Item, to: Affine) -> tuple[tuple[Curve, ...], ...]:
    """The cut line of an item, where ``to`` lays it."""
    k = item.scale
    by = Affine(-k if item.mirrored else k, 0.0, 0.0, -k).then(to)

    def here(point: Iterable[float]) -> Point:
        x, y = point
        return by.apply(float(x), float(y))

    return tuple(
        tuple((here(a), here(b), here(c), here(d)) for a, b, c, d in loop.curves)
        for loop in item.cut.outline.loops
    )


def rings_of(part: Polygon) -> Iterator[tuple[Point, ...]]:
    """The edge of a polygon and those of its holes."""
    for ring in (part.exterior, *part.interiors):
        yield tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def _only(shape: object) -> MultiPolygon:
    parts = getattr(shape, "geoms", [shape])
    return MultiPolygon([part for part in parts if isinstance(part, Polygon) and not part.is_empty])


__all__ = ["Leaf", "cut_lines", "face", "leaves", "rings_of"]
