"""Planted feet that slide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot
from typing import NamedTuple

from splitpin.character.place import Placed
from splitpin.measure.affine import Affine
from splitpin.motion.walk import Walk
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.sheet import Row
from splitpin.sheet.stack import BACKGROUND


class _Slid(NamedTuple):
    mm: float
    since: int
    """The frame from which the foot should stand."""
    row: Row
    placed: Placed


def feet(known: Known) -> Iterator[Foreseen]:
    """Feet that move over the ground while they should stand.

    The ground is the background where there is one, else the table.
    The feet named first in a walk swing first, and from each ``step`` on those that have landed stand.
    """
    for i, move in enumerate(known.scene.moves):
        if not isinstance(move, Walk) or i not in known.sheet.spans:
            continue
        steps = _steps(known, i, move)
        starts = zip(known.planned, known.sheet.rows, strict=True)
        first = next((row.frame for at, row in starts if at >= known.sheet.spans[i].start), 0)
        found: list[_Slid] = []
        for n, (since, until) in enumerate(zip([first, *steps], steps, strict=False)):
            standing = [row for row in known.sheet.rows if since <= row.frame <= until]
            for foot in move.feet[(n + 1) % 2 :: 2]:
                found += _slides(standing, since, move.who, foot)
        worst = max(found, key=lambda slid: slid.mm, default=None)
        if worst is not None and worst.mm > known.limits.slide_mm:
            foot = worst.placed.piece
            words = (
                f"the {foot} of {move.who} stands from frame {worst.since} on, and slides {worst.mm:.1f} mm",
                "a planted foot that stays where it is",
                "let the ground, and what else moves the foot, rest while it stands",
            )
            yield known.tell(
                "feet", worst.row, known.points(worst.row, worst.placed), words,
                slid_mm=worst.mm, who=move.who, foot=foot,
            )  # fmt: skip


def _steps(known: Known, i: int, move: Walk) -> list[int]:
    """The frames on which feet land."""
    name, span = move.name or move.kind, known.sheet.spans[i]
    frames = [e.frame for e in known.sheet.events if (e.move, e.name, e.who) == (name, "step", move.who)]
    alike = [
        m for m in known.scene.moves if isinstance(m, Walk) and (m.name or m.kind, m.who) == (name, move.who)
    ]
    return frames if len(alike) == 1 else [f for f in frames if span.start <= f < span.end]


def _slides(rows: Sequence[Row], since: int, who: str, foot: str) -> Iterator[_Slid]:
    """How far a foot is from where it stood first, on each row after that."""
    first: tuple[float, float] | None = None
    for row in rows:
        placed = next((p for p in row.placed if (p.who, p.piece) == (who, foot)), None)
        if placed is None:
            continue
        x, y = _on_the_ground(row, placed)
        first = first or (x, y)
        yield _Slid(hypot(x - first[0], y - first[1]), since, row, placed)


def _on_the_ground(row: Row, placed: Placed) -> tuple[float, float]:
    """Where a piece's pin is on the background, or on the table where there is none, mm."""
    ground: Affine | None = next((p.matrix for p in row.placed if p.who == BACKGROUND), None)
    if ground is None or not ground.determinant:
        return placed.pin
    size = abs(ground.determinant) ** 0.5
    x, y = ground.inverse().apply(*placed.pin)
    return x * size, y * size
