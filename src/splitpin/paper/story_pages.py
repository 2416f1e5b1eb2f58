"""Storyboard pages: each panel with its picture, what happens, what is heard and said, and its seconds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate
from math import floor
from typing import NamedTuple

from splitpin.measure.affine import Affine
from splitpin.paper.kitting import Kitting, Staged
from splitpin.paper.page import (
    BLACK,
    HAIR,
    LINE,
    PALE,
    PENCIL,
    Mark,
    Page,
    Print,
    Stroke,
    Words,
    box,
    wrapped,
)
from splitpin.paper.stock import Field, room_on
from splitpin.scene.scene import Panel

LEAST = 84.0
"""A panel is at least so wide, mm."""
GAP = 5.0
"""Between panels, mm."""
WRITING = 29.0
"""For what is said below a picture, mm: room to write, too."""
SIZE = 7.0
"""Points, of what is said."""
STEP = 3.3
"""From line to line, mm."""


class Told(NamedTuple):
    """A panel in its place in the film."""

    number: int
    """Counted from 1 through all scenes."""
    staged: Staged
    panel: Panel
    start: int
    """Its first frame, counted from the first scene on the pages."""
    frames: int


def story_pages(kitting: Kitting) -> list[Page]:
    """The board of all scenes, in the order of the film."""
    room = room_on(kitting.stock)
    across = max(1, floor((room.width + GAP) / (LEAST + GAP)))
    wide = (room.width + GAP) / across - GAP
    shape = kitting.stage.height / kitting.stage.width
    tall = min(wide * shape, room.height - WRITING)
    down = max(1, floor((room.height + GAP) / (tall + WRITING + GAP)))
    panels = list(_told(kitting.scenes))
    groups = [panels[n : n + across * down] for n in range(0, len(panels), across * down)]
    pages = []
    for n, group in enumerate(groups):
        marks: list[Mark] = []
        for k, told in enumerate(group):
            row, column = divmod(k, across)
            high = room.height / down
            field = Field(room.x + column * (wide + GAP), room.top - (row + 1) * high, wide, high)
            marks += _panel(kitting, told, field, tall)
        long = sum(told.frames for told in group)
        seconds = f"{_seconds(long, kitting.rate)} s"
        title = f"Storyboard, page {n + 1} of {len(groups)}: panels {group[0].number} to {group[-1].number}, "
        pages.append(Page("board", title + seconds, kitting.stock, tuple(marks)))
    return pages


def _told(scenes: Sequence[Staged]) -> Iterator[Told]:
    number = 0
    starts = accumulate((staged.sheet.frames for staged in scenes), initial=0)
    for staged, first in zip(scenes, starts, strict=False):
        panels = {panel.name: panel for panel in staged.scene.panels}
        for name, start, frames in staged.sheet.panels:
            number += 1
            yield Told(number, staged, panels[name], first + start, frames)


def _panel(kitting: Kitting, told: Told, field: Field, tall: float) -> Iterator[Mark]:
    shape = kitting.stage.width / kitting.stage.height
    wide = min(field.width, tall * shape)
    low = field.top - tall
    name = kitting.sight(told.staged.name, told.panel.name)
    if name:
        k = wide / kitting.stage.width
        yield Print(name, Affine(k, 0.0, 0.0, -k, field.x, field.top))
    yield Stroke(box(field.x, low, wide, tall), LINE, closed=True)
    y = low - 4.0
    seconds = f"{_seconds(told.frames, kitting.rate)} s"
    clock = f"{_clock(told.start, kitting.rate)} to {_clock(told.start + told.frames, kitting.rate)}"
    right = f"{seconds} · {told.frames} frames · {clock}"
    room = field.width - kitting.type(right, 6.5) - 2.0
    yield Words(f"{told.number}  {told.staged.name} · {told.panel.name}", field.x, y, 8, room=room, bold=True)
    yield Words(right, field.right, y, 6.5, PENCIL, "right")
    y -= 1.4
    yield Stroke(((field.x, y), (field.right, y)), HAIR, PENCIL)
    foot = field.y + GAP / 2
    lines = list(_lines(kitting, told.panel, field.width - 12.0))
    for word, line in lines:
        y -= STEP
        if y < foot:
            break
        if word:
            yield Words(word, field.x, y, 6, PENCIL)
        yield Words(line, field.x + 12.0, y, SIZE, BLACK, room=field.width - 12.0)
    while y - STEP > foot:
        # room for the pencil
        y -= STEP
        yield Stroke(((field.x + 12.0, y), (field.right, y)), HAIR, PALE)


def _lines(kitting: Kitting, panel: Panel, room: float) -> Iterator[tuple[str, str]]:
    """Lines with the word that stands before the first of a kind."""
    told = {"action": panel.action, "sound": panel.sound, "says": panel.spoken, "note": panel.note}
    for word, text in told.items():
        for n, line in enumerate(wrapped(text, room, SIZE, kitting.type)):
            yield (word if n == 0 else ""), line


def _seconds(frames: int, rate: Fraction) -> str:
    return f"{float(frames / rate):.2f}"


def _clock(frame: int, rate: Fraction) -> str:
    seconds = float(frame / rate)
    return f"{int(seconds // 60)}:{seconds % 60:05.2f}"
