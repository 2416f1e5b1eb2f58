"""The layout of a contact sheet: small pictures in rows on white paper, each with what it is below.

All measures are millimetres, x to the right and y down from the top left corner of the page.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

from splitpin.film.moments import Moment
from splitpin.measure.rate import format_rate, seconds_of
from splitpin.measure.timecode import label_of

WIDE, HIGH = 297.0, 210.0
"""A4, lying (ISO 216)."""
MARGIN = 17.0
HEAD = 15.0
"""From the top margin to the first row."""
GUTTER, LEADING = 7.0, 7.0
"""Between pictures beside one another; and below a caption."""
MOST_LEADING = 10.0
"""The most below a caption, where a page has room."""
CAPTION = 8.6
"""Height of the two lines below a picture."""
INK, PENCIL, HAIR = 0.13, 0.48, 0.82
"""Greys of words, of what is said beside them, and of lines: 0 is black."""
POINT = 25.4 / 72


class Words(NamedTuple):
    """A line of type."""

    text: str
    x: float
    y: float
    """Of the base line."""
    size: float
    """Points."""
    grey: float
    room: float
    """What is longer than this is cut off."""
    align: Literal["left", "right"] = "left"


class Box(NamedTuple):
    """A picture, and the thin line around it."""

    moment: int
    x: float
    y: float
    width: float
    height: float


class Page(NamedTuple):
    """A page of the sheet."""

    width: float
    height: float
    boxes: tuple[Box, ...]
    words: tuple[Words, ...]


def lay_out(
    title: str,
    found: Sequence[Moment],
    rate: Fraction,
    frames: int,
    aspect: float,
    columns: int,
    *,
    pages: bool,
) -> tuple[Page, ...]:
    """Lay out a contact sheet.

    Parameters
    ----------
    title
        Of the film.
    found
        What is shown, in the film's order.
    rate, frames
        Of the film, to say how long it is.
    aspect
        Width of the pictures over their height.
    columns
        Pictures in a row.
    pages
        Whether it is pages of A4, or one as long as it must be.
    """
    wide = (WIDE - 2 * MARGIN - GUTTER * (columns - 1)) / columns
    high = wide / aspect
    room = HIGH - 2 * MARGIN - HEAD
    if pages and high + CAPTION > room:
        # One tall picture more than fills a page: it is made smaller, and so are those beside it.
        high = room - CAPTION
    rows = int((room + LEADING) // (high + CAPTION + LEADING)) if pages else -(-len(found) // columns)
    rows = max(1, rows)
    # What a full page has to spare goes between its rows, so that they reach down to its margin.
    spare = (room - rows * (high + CAPTION)) / (rows - 1) if pages and rows > 1 else LEADING
    leading = min(spare, MOST_LEADING)
    each = rows * columns
    count = max(1, -(-len(found) // each))
    height = HIGH if pages else 2 * MARGIN + HEAD + rows * (high + CAPTION + LEADING) - LEADING
    done = []
    for page in range(count):
        boxes, words = [], _head(title, found, rate, frames)
        for place, i in enumerate(range(page * each, min(len(found), (page + 1) * each))):
            row, column = divmod(place, columns)
            x = MARGIN + column * (wide + GUTTER)
            y = MARGIN + HEAD + row * (high + CAPTION + leading)
            across = min(wide, high * aspect)
            boxes.append(Box(i, x, y, across, across / aspect))
            words += _caption(found[i], rate, x, y + high, wide)
        if count > 1:
            number = f"{page + 1} / {count}"
            words.append(Words(number, WIDE - MARGIN, HIGH - 9.0, 7.0, PENCIL, 40.0, "right"))
        done.append(Page(WIDE, height, tuple(boxes), tuple(words)))
    return tuple(done)


def _head(title: str, found: Sequence[Moment], rate: Fraction, frames: int) -> list[Words]:
    scenes = len({moment.scene for moment in found})
    length = f"{float(seconds_of(frames, rate)):.2f} s"
    named = str(rate) if rate.denominator == 1 else format_rate(rate)
    told = f"{scenes} scene{'s' if scenes != 1 else ''}   ·   {length}   ·   {named} frames a second"
    half = (WIDE - 2 * MARGIN) / 2
    return [
        Words(title, MARGIN, MARGIN + 5.0, 15.0, INK, half, "left"),
        Words(told, WIDE - MARGIN, MARGIN + 5.0, 7.5, PENCIL, half, "right"),
    ]


def _caption(moment: Moment, rate: Fraction, x: float, bottom: float, room: float) -> list[Words]:
    seconds = f"{float(seconds_of(moment.frames, rate)):.2f} s"
    start = label_of(moment.start, rate)
    words = [
        Words(moment.scene, x, bottom + 4.2, 7.5, INK, room * 0.62),
        Words(start, x, bottom + 7.8, 6.5, PENCIL, room * 0.6),
        Words(seconds, x + room, bottom + 7.8, 6.5, PENCIL, room * 0.36, "right"),
    ]
    if moment.panel:
        words.append(Words(moment.panel, x + room, bottom + 4.2, 7.5, PENCIL, room * 0.36, "right"))
    return words
