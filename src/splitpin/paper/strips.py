"""Guide strips: where a travelling piece is laid, exposure by exposure, at true size."""

from __future__ import annotations

from math import atan2, degrees

from splitpin.paper.bent import bent
from splitpin.paper.clip import Drawn
from splitpin.paper.foot import FOOT, LONG, SHORT, SIZE, TICK, WIDE, foot
from splitpin.paper.kitting import Kitting
from splitpin.paper.labels import spread, thinned
from splitpin.paper.page import BLACK, HAIR, LINE, PALE, PENCIL, THIN, Page, Stroke, Words, box
from splitpin.paper.slips import Slip, pages, slips
from splitpin.paper.stock import Field
from splitpin.paper.travel import HOLD, Run, apart, is_straight, runs

LEAD = 4.0
"""From a tick's foot to its number, mm."""
PITCH = 2.5
"""Between numbers, mm."""
TAB = 10.0
"""A tab for tape at each end, mm."""
FREE = 6.0
"""Between a tab and the first tick, mm."""


def strips(kitting: Kitting) -> list[Page]:
    """Strips and templates for everything that travels, scene by scene."""
    done: list[Page] = []
    for staged in kitting.scenes:
        found: list[Slip] = []
        for number, run in enumerate(runs(staged), 1):
            if is_straight(run.places):
                marks, extent = straight(run, number, kitting)
            else:
                marks, extent = bent(run, number, kitting)
            # no join runs through a number, if that can be
            numbers = [Field(m.x - 6.0, m.y, 12.0, 0.0) for m in marks if isinstance(m, Words) and m.angle]
            found += slips(marks, extent, kitting.stock, kitting.type, numbers, str(number))
        done += pages("strips", f"Guide strips: {staged.name}", found, kitting.stock)
    return done


def straight(run: Run, number: int, kitting: Kitting) -> tuple[list[Drawn], Field]:
    """A straight strip: its upper edge lies on the way of the pin, which goes to the right."""
    first, far = run.places[0], max(run.places, key=lambda place: apart(run.places[0], place))
    long = apart(first, far)
    ux, uy = (far[0] - first[0]) / long, (far[1] - first[1]) / long
    along = [(x - first[0]) * ux + (y - first[1]) * uy for x, y in run.places]
    back = min(along)
    length = max(along) - back
    wide = max(length + 2 * (TAB + FREE), WIDE)
    start = (wide - length) / 2 - back
    at = [start + s for s in along]
    deep = max(kitting.type(stop.words, SIZE) for stop in run.stops)
    numbers = -LONG - LEAD
    low = numbers - deep - 1.5 - FOOT
    marks: list[Drawn] = [Stroke(box(0, low, wide, -low), THIN, closed=True)]
    marks.append(Stroke(((0, 0), (wide, 0)), LINE))
    marks += _tab(0.0, low) + _tab(wide - TAB, low)
    marks += _ticks(run, at, numbers, (TAB + 3, wide - TAB - 3))
    marks += foot(run, number, kitting, Field(TAB, low, wide - 2 * TAB, FOOT), degrees(atan2(uy, ux)))
    return marks, Field(0, low, wide, -low)


def _ticks(run: Run, at: list[float], numbers: float, row: tuple[float, float]) -> list[Drawn]:
    count, most = len(at), int((row[1] - row[0]) / PITCH)
    keep = [n for n, stop in enumerate(run.stops) if stop.last > stop.first]
    shown = thinned(count, most, keep)
    places = dict(zip(shown, spread([at[n] for n in shown], PITCH, *row), strict=True))
    marks: list[Drawn] = []
    for n, stop in enumerate(run.stops):
        x = at[n]
        if n not in places:
            marks.append(Stroke(((x, 0), (x, -SHORT)), TICK))
            continue
        marks.append(Stroke(((x, 0), (x, -LONG)), TICK))
        marks.append(Stroke(((x, -LONG), (places[n], numbers + 0.8)), HAIR, PENCIL))
        held = stop.last - stop.first + 1 >= HOLD
        marks.append(
            Words(stop.words, places[n] + 0.75, numbers, SIZE, BLACK, "right", 90, bold=held)
        )  # fmt: skip
    return marks


def _tab(x: float, low: float) -> list[Drawn]:
    marks: list[Drawn] = [Stroke(((x, low), (x, 0)), HAIR), Stroke(((x + TAB, low), (x + TAB, 0)), HAIR)]
    y = low + 3.0
    while y + TAB < -1.0:
        marks.append(Stroke(((x + 1.0, y), (x + TAB - 1.0, y + TAB - 2.0)), HAIR, PALE))
        y += 3.0
    marks.append(Stroke(box(x + 2.6, low / 2 - 6.0, 4.8, 12.0), 0.0, closed=True, fill=1.0))
    marks.append(Words("tape", x + 5.9, low / 2, 7, PENCIL, "middle", 90))
    return marks
