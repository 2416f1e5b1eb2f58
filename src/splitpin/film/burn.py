"""Captions burnt into the pictures of a segment."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from splitpin.film.captions import Caption
from splitpin.film.roll import Held
from splitpin.film.segments import Segment
from splitpin.frames.caption import Plate, draw_plate, plate
from splitpin.frames.rect import Rect
from splitpin.measure.table import Stage

BURNING = 1
"""Counts changes to how captions look: raise it and what has captions in it is made again."""

Burnt = tuple[tuple[int, int, tuple[str, ...]], ...]
"""First frame in a segment, the one after the last, and the lines."""


def burnt_in(segment: Segment, captions: Sequence[Caption]) -> Burnt:
    """The captions of a segment, counted from its start."""
    first, end = segment.first, segment.first + segment.frames
    return tuple(
        (max(c.start, first) - first, min(c.end, end) - first, c.lines)
        for c in captions
        if c.start < end and c.end > first
    )


def burn(shown: Iterable[Held], burnt: Burnt, stage: Stage, font: bytes) -> Iterator[Held]:
    """The pictures of a segment with captions over them, parted where one comes or goes.

    Parameters
    ----------
    shown
        The pictures, from the start of the segment.
    burnt
        What :func:`burnt_in` gave.
    stage
        Their size.
    font
        A TrueType or OpenType font.
    """
    copy = np.zeros((stage.height, stage.width, 3), np.uint8)
    plates = [plate(lines, stage, font) for _, _, lines in burnt]
    at, over = 0, -1
    for held in shown:
        changed = held.changed
        end = at + held.frames
        for x0, y0, x1, y1 in changed:
            copy[y0:y1, x0:x1] = held.rgb[y0:y1, x0:x1]
        while at < end:
            now = next((i for i, (a, b, _) in enumerate(burnt) if a <= at < b), -1)
            stops = [t for a, b, _ in burnt for t in (a, b) if at < t < end]
            until = min([*stops, end])
            touched = _redrawn(held, copy, changed, plates, over, now)
            yield Held(copy, (*changed, *touched), until - at)
            at, over, changed = until, now, ()


def _redrawn(
    held: Held,
    copy: np.ndarray[tuple[int, ...], np.dtype[np.uint8]],
    changed: Sequence[Rect],
    plates: Sequence[Plate],
    over: int,
    now: int,
) -> list[Rect]:
    """Take the old caption off and lay the new one on, where anything of that is to be seen."""
    touched = []
    if over >= 0 and over != now:
        x0, y0, x1, y1 = plates[over].rect
        copy[y0:y1, x0:x1] = held.rgb[y0:y1, x0:x1]
        touched.append(plates[over].rect)
    if now >= 0 and (over != now or any(plates[now].rect.overlap(r).area for r in changed)):
        x0, y0, x1, y1 = plates[now].rect
        copy[y0:y1, x0:x1] = held.rgb[y0:y1, x0:x1]
        draw_plate(copy, plates[now])
        touched.append(plates[now].rect)
    return touched
