"""Envelopes: one for each character, to fold and glue from one sheet, with the list of what belongs in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from shapely import MultiPolygon, get_parts
from shapely import box as oblong
from shapely.affinity import scale, translate

from splitpin.character.place import place
from splitpin.measure.affine import Affine, move, stretch, turn
from splitpin.paper.clip import Drawn, moved
from splitpin.paper.jointing import figure_of, turned
from splitpin.paper.kitting import Kitting
from splitpin.paper.leaves import rings_of
from splitpin.paper.page import (
    BLACK,
    HAIR,
    LINE,
    PALE,
    PENCIL,
    THIN,
    Mark,
    Page,
    Print,
    Stroke,
    Words,
    box,
    wrapped,
)
from splitpin.paper.stock import Field, room_on
from splitpin.paper.wanted import Item, wanted
from splitpin.sheet.stack import BACKGROUND

LOOSE = "loose pieces"
"""Where bare cut-outs are kept."""
TAB, FLAP = 12.0, 22.0
"""The tabs that are glued, and the flap that closes it, mm."""
WIDEST, TALLEST = 229.0, 162.0
"""No envelope is larger, mm: that of a folded sheet of A4 (ISO 269, C5)."""
CELL, LINE_HIGH = 49.0, 12.6
"""Of the list, mm: how wide what is said of a piece is at least, and how high."""
BOX = 2.6
"""The side of a box to tick, mm."""
HEAD = 8.0
"""Of the list: its title, mm."""


class Envelope(NamedTuple):
    """What belongs in one envelope."""

    name: str
    title: str
    items: tuple[Item, ...]
    scenes: tuple[str, ...]
    pinned: tuple[str, ...]
    """Each piece that hangs on a split pin, and on what."""


class Pattern(NamedTuple):
    """Where an envelope lies on its page."""

    face: Field
    back: Field
    flap: Field


def envelopes(kitting: Kitting) -> list[Page]:
    """An envelope for each character of the scenes, and one for all bare cut-outs; lists go on beside."""
    pages = []
    for one in packed(kitting):
        pattern = pattern_on(kitting)
        fits = _fitting(pattern.back)
        marks = tuple(_envelope(kitting, one, pattern, one.items[:fits]))
        pages.append(Page("envelopes", f"Envelope: {one.title}", kitting.stock, marks))
        room = room_on(kitting.stock)
        rest = one.items[fits:]
        each = _fitting(room)
        for n in range(0, len(rest), each):
            title = f"Envelope: {one.title}, more of its list"
            more = tuple(_list(rest[n : n + each], room, title))
            pages.append(Page("envelopes", title, kitting.stock, more))
    return pages


def packed(kitting: Kitting) -> list[Envelope]:
    """What belongs in which envelope, in the order of appearance; backgrounds are kept flat, in none."""
    found: dict[str, list[Item]] = {}
    for item in wanted(kitting):
        if item.envelope != BACKGROUND:
            found.setdefault(item.envelope, []).append(item)
    titles = {staged.name: staged.scene.title for staged in kitting.scenes}
    done = []
    for name, items in found.items():
        figure = figure_of(kitting, items[0]) if name else None
        title = (figure.character.title or name) if figure is not None else LOOSE
        there = {scene for item in items for scene in item.scenes}
        scenes = tuple(f"{scene} {titles[scene]}".strip() for scene in titles if scene in there)
        pieces = {} if figure is None else figure.character.pieces
        pinned = tuple(f"{piece} on {spec.on}" for piece, spec in pieces.items() if spec.on and spec.pin)
        done.append(Envelope(name or LOOSE, title, tuple(items), scenes, pinned))
    return done


def pattern_on(kitting: Kitting) -> Pattern:
    """Where face, back and flap of an envelope lie on a standing page."""
    room = room_on(kitting.stock)
    wide = min(room.width - 2 * TAB, WIDEST)
    high = min((room.height - FLAP) / 2, TALLEST)
    left = room.x + (room.width - wide) / 2
    back = Field(left, room.top - FLAP - 2 * high, wide, high)
    face = Field(left, back.top, wide, high)
    return Pattern(face, back, Field(left, face.top, wide, FLAP))


def _fitting(room: Field) -> int:
    """How many pieces a list has room for."""
    return max(1, int(room.width // CELL)) * max(1, int((room.height - HEAD) // LINE_HIGH))


def _envelope(kitting: Kitting, one: Envelope, pattern: Pattern, items: Sequence[Item]) -> Iterator[Mark]:
    yield from _cut_and_fold(pattern)
    yield from _face(kitting, one, pattern.face)
    here = Field(0.0, 0.0, pattern.back.width, pattern.back.height)
    # The back is folded behind the face and looked at by turning the envelope as a page.
    to = turn(180).then(move(pattern.back.right, pattern.back.top))
    many = sum(item.copies for item in one.items)
    title = f"{one.title}: {many} pieces" + (
        "; more on the list inside" if len(items) < len(one.items) else ""
    )
    yield from moved(_list(items, here, title), to)


def _cut_and_fold(pattern: Pattern) -> Iterator[Mark]:
    face, back, flap = pattern
    slant = 4.0
    outline = (
        (face.x, face.y), (face.x, face.top), (flap.x + slant, flap.top), (flap.right - slant, flap.top),
        (face.right, face.top), (face.right, face.y), (back.right + TAB, back.top - slant),
        (back.right + TAB, back.y + slant), (back.right, back.y), (back.x, back.y),
        (back.x - TAB, back.y + slant), (back.x - TAB, back.top - slant),
    )  # fmt: skip
    yield Stroke(outline, LINE, closed=True, use="cut")
    for a, b in (
        ((face.x, face.top), (face.right, face.top)),
        ((face.x, face.y), (face.right, face.y)),
        ((back.x, back.y), (back.x, back.top)),
        ((back.right, back.y), (back.right, back.top)),
    ):
        yield Stroke((a, b), THIN, PENCIL, (2.5, 1.5), use="score")
    for x, angle in ((back.x - TAB / 2, 90.0), (back.right + TAB / 2, -90.0)):
        yield Words("glue behind the face", x, back.y + back.height / 2, 6, PENCIL, "middle", angle)
    told = "Cut along the line, score and fold at the dashes: tabs in, back behind the face, flap over."
    yield Words(told, flap.x + flap.width / 2, flap.y + 5.0, 6, PENCIL, "middle", room=flap.width - 12.0)


def _face(kitting: Kitting, one: Envelope, face: Field) -> Iterator[Mark]:
    inside = Field(face.x + 5.0, face.y + 5.0, face.width - 10.0, face.height - 10.0)
    picture = Field(inside.x, inside.y, inside.width * 0.46, inside.height)
    yield from _assembled(kitting, one, picture)
    x, room = picture.right + 5.0, inside.right - picture.right - 5.0
    y = inside.top - 6.0
    for line in wrapped(one.title, room, 16, kitting.type, bold=True)[:2]:
        yield Words(line, x, y, 16, BLACK, room=room, bold=True)
        y -= 7.0
    yield Words(kitting.title, x, y + 1.0, 8, PENCIL, room=room)
    y -= 4.5
    many = sum(item.copies for item in one.items)
    spares = sum(item.spares for item in one.items)
    told = [f"{many} pieces, {spares} of them spares" if spares else f"{many} pieces"]
    if one.pinned:
        told.append(f"{len(one.pinned)} split pins: {', '.join(one.pinned)}")
    large = [item.name for item in one.items if not _goes_in(item, face)]
    if large:
        told.append(f"too large for it, keep flat: {', '.join(large)}")
    for text in told:
        for line in wrapped(text, room, 7.5, kitting.type):
            if y < inside.y + 2.0:
                return
            yield Words(line, x, y, 7.5, room=room)
            y -= 3.6
    y -= 1.6
    yield Words("out, back", x, y, 6, PENCIL)
    for scene in one.scenes:
        y -= 4.0
        if y < inside.y:
            yield Words("… and more", x + 9.0, y + 4.0 - 3.2, 6, PENCIL)
            return
        yield from _boxes(x, y)
        yield Words(scene, x + 9.0, y, 7.5, room=room - 9.0)


def _goes_in(item: Item, face: Field) -> bool:
    x0, y0, x1, y1 = (float(n) for n in item.shape().bounds)
    small, large = sorted((x1 - x0, y1 - y0))
    return small <= face.height - 4.0 and large <= face.width - 4.0


def _assembled(kitting: Kitting, one: Envelope, room: Field) -> Iterator[Mark]:
    """The figure at rest; of loose pieces the first few, side by side."""
    figure = figure_of(kitting, one.items[0]) if one.name != LOOSE else None
    if figure is None:
        each = room.height / 3
        for n, item in enumerate(one.items[:6]):
            column, row = divmod(n, 3)
            cell = Field(
                room.x + column * room.width / 2, room.top - (row + 1) * each, room.width / 2 - 3, each - 3
            )
            to = _into(item.shape(), cell)
            yield Print(f"cutouts/{item.cut.name}.png", item.flat.then(to))
        return
    lying = sorted(place(figure, {}), key=lambda placed: figure.order.index(placed.piece))
    shapes = [turned(_paper(kitting, placed.cutout), placed.matrix) for placed in lying]
    to = _into(MultiPolygon([part for shape in shapes for part in get_parts(shape)]), room)
    for placed in lying:
        yield Print(f"cutouts/{placed.cutout}.png", placed.matrix.then(to))


def _paper(kitting: Kitting, name: str) -> MultiPolygon:
    """The box of a cut-out's paper, in its pixels."""
    cut = kitting.cut(name)
    left, top, right, low = (n / cut.mm_per_px for n in cut.outline.box)
    return MultiPolygon([oblong(left, top, right, low)])


def _into(shape: MultiPolygon, room: Field) -> Affine:
    """The map that lays a shape into a field, as large as it goes but never larger than it is."""
    x0, y0, x1, y1 = (float(n) for n in shape.bounds)
    k = min(1.0, room.width / max(x1 - x0, 1e-6), room.height / max(y1 - y0, 1e-6))
    middle = move(room.x + room.width / 2, room.y + room.height / 2)
    return move(-(x0 + x1) / 2, -(y0 + y1) / 2).then(stretch(k, k)).then(middle)


def _list(items: Sequence[Item], room: Field, title: str) -> Iterator[Drawn]:
    """Each piece: its shape, its name, how many, and boxes for out and back."""
    yield Words(title, room.x + 3.0, room.top - 5.0, 8, BLACK, room=room.width - 34.0, bold=True)
    yield Words("out, back", room.right - 3.0, room.top - 5.0, 6, PENCIL, "right")
    across = max(1, int(room.width // CELL))
    wide = (room.width - 6.0) / across
    down = max(1, int((room.height - HEAD) // LINE_HIGH))
    for n, item in enumerate(items):
        column, row = divmod(n, down)
        cell = Field(room.x + 3.0 + column * wide, room.top - HEAD - (row + 1) * LINE_HIGH, wide, LINE_HIGH)
        yield from _told(item, cell)


def _told(item: Item, cell: Field) -> Iterator[Drawn]:
    small = Field(cell.x, cell.y + 1.0, 11.0, cell.height - 2.0)
    shape = item.shape()
    x0, y0, x1, y1 = (float(n) for n in shape.bounds)
    k = min(1.0, small.width / (x1 - x0), small.height / (y1 - y0))
    at = translate(
        scale(shape, k, k, origin=(x0, y0)), small.x - x0, small.y + (small.height - k * (y1 - y0)) / 2 - y0
    )
    for part in get_parts(at):
        for n, ring in enumerate(rings_of(part.simplify(0.05))):
            yield Stroke(ring, HAIR, PENCIL, closed=True, fill=PALE if n == 0 else 1.0)
    x, room = small.right + 2.0, cell.right - small.right - 4.0
    y = cell.top - 4.0
    label = item.name.removeprefix(f"{item.envelope}.") if item.envelope else item.name
    yield Words(label, x, y, 7, BLACK, room=room, bold=True)
    spares = f" + {item.spares} spare{'s' if item.spares > 1 else ''}" if item.spares else ""
    yield Words(f"{item.needed}{spares}", x, y - 3.2, 6.5, room=room - 8.0)
    yield from _boxes(x, y - 7.0)


def _boxes(x: float, y: float) -> Iterator[Stroke]:
    """Two boxes to tick: out, back."""
    for n in range(2):
        yield Stroke(box(x + n * (BOX + 1.2), y - 0.4, BOX, BOX), THIN, BLACK, closed=True)
