"""What hands do next, in words that can be read from the table."""

from __future__ import annotations

from collections.abc import Mapping
from math import atan2, degrees, hypot
from typing import NamedTuple

from splitpin.character.place import Placed
from splitpin.sheet.sheet import Row
from splitpin.sheet.shooting.actions import Action, Kind, actions
from splitpin.sheet.stack import BACKGROUND

WAYS = ("E", "NE", "N", "NW", "W", "SW", "S", "SE")
"""The ways over the table, as its marks name them: E to the right, N to the top of the picture."""
STILL = 0.05
"""What moves or turns by less, mm or degrees, is not told."""


class Step(NamedTuple):
    """One thing to do before the exposure is taken."""

    kind: Kind
    who: str
    pieces: tuple[str, ...]
    dx: float
    """How far the first of them moves, mm to the right."""
    dy: float
    """And up."""
    turn: float
    """Degrees anticlockwise."""
    shows: str
    """The cut-out that is laid in another's place; empty else."""
    words: str
    """All of it for people."""


def steps(before: Row | None, now: Row) -> tuple[Step, ...]:
    """What to do between two exposures; nothing for a hold.

    Parameters
    ----------
    before
        The exposure before; None before the first one.
    now
        The exposure that is taken next.
    """
    old = {(p.who, p.piece): p for p in before.placed} if before is not None else {}
    new = {(p.who, p.piece): p for p in now.placed}
    told = []
    for action in actions(before, now):
        if before is None and action.who == BACKGROUND:
            told.append(_step(action, 0.0, 0.0, "", f"lay the background {_what(action, new)}"))
            continue
        first = (action.who, action.pieces[0])
        if action.kind == "moved":
            (x0, y0), (x1, y1) = old[first].pin, new[first].pin
            told.append(_moved(action, x1 - x0, y1 - y0))
        elif action.kind == "swapped":
            shows = new[first].cutout
            told.append(_step(action, 0.0, 0.0, shows, f"swap {_name(action)}: lay {shows}"))
        elif action.kind == "laid":
            x, y = new[first].pin
            told.append(_step(action, 0.0, 0.0, "", f"lay {_name(action)} at ({x:.0f}, {y:.0f})"))
        else:
            told.append(_step(action, 0.0, 0.0, "", f"take {_name(action)} away"))
    return tuple(told)


def _moved(action: Action, dx: float, dy: float) -> Step:
    far, turn = hypot(dx, dy), (action.by.angle + 180.0) % 360.0 - 180.0
    words = []
    if far >= STILL:
        words.append(f"{far:.1f} mm {way(dx, dy)}")
    if abs(turn) >= STILL:
        words.append(f"turn {abs(turn):.1f}° {'left' if turn > 0 else 'right'}")
    return _step(action, dx, dy, "", f"{_name(action)}: {', '.join(words) or 'a hair'}", turn)


def _step(action: Action, dx: float, dy: float, shows: str, words: str, turn: float = 0.0) -> Step:
    return Step(action.kind, action.who, action.pieces, dx, dy, turn, shows, words)


def _name(action: Action) -> str:
    """A figure by its name; one or two of its pieces by theirs."""
    if action.pieces == ("piece",) or len(action.pieces) > 2:
        return action.who
    return " and ".join(f"{action.who}.{piece}" for piece in action.pieces)


def _what(action: Action, new: Mapping[tuple[str, str], Placed]) -> str:
    return new[action.who, action.pieces[0]].cutout


def way(dx: float, dy: float) -> str:
    """The nearest of the eight ways.

    >>> way(1, 0), way(-1, 1)
    ('E', 'NW')
    """
    return WAYS[round(degrees(atan2(dy, dx)) / 45) % 8]
