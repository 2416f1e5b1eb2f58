"""Day sheets: what is shot, in which order, what it needs, how long it takes, and boxes to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import NamedTuple

from splitpin.paper.kitting import Kitting
from splitpin.paper.page import BLACK, HAIR, LINE, PENCIL, THIN, Mark, Page, Stroke, Words, box, wrapped
from splitpin.paper.stock import Field, room_on
from splitpin.paper.wanted import Item, wanted
from splitpin.sheet.shooting.hours import Work
from splitpin.sheet.stack import BACKGROUND

SIZE, STEP = 7.0, 3.5
"""Points of what is said, and mm from line to line."""
HEAD = 15.0
"""What is said of a day, mm."""
TICK, TICKS = 2.7, 12
"""The side of a box to tick, mm, and how many stand together: a second of exposures on twos."""
MOST = 288
"""So many boxes at most; where there are more exposures, a box is for several."""
TOLD = (
    "Lock focus, exposure and white balance. Keep paper away from hot lamps, and never leave them lit alone.",
    "Lift the glass with both hands; stretch every half hour. Makers' instructions and local rules prevail.",
)
"""Usual cautions of a day at the table."""


class Day(NamedTuple):
    """What is done in one set-up, as it is printed."""

    work: Work
    number: int
    """In the order of shooting, from 1."""
    items: tuple[Item, ...]
    sounds: tuple[str, ...]


def day_sheets(kitting: Kitting) -> list[Page]:
    """The set-ups in the order of shooting, as many on a page as there is room for."""
    days = _days(kitting)
    if not days:
        return []
    room = room_on(kitting.stock)
    pages: list[list[Mark]] = [[]]
    top = room.top - HEAD
    for day in days:
        lines = list(_lines(kitting, day))
        high = min(_height(day, lines, room.width), room.height - HEAD)
        if top - high < room.y and pages[-1]:
            pages.append([])
            top = room.top - HEAD
        pages[-1] += _day(kitting, day, lines, Field(room.x, top - high, room.width, high))
        top -= high + 3.0
    hours = sum(day.work.seconds for day in days) / 3600
    done = []
    for n, marks in enumerate(pages):
        head = tuple(_head(room, hours, len(days)))
        title = f"Day sheet {n + 1} of {len(pages)}"
        done.append(Page("days", title, kitting.stock, (*head, *marks)))
    return done


def _days(kitting: Kitting) -> list[Day]:
    items = wanted(kitting)
    scenes = {staged.name: staged for staged in kitting.scenes}
    days: list[Day] = []
    for work in kitting.work():
        setup = work.setup
        if setup.scene not in scenes:
            continue
        # a scaled or mirrored copy of a cut-out is an item of its own
        mine = tuple(
            item
            for item in items
            if setup.scene in item.scenes
            and (item.cut.name in setup.pieces or item.cut.name == setup.background)
        )
        sounds = tuple(dict.fromkeys(sound for row in setup.rows for sound in row.sounds))
        days.append(Day(work, len(days) + 1, mine, sounds))
    return days


def _head(room: Field, hours: float, many: int) -> Iterator[Mark]:
    words = f"{many} set-ups in the order of shooting, about {hours:.1f} hours"
    yield Words(words, room.x, room.top - 3.5, 8, BLACK, bold=True)
    yield Words("date", room.right - 46.0, room.top - 3.5, 7, PENCIL)
    yield Stroke(((room.right - 38.0, room.top - 4.2), (room.right, room.top - 4.2)), HAIR, PENCIL)
    for n, line in enumerate(TOLD):
        yield Words(line, room.x, room.top - 7.6 - 3.0 * n, 6, PENCIL, room=room.width)


def _lines(kitting: Kitting, day: Day) -> Iterator[tuple[str, str]]:
    """What is said of a set-up: a word, and what follows it."""
    setup = day.work.setup
    rows = setup.rows
    first, last = rows[0].frame, rows[-1].frame + rows[-1].frames - 1
    camera = (
        "the camera moves"
        if setup.view is None
        else (
            f"view {setup.view.width:g} mm wide at ({setup.view.x:g}, {setup.view.y:g})"
            + (f", turned {setup.view.angle:g}°" if setup.view.angle else "")
        )
    )
    yield "set", f"{setup.background or 'the bare table'}; {camera}; field {kitting.stage.field_mm:g} mm"
    yield (
        "shoot",
        f"frames {first} to {last}: {len(rows)} exposures, {sum(setup.actions)} actions of the hands",
    )
    by: dict[str, list[str]] = {}
    for item in day.items:
        if item.envelope != BACKGROUND:
            label = item.name.removeprefix(f"{item.envelope}.")
            many = f" × {item.needed}" if item.needed > 1 else ""
            by.setdefault(item.envelope or "loose pieces", []).append(label + many)
    for envelope, names in by.items():
        yield envelope, ", ".join(names)
    if setup.spoilt:
        yield "destroys", ", ".join(sorted(setup.spoilt)) + ": shoot everything else with it first"
    if day.sounds:
        yield "heard", ", ".join(day.sounds)


def _wrapped(kitting: Kitting, lines: Sequence[tuple[str, str]], room: float) -> Iterator[tuple[str, str]]:
    for word, text in lines:
        for n, line in enumerate(wrapped(text, room, SIZE, kitting.type)):
            yield (word if n == 0 else ""), line


def _a_box(day: Day) -> int:
    """For how many exposures a box is."""
    return ceil(len(day.work.setup.rows) / MOST)


def _ticks_high(day: Day, width: float) -> float:
    across = max(1, int((width - 8.0) // (TICKS * TICK + 3.0)))
    return ceil(len(day.work.setup.rows) / (_a_box(day) * TICKS * across)) * (TICK + 2.6) + 2.0


def _height(day: Day, lines: Sequence[tuple[str, str]], width: float) -> float:
    # a line of long text takes about so many lines of the page
    many = sum(max(1, ceil(len(text) / (width * 0.62))) for _, text in lines)
    return 9.0 + many * STEP + _ticks_high(day, width) + 3.0


def _day(kitting: Kitting, day: Day, lines: Sequence[tuple[str, str]], field: Field) -> Iterator[Mark]:
    yield Stroke(box(field.x, field.y, field.width, field.height), LINE, closed=True)
    work = day.work
    x, y = field.x + 3.0, field.top - 5.4
    yield Stroke(box(x, y - 0.5, 3.6, 3.6), THIN, closed=True)
    titles = {staged.name: staged.scene.title for staged in kitting.scenes}
    name = f"{day.number}  {work.setup.name} {titles.get(work.setup.scene, '')}".strip()
    yield Words(name, x + 5.4, y, 10, BLACK, room=field.width * 0.6, bold=True)
    done = len(work.setup.rows) - work.exposures
    told = f"about {_time(work.seconds)}" + (f"; {done} of {len(work.setup.rows)} are shot" if done else "")
    yield Words(told, field.right - 3.0, y, 8, PENCIL, "right")
    y -= 1.6
    foot = field.y + _ticks_high(day, field.width)
    for word, line in _wrapped(kitting, lines, field.width - 30.0):
        y -= STEP
        if y < foot:
            break
        if word:
            yield Words(word, x, y, 6, PENCIL, room=22.0)
        yield Words(line, x + 23.0, y, SIZE, room=field.width - 29.0)
    yield from _ticks(day, Field(x, field.y + 1.5, field.width - 6.0, foot - field.y - 2.0))


def _ticks(day: Day, field: Field) -> Iterator[Mark]:
    """A box for each exposure, or for several, by twelves, each twelve under the number of its first."""
    across = max(1, int((field.width - 2.0) // (TICKS * TICK + 3.0)))
    for n, row in enumerate(day.work.setup.rows[:: _a_box(day)]):
        group, k = divmod(n, TICKS)
        line, column = divmod(group, across)
        x = field.x + column * (TICKS * TICK + 3.0) + k * TICK
        y = field.top - (line + 1) * (TICK + 2.6)
        if y < field.y - 1.0:
            return
        yield Stroke(box(x, y, TICK, TICK), HAIR, BLACK, closed=True)
        if k == 0:
            yield Words(str(row.frame), x, y + TICK + 0.5, 4.6, PENCIL)


def _time(seconds: float) -> str:
    minutes = ceil(seconds / 60)
    return f"{minutes} min" if minutes < 90 else f"{minutes / 60:.1f} hours"
