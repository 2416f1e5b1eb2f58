"""What straight and curved strips share: their ticks' measures, and what stands below."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, radians, sin

from splitpin.paper.clip import Drawn
from splitpin.paper.kitting import Kitting
from splitpin.paper.page import LINE, Stroke, Words
from splitpin.paper.plan import Spot, arrow, plan, up_arrow
from splitpin.paper.stock import Field
from splitpin.paper.travel import Run, apart, is_straight, turns_back

TICK = 0.12
"""The width of a tick's line, mm; no other line has it."""
LONG, SHORT = 5.0, 3.0
"""How long ticks with and without a number are, mm."""
SIZE = 6.0
"""Of numbers, points."""
SMALL = 6.2
"""Of the words below, points."""
WIDE = 128.0
"""A strip is no shorter than its words need, mm."""
FOOT = 17.0
"""For the plan and the words, mm."""


def foot(run: Run, number: int, kitting: Kitting, room: Field, angle: float) -> Iterator[Drawn]:
    """What stands below a strip's numbers: the plan, which way the field's top lies, and words.

    Parameters
    ----------
    run, number, kitting
        The strip.
    room
        Where, FOOT mm high.
    angle
        The direction on the table of what runs to the right on the strip, degrees anticlockwise.
    """
    small = Field(room.x + 1.5, room.y + 1.5, 20.0, FOOT - 3.0)
    yield from plan(kitting.stage, run.places, small)
    t = radians(90 - angle)
    yield from up_arrow((small.right + 7.5, room.y + FOOT / 2 - 1.0), (cos(t), sin(t)))
    x, wide = small.right + 15.0, min(room.right - small.right - 15.5, 165.0)
    lines = told(run, number, angle)
    for n, words in enumerate(lines):
        yield Words(words, x, room.top - 4.0 - 3.6 * n, 8 if n == 0 else SMALL, room=wide, bold=n == 0)
    if is_straight(run.places):
        start = x + kitting.type(lines[-1], SMALL) + 4.0
        y = room.top - 4.0 - 3.6 * (len(lines) - 1) + 0.8
        yield Stroke(((start, y), (start + 12.0, y)), LINE)
        yield from arrow((start + 13.0, y), (1.0, 0.0), 3.0)


def told(run: Run, number: int, angle: float) -> tuple[str, ...]:
    """What a strip says of itself: whose it is, what its numbers are, where it lies."""
    first, last = run.stops[0].place, run.stops[-1].place
    steps = [apart(a, b) for a, b in pairwise(run.places)]
    far = f"{min(steps):.1f}–{max(steps):.1f}" if max(steps) - min(steps) >= 0.05 else f"{max(steps):.1f}"
    back = "; turns back" if turns_back(run.places) else ""
    lean = "as the field lies" if abs(angle) < 0.005 else f"turned {signed(angle, 2)}° to the field"
    return (
        f"{run.scene} · strip {number} · {run.name}",
        f"exposure · frame, holds bold; steps {far} mm{back}",
        f"its pin from {_at(first)} to {_at(last)}",
        lean,
    )


def _at(place: Spot) -> str:
    return f"({signed(place[0])}, {signed(place[1])})"


def signed(value: float, digits: int = 1) -> str:
    """A number as the rulers of the table marks write it: ``+12.5``, ``−3.0``, ``0``."""
    return f"{value:+.{digits}f}".replace("-", "−") if abs(value) >= 0.5 * 10**-digits else "0"
