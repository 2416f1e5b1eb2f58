"""Slips: what is cut out of a page, at true size; large ones on several pages, to be joined."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil
from typing import NamedTuple

from rectpack import newPacker

from splitpin.measure.affine import move
from splitpin.paper.clip import Drawn, clipped, moved
from splitpin.paper.page import BLACK, HAIR, Page, Stroke, Type, Words, cross
from splitpin.paper.stock import Field, Stock, room_on

FLAP = 10.0
"""How far a sheet goes on behind the line where it joins the next, mm."""
GAP = 2.5
"""Between slips on a page, mm."""
FINE = 1000
"""Slips are packed in thousandths of a millimetre."""
Span = tuple[float, float]


class Slip(NamedTuple):
    """A rectangle of marks."""

    width: float
    """mm."""
    height: float
    marks: tuple[Drawn, ...]
    """mm from its lower left corner."""
    lying: bool = True
    """Whether its page lies."""
    name: str = ""
    """Of the sheet, where several are joined: a letter for the column, a number for the row."""


class Reach(NamedTuple):
    """What one sheet shows of a length, mm."""

    start: float
    end: float
    joins: tuple[float | None, float | None]
    """Where it joins the sheet before and the sheet after it."""


class Tile(NamedTuple):
    """What one of several sheets shows."""

    window: Field
    joins: tuple[Drawn, ...]
    """The lines where it joins the others; where nothing is joined, none."""
    name: str
    """A letter for the column, a number for the row; empty when it is the only one."""
    way: int
    """Which of the ways it is laid."""


def slips(
    marks: Sequence[Drawn],
    extent: Field,
    stock: Stock,
    type_: Type,
    whole: Sequence[Field] = (),
    prefix: str = "",
) -> list[Slip]:
    """A drawing on one slip, or on as many as it needs.

    Parameters
    ----------
    marks
        In any millimetres, y up.
    extent
        What of them is shown.
    stock
        The paper, which is laid the way that needs fewer sheets.
    type_
        The type.
    whole
        What no join may run through, if that can be.
    prefix
        What the names of its sheets begin with.
    """
    rooms = [room_on(stock.lying()), room_on(stock)]
    found = []
    for tile in tiles(extent, [(room.width, room.height) for room in rooms], whole, prefix):
        drawn = [*clipped(marks, tile.window, type_), *tile.joins]
        here = tuple(moved(drawn, move(-tile.window.x, -tile.window.y)))
        found.append(Slip(tile.window.width, tile.window.height, here, tile.way == 0, tile.name))
    return found


def tiles(
    extent: Field, ways: Sequence[tuple[float, float]], whole: Sequence[Field] = (), prefix: str = ""
) -> list[Tile]:
    """Share a rectangle out on sheets that are joined, the way that needs the fewest.

    Parameters
    ----------
    extent
        What is shared out, mm.
    ways
        How wide and how high a sheet can be, mm, one way or another; the first where it needs no more.
    whole
        What no join may run through, if that can be.
    prefix
        What the names of the sheets begin with.
    """
    tried = []
    for way, (wide, high) in enumerate(ways):
        across = reaches(extent.x, extent.width, wide, [(f.x, f.right) for f in whole])
        down = reaches(extent.y, extent.height, high, [(f.y, f.top) for f in whole])
        tried.append((len(across) * len(down), way, across, down))
    _, way, across, down = min(tried, key=lambda one: one[0])
    found = []
    for n, low in enumerate(reversed(down)):
        for m, left in enumerate(across):
            window = Field(left.start, low.start, left.end - left.start, low.end - low.start)
            names = _Names(prefix, m, n, len(across), len(down))
            joins = tuple(_joins(left, low, window, names))
            found.append(Tile(window, joins, "" if names.alone else names.at(), way))
    return found


def pages(part: str, title: str, found: Iterable[Slip], stock: Stock) -> list[Page]:
    """Slips on as few pages as is reasonable, never across an edge."""
    done: list[Page] = []
    slips_ = list(found)
    for lying in (True, False):
        mine = [slip for slip in slips_ if slip.lying is lying]
        if not mine:
            continue
        paper = stock.lying() if lying else stock
        room = room_on(paper)
        packer = newPacker(rotation=False)
        for n, slip in enumerate(mine):
            packer.add_rect(ceil((slip.width + GAP) * FINE), ceil((slip.height + GAP) * FINE), rid=n)
        packer.add_bin(
            ceil((room.width + GAP) * FINE) + 1, ceil((room.height + GAP) * FINE) + 1, float("inf")
        )
        packer.pack()
        for sheet in packer:
            marks: list[Drawn] = []
            for rect in sorted(sheet, key=lambda rect: int(rect.rid)):
                slip = mine[rect.rid]
                # packed from the lower left corner; a page is read from the upper one
                x, y = room.x + rect.x / FINE, room.top - rect.y / FINE - slip.height
                marks += moved(slip.marks, move(x, y))
            done.append(Page(part, title, paper, tuple(marks)))
    return done


def reaches(start: float, length: float, room: float, whole: Sequence[Span] = ()) -> list[Reach]:
    """Share a length out on sheets of which each shows at most ``room`` mm, with flaps at the joins."""
    if length <= room:
        return [Reach(start, start + length, (None, None))]
    least = ceil((length - 2 * FLAP) / (room - 2 * FLAP))
    tries = [_shared(start, length, room, count, whole) for count in range(least, least + 3)]
    joins = next((joins for joins, clear in tries if clear), tries[0][0])
    ends: list[float | None] = [None, *joins, None]
    return [
        Reach(
            start if before is None else before - FLAP,
            start + length if after is None else after + FLAP,
            (before, after),
        )
        for before, after in pairwise(ends)
    ]


def _shared(
    start: float, length: float, room: float, count: int, whole: Sequence[Span]
) -> tuple[list[float], bool]:
    joins: list[float] = []
    clear = True
    for n in range(1, count):
        # no further than the sheet before reaches, no nearer than those after need
        before = joins[-1] - FLAP if joins else start
        left = count - n
        most = before + room - FLAP
        needs = start + length - (left * room - (2 * left - 1) * FLAP)
        wish = min(max(start + length * n / count, needs), most)
        at = _clear_of(wish, needs, most, whole)
        clear = clear and at is not None
        joins.append(wish if at is None else at)
    return joins, clear


def _clear_of(wish: float, least: float, most: float, whole: Sequence[Span]) -> float | None:
    tries = [wish, *(edge for a, b in whole for edge in (a - 0.5, b + 0.5))]
    fits = [
        x for x in tries if least - 1e-9 <= x <= most + 1e-9 and not any(a < x < b for a, b in whole)
    ]  # fmt: skip
    return min(fits, key=lambda x: abs(x - wish), default=None)


class _Names:
    """The names of sheets that are joined: a letter for the column, a number for the row from the top."""

    def __init__(self, prefix: str, column: int, row: int, columns: int, rows: int) -> None:
        self.prefix, self.column, self.row, self.columns, self.rows = prefix, column, row, columns, rows

    def at(self, dx: int = 0, dy: int = 0) -> str:
        letter = f"{self.prefix}{_letters(self.column + dx)}"
        return f"{letter}{self.row + dy + 1}" if self.rows > 1 else letter

    @property
    def alone(self) -> bool:
        return self.columns == self.rows == 1


def _letters(n: int) -> str:
    return chr(ord("A") + n) if n < 26 else _letters(n // 26 - 1) + chr(ord("A") + n % 26)


def _joins(left: Reach, low: Reach, window: Field, names: _Names) -> Iterator[Drawn]:
    """The lines where a sheet joins others, with crosses that fall on those of the other sheet."""
    (west, east), (south, north) = left.joins, low.joins
    for x, words, side in (
        (west, (f"{names.at()}: glue", f"under {names.at(-1)}"), -FLAP / 2),
        (east, (f"{names.at()}: cut", "off here"), FLAP / 2),
    ):
        if x is not None:
            yield Stroke(((x, window.y), (x, window.top)), HAIR, BLACK, (3, 1.5))
            up = _along(window.y, window.top)
            for at in up:
                yield from cross(x, at, 4.0, HAIR)
            for n, line in enumerate(words):
                yield Words(line, x + side, up[0] + 8.0 - 2.6 * n, 5.5, BLACK, "middle")
    for y, line, side in (
        (north, f"{names.at()}: glue under {names.at(0, -1)}", 3.0),
        (south, f"{names.at()}: cut off here", -5.0),
    ):
        if y is not None:
            yield Stroke(((window.x, y), (window.right, y)), HAIR, BLACK, (3, 1.5))
            across = _along(window.x, window.right)
            for at in across:
                yield from cross(at, y, 4.0, HAIR)
            yield Words(line, across[0] + 5.0, y + side, 5.5, BLACK, room=window.right - across[0] - 5)


def _along(start: float, end: float) -> tuple[float, ...]:
    """Where crosses stand on a join: at the same places of both sheets."""
    first = ceil((start + 3 * FLAP) / 60.0) * 60.0
    places = [first + 60.0 * n for n in range(20) if first + 60.0 * n <= end - 3 * FLAP]
    return tuple(places) or (start + 6.0,)
