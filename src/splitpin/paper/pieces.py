"""Pieces: every cut-out of the scenes at its true size, nested, each sheet with its back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import get_parts, maximum_inscribed_circle
from shapely.affinity import rotate

from splitpin.measure.affine import Affine, move, turn
from splitpin.paper.clip import DEEP, moved
from splitpin.paper.jointing import Pinned, Under, pins, turned, under
from splitpin.paper.kitting import Kitting
from splitpin.paper.leaves import LABEL, Leaf, face, leaves, rings_of
from splitpin.paper.nest import Nest, Spot
from splitpin.paper.page import BLACK, HAIR, PALE, PENCIL, THIN, Disc, Mark, Page, Stroke, Type, Words, cross
from splitpin.paper.register import registration
from splitpin.paper.stock import POINT, Field, Stock, room_on
from splitpin.paper.wanted import wanted
from splitpin.sheet.stack import BACKGROUND

CLEARANCE = 1.0
"""Between pieces, mm."""
TOP = 7.0
"""Room for what is said of a sheet, mm."""
HOLE = 1.0
"""Radius of the ring round a pin, mm."""
PRICK = 0.9
"""Arm of the cross that a pin is put through, mm."""
TOLD = (
    "Cut along the fine line; blacken the cut edge, so that no white shows; pins go through the crosses.",
    "Card of 200 to 250 g/m² for what turns on pins, 160 g/m² for mouths, eyes and what lies flat on others.",
)


def pieces(kitting: Kitting) -> list[Page]:
    """The sheets to cut pieces from, each followed by its back, which is mirrored and bears the names."""
    room = room_for_pieces(kitting.stock)
    found = list(leaves((i for i in wanted(kitting) if i.envelope != BACKGROUND), room, kitting.type))
    # copies of a leaf are one shape, so that it is looked at once
    nest = Nest(room.width, room.height, CLEARANCE)
    spots = nest.lay([(leaf.shape, leaf.tag(kitting.type)) for leaf in found])
    done: list[Page] = []
    for n in range(nest.pages):
        here = [(leaf, spot) for leaf, spot in zip(found, spots, strict=True) if spot.page == n]
        name = f"{n + 1} of {nest.pages}"
        done.append(
            Page("pieces", f"Pieces, sheet {name}", kitting.stock, tuple(_front(kitting, here, room)))
        )
        back = tuple(_back(kitting, here, room))
        done.append(Page("pieces", f"Back of pieces, sheet {name}", kitting.stock, back, proof=False))
    return done


def room_for_pieces(stock: Stock) -> Field:
    """What of a standing page pieces lie on."""
    room = room_on(stock)
    return Field(room.x, room.y, room.width, room.height - TOP)


def laid(leaf: Leaf, spot: Spot, room: Field) -> Affine:
    """The map from a leaf's millimetres to the page."""
    x0, y0, _, _ = rotate(leaf.shape, spot.angle, origin=(0, 0)).bounds
    return turn(spot.angle).then(move(room.x + spot.x - x0, room.y + spot.y - y0))


def _front(kitting: Kitting, here: Sequence[tuple[Leaf, Spot]], room: Field) -> Iterator[Mark]:
    for n, line in enumerate(TOLD):
        yield Words(line, room.x, room.top + TOP - 3.0 - 2.7 * n, 6, PENCIL, room=room.width - 6)
    yield from registration(kitting.stock)
    for leaf, spot in here:
        to = laid(leaf, spot, room)
        yield from face(leaf, to)
        yield from moved(leaf.joins, to)
        for pinned in pins(kitting, leaf.item):
            if pinned.through:
                yield from _prick(pinned, to)
        x, y = spot.tag
        yield Words(leaf.label, room.x + x + 0.2, room.y + y + 0.7, LABEL, BLACK)


def _prick(pinned: Pinned, to: Affine) -> Iterator[Mark]:
    """Where a split pin goes through: a cross that its head hides, black on white to show on any picture."""
    x, y = to.apply(*pinned.at)
    yield from cross(x, y, PRICK, 0.35, 1.0)
    # a plotter only scores it: what is cut through there would tear
    yield from (line._replace(use="score") for line in cross(x, y, PRICK, HAIR))


def _back(kitting: Kitting, here: Sequence[tuple[Leaf, Spot]], room: Field) -> Iterator[Mark]:
    over = Affine(-1.0, 0.0, 0.0, 1.0, kitting.stock.width, 0.0)
    yield Words(
        "Goes on the back of the sheet before it, turned over the long edge: names, pins, overlaps.",
        room.x, room.top + TOP - 3.0, 6, PENCIL, room=room.width,
    )  # fmt: skip
    for leaf, spot in here:
        to = laid(leaf, spot, room).then(over)
        for part in get_parts(turned(leaf.shape, to)):
            for ring in rings_of(part):
                yield Stroke(ring, HAIR, PALE, closed=True)
        if not leaf.tile:
            for covered in under(kitting, leaf.item):
                yield from _overlap(covered, to)
        for pinned in pins(kitting, leaf.item):
            x, y = to.apply(*pinned.at)
            yield Disc((x, y), HOLE, THIN if pinned.through else HAIR, BLACK if pinned.through else PENCIL)
        yield from _named(leaf, to, kitting.type)


def _overlap(covered: Under, to: Affine) -> Iterator[Mark]:
    for part in get_parts(turned(covered.shape, to)):
        for ring in rings_of(part):
            yield Stroke(ring, THIN, PENCIL, (1.2, 0.8), closed=True)
        middle = maximum_inscribed_circle(part)
        (x, y), _ = middle.coords
        yield Words(f"under {covered.neighbour}", x, y - 2.6, 5, PENCIL, "middle", room=2 * middle.length)


def _named(leaf: Leaf, to: Affine, type_: Type) -> Iterator[Mark]:
    """Its name on its widest part, as large as there is room for."""
    part = max(get_parts(turned(leaf.shape, to)), key=lambda one: float(one.area))
    middle = maximum_inscribed_circle(part)
    (x, y), _ = middle.coords
    room = 2 * middle.length * 0.94
    size = min(8.0, 8.0 * room / max(type_(leaf.label, 8.0), 1e-6))
    if size >= 3.0:
        yield Words(leaf.label, x, y - DEEP * size * POINT, size, BLACK, "middle")
    else:
        yield Words(leaf.label, x, y - 0.4, 3.0, BLACK, "middle", room=room)


__all__ = ["laid", "pieces", "room_for_pieces"]
