"""Table marks: the field at true size, with all by which hands and a camera find their place on it."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from shapely import Polygon, box, get_parts, unary_union

from splitpin.measure.corners import Corner, corners
from splitpin.measure.table import Stage
from splitpin.paper.clip import Drawn
from splitpin.paper.kitting import Kitting
from splitpin.paper.page import BLACK, LINE, PENCIL, THIN, Disc, Page, Stroke, Words, cross
from splitpin.paper.page import box as oblong
from splitpin.paper.slips import pages, slips
from splitpin.paper.stock import Field

SAFE = ((0.93, "action"), (0.90, "titles"))
"""What of the field television is sure to show, for action and for titles (EBU R 95: 3.5 and 5 % at each
edge)."""
RIM = 9.0
"""Paper beyond the coded marks, mm."""
SIDE = 22.0
"""Paper to the left and to the right of the field, mm."""


def table_marks(kitting: Kitting) -> list[Page]:
    """The sheets that are laid round the field."""
    stage = kitting.stage
    marks = tuple(_marks(kitting))
    whole = [_with_quiet(corner) for corner in corners(stage)] + [Field(-9.0, -9.0, 18.0, 18.0)]
    found = slips(marks, extent(stage), kitting.stock, kitting.type, whole)
    title = f"Table marks: field of {stage.field_mm:g} × {stage.field_height_mm:g} mm"
    return [
        page
        for slip in found
        for page in pages("marks", f"{title}, sheet {slip.name or 1}", [slip], kitting.stock)
    ]


def extent(stage: Stage) -> Field:
    """What of the table the sheets cover, mm."""
    high = max(corner.y + corner.side for corner in corners(stage)) + RIM
    wide = stage.field_mm / 2 + SIDE
    return Field(-wide, -high, 2 * wide, 2 * high)


def _marks(kitting: Kitting) -> Iterator[Drawn]:
    stage = kitting.stage
    right, high = stage.field_mm / 2, stage.field_height_mm / 2
    yield Stroke(oblong(-right, -high, 2 * right, 2 * high), LINE, closed=True)
    yield from _rulers(stage)
    for share, what in SAFE:
        x, y = right * share, high * share
        yield Stroke(oblong(-x, -y, 2 * x, 2 * y), THIN, PENCIL, (2, 2), closed=True)
        yield Words(f"safe for {what}", x * 0.4, -y + 0.8, 6, PENCIL, room=x * 0.5)
    yield from cross(0, 0, 8.0, LINE)
    yield Disc((0, 0), 4.0, THIN)
    yield Words("middle of the field", 6.0, 2.0, 7, PENCIL)
    told = "cut along this line: what is outside lies round the field"
    yield Words(told, right * 0.2, high - 3.2, 7, BLACK, room=right * 0.75)
    yield from _compass(right, high)
    for corner in corners(stage):
        yield from _coded(corner)
        yield from _beside(corner)


def _coded(corner: Corner) -> Iterator[Drawn]:
    """A coded mark; cells that touch are drawn as one, so that no seam shows between them."""
    yield Stroke(oblong(corner.x, corner.y, corner.side, corner.side), 0.0, closed=True, fill=0.0)
    cells = [box(x, y, x + corner.cell, y + corner.cell) for x, y in corner.white()]
    for part in get_parts(unary_union(cells)):
        yield Stroke(tuple(part.exterior.coords[:-1]), 0.0, closed=True, fill=1.0)
        for hole in part.interiors:
            yield Stroke(tuple(Polygon(hole).exterior.coords[:-1]), 0.0, closed=True, fill=0.0)


def _beside(corner: Corner) -> Iterator[Drawn]:
    left = corner.x < 0
    x = corner.x + corner.side + 2 * corner.cell if left else corner.x - 2 * corner.cell
    yield Words(
        f"mark {corner.code}: keep it in the picture, flat and uncovered",
        x, corner.y + corner.side / 2 - 1.0, 6.5, PENCIL, "left" if left else "right",
    )  # fmt: skip


def _rulers(stage: Stage) -> Iterator[Drawn]:
    """A tick each 5 mm along the field's line, outside of it, counted from the middle."""
    quiet = [_with_quiet(corner) for corner in corners(stage)]
    right, high = stage.field_mm / 2, stage.field_height_mm / 2
    for mm in range(ceil(-right / 5) * 5, floor(right / 5) * 5 + 1, 5):
        long = _long(mm)
        if any(field.x - 3 <= mm <= field.right + 3 for field in quiet):
            continue
        for side in (1, -1):
            yield Stroke(((mm, side * high), (mm, side * (high + long))), THIN)
            if mm % 50 == 0:
                base = high + long + 1.0 if side > 0 else -high - long - 3.0
                yield Words(_signed(mm), mm, base, 6.5, BLACK, "middle")
    for mm in range(ceil(-high / 5) * 5, floor(high / 5) * 5 + 1, 5):
        long = _long(mm)
        for side in (1, -1):
            yield Stroke(((side * right, mm), (side * (right + long), mm)), THIN)
            if mm % 50 == 0:
                x = side * (right + long + 1.2)
                yield Words(_signed(mm), x, mm - 0.8, 6.5, BLACK, "left" if side > 0 else "right")


def _compass(right: float, high: float) -> Iterator[Drawn]:
    """N, E, S and W, each with a point that looks away from the field."""
    for letter, x, y, ways, words in (
        ("N", 0.0, high + 8.0, (0.0, 1.0), "top of the picture"),
        ("S", 0.0, -high - 8.0, (0.0, -1.0), "your side"),
        ("E", right + 12.5, 0.0, (1.0, 0.0), ""),
        ("W", -right - 12.5, 0.0, (-1.0, 0.0), ""),
    ):
        dx, dy = ways
        tip = (x + 6 * dx, y + 6 * dy)
        foot = ((x - 1.6 * dy, y + 1.6 * dx), (x + 1.6 * dy, y - 1.6 * dx))
        yield Stroke((tip, *foot), 0.0, closed=True, fill=0.0)
        at = (x + 3.2, y + 1.0) if dx == 0 else (x, y + 4.0)
        at = (at[0], y - 4.0) if dy < 0 else at
        yield Words(letter, *at, 11, BLACK, "left" if dx == 0 else "middle", bold=True)
        if words:
            yield Words(words, at[0] + 6.0, at[1], 7, PENCIL)


def _with_quiet(corner: Corner) -> Field:
    """A mark with the white that must stay round it."""
    wide = corner.side + 2 * corner.cell
    return Field(corner.x - corner.cell, corner.y - corner.cell, wide, wide)


def _long(mm: int) -> float:
    return 4.0 if mm % 50 == 0 else 2.8 if mm % 10 == 0 else 1.6


def _signed(mm: int) -> str:
    return "0" if mm == 0 else f"{mm:+d}".replace("-", "−")
