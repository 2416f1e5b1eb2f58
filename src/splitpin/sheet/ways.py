"""Where what a move moves lies on each of its exposures: the ticks along its way."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from math import hypot
from typing import NamedTuple

from splitpin.character.figure import Figure
from splitpin.character.place import Placed
from splitpin.motion.bend import Bend
from splitpin.motion.move import Move, Span
from splitpin.motion.nod import Nod
from splitpin.motion.reach import Reach
from splitpin.sheet.channels import VIEW
from splitpin.sheet.sheet import Row, Sheet

TURNING = (Bend, Nod, Reach)
"""Moves that turn a piece on its pin: the end of the piece is followed instead of the pin."""


class Tick(NamedTuple):
    """A place on the table, at one exposure."""

    frame: int
    """The exposure's first frame in the scene."""
    x: float
    """mm."""
    y: float


def rows_of(sheet: Sheet, plan: Sequence[int], span: Span) -> tuple[Row, ...]:
    """The rows on which a move works.

    Parameters
    ----------
    sheet
        The rows.
    plan
        Their first frames, and those of the span, as if nothing were held.
    span
        The frames of the move.
    """
    return sheet.rows[bisect_left(plan, span.start) : bisect_left(plan, span.end)]


def ticks(
    sheet: Sheet, plan: Sequence[int], figures: Mapping[str, Figure], move: Move, span: Span
) -> tuple[Tick, ...]:
    """The places along the way of a move, the one before it first.

    It is the pin of the piece that moves (of the root, when the whole member does); of a piece that turns,
    its end. Exposures on which it does not lie on the table have no tick, nor has what is before the scene.
    """
    first = bisect_left(plan, span.start)
    rows = [*sheet.rows[max(0, first - 1) : first], *rows_of(sheet, plan, span)]
    if move.who == VIEW:
        return tuple(Tick(row.frame, row.view.x, row.view.y) for row in rows)
    figure = figures[move.who]
    piece = piece_of(figure, move)
    placed = [(row.frame, p) for row in rows for p in row.placed if p.who == move.who and p.piece == piece]
    if not isinstance(move, TURNING):
        return tuple(Tick(frame, *p.pin) for frame, p in placed)
    return tuple(Tick(frame, *_end(p, figure)) for frame, p in placed)


def piece_of(figure: Figure, move: Move) -> str:
    """The piece that a move moves; the root when it moves the whole member, or several pieces."""
    piece = getattr(move, "piece", None)
    return piece if isinstance(piece, str) and piece in figure.character.pieces else figure.root


def _end(piece: Placed, figure: Figure) -> tuple[float, float]:
    """The end of a piece: as far beyond its middle as its pin is before it; else its top."""
    width, height = figure.cutouts[piece.cutout].width, figure.cutouts[piece.cutout].height
    x, y = piece.matrix.inverse().apply(*piece.pin)
    if hypot(x - width / 2, y - height / 2) < 0.1 * hypot(width, height):
        return piece.matrix.apply(width / 2, 0)
    return piece.matrix.apply(width - x, height - y)
