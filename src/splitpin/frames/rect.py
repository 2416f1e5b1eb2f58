"""Rectangles of pixels, and as few of them as need be drawn."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Rect(NamedTuple):
    """Pixels ``x0 <= x < x1``, ``y0 <= y < y1``."""

    x0: int
    y0: int
    x1: int
    y1: int

    @property
    def area(self) -> int:
        """How many pixels."""
        return max(0, self.x1 - self.x0) * max(0, self.y1 - self.y0)

    def overlap(self, other: Rect) -> Rect:
        """What two rectangles share; its area is nought when they share nothing."""
        return Rect(
            max(self.x0, other.x0), max(self.y0, other.y0), min(self.x1, other.x1), min(self.y1, other.y1)
        )

    def around(self, other: Rect) -> Rect:
        """The smallest rectangle that holds both."""
        return Rect(
            min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1)
        )


NOTHING = Rect(0, 0, 0, 0)


def merged(rects: Iterable[Rect]) -> tuple[Rect, ...]:
    """Rectangles that cover the given ones and do not overlap, from top to bottom.

    Two that overlap, or whose common hull is hardly larger than both, become one: drawing a few pixels more
    costs less than going over the layers twice.
    """
    done: list[Rect] = []
    for rect in rects:
        if not rect.area:
            continue
        grown = rect
        while True:
            near = [r for r in done if _as_one(grown, r)]
            if not near:
                break
            for r in near:
                done.remove(r)
                grown = grown.around(r)
        done.append(grown)
    return tuple(sorted(done, key=lambda r: (r.y0, r.x0)))


def _as_one(a: Rect, b: Rect) -> bool:
    return bool(a.overlap(b).area) or a.around(b).area <= 1.1 * (a.area + b.area)
