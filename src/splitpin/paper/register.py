"""Registration marks: by them a plotter finds where a printed page lies."""

from __future__ import annotations

from collections.abc import Iterator

from splitpin.paper.page import BLACK, THIN, Disc, Stroke
from splitpin.paper.stock import EDGE, HEAD, Stock, room_on

ARM = 2.6
"""Of a mark's cross, mm."""
RING = 1.6
"""Radius of its ring, mm."""


def places(stock: Stock) -> tuple[tuple[float, float], ...]:
    """The middles of the marks: bottom left, bottom right, top right; where the fourth would be is none, so
    that a page laid the wrong way round is noticed.
    """
    room = room_on(stock)
    left, right = EDGE + 6.0, room.right - ARM - 0.4
    low, high = room.y - ARM - 0.4, stock.height - EDGE - HEAD - ARM - 1.0
    return (left, low), (right, low), (right, high)


def registration(stock: Stock) -> Iterator[Stroke | Disc]:
    """The marks."""
    for x, y in places(stock):
        yield Stroke(((x - ARM, y), (x + ARM, y)), THIN, BLACK, use="register")
        yield Stroke(((x, y - ARM), (x, y + ARM)), THIN, BLACK, use="register")
        yield Disc((x, y), RING, THIN, BLACK, use="register")
