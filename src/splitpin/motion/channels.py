"""Which channels a move may take hold of, and clear words when it may not."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from splitpin.character.figure import Figure
from splitpin.character.pose import PIECE_REST, REST
from splitpin.measure.likely import likely
from splitpin.motion.move import Before, Move, MoveError

ALMOST = 1e-9
"""Limits are kept to within rounding, degrees."""


def member(move: Move, before: Before) -> Figure:
    """The figure that a move works on.

    Raises
    ------
    MoveError
        When it is told to move the view.
    """
    if before.figure is None:
        raise MoveError("who", f"{move.kind} of the view", "a member of the cast", "name a member")
    return before.figure


def view_only(move: Move, before: Before) -> None:
    """Let a move work on the view alone.

    Raises
    ------
    MoveError
        When it is told to move a member.
    """
    if before.figure is not None:
        raise MoveError(
            "who",
            f"{move.kind} of {move.who!r}",
            "the view: it moves the camera and no piece",
            'write who = "view"',
        )


def piece(move: Move, before: Before, name: str, key: str = "piece") -> str:
    """The name of a piece that the member has.

    Raises
    ------
    MoveError
        When it has no such piece.
    """
    pieces = member(move, before).character.pieces
    if name not in pieces:
        raise MoveError(
            key, f"{move.who!r} has no piece {name!r}", f"one of {', '.join(pieces)}", likely(name, pieces)
        )
    return name


def prefix(move: Move, before: Before, name: str | None, key: str = "piece") -> str:
    """What the channels of a piece begin with; nothing for the whole member or the view."""
    return "" if name is None else f"{piece(move, before, name, key)}."


def replacement(move: Move, before: Before, of: str, shows: Iterable[str], key: str = "shows") -> None:
    """Let a piece show only what its replacement set holds.

    Raises
    ------
    MoveError
        When the piece has no such replacement.
    """
    known = member(move, before).character.pieces[piece(move, before, of)].set
    for name in shows:
        if name not in known:
            raise MoveError(
                key,
                f"{of!r} has no replacement {name!r}",
                f"one of {', '.join(known)}" if known else "a piece with a replacement set",
                likely(name, known) if known else f"give {of!r} a set in its character",
            )


def number(before: Before, channel: str) -> float:
    """The value that a channel of numbers had before."""
    rest = (PIECE_REST if "." in channel else REST).get(channel.rpartition(".")[2], 0.0)
    return float(cast("float", before.pose.get(channel, rest)))


def flag(before: Before, channel: str) -> bool:
    """Whether a channel of true and false was true before."""
    return bool(before.pose.get(channel, False))


def within_limits(move: Move, before: Before, name: str | None, angles: Iterable[float], key: str) -> None:
    """Let a piece turn only as far as its limits.

    Parameters
    ----------
    move, before, name
        The move, how things lay, and the piece; a whole member has no limits.
    angles
        Where it would turn to, degrees away from rest.
    key
        The key that says so.

    Raises
    ------
    MoveError
        When it would turn further.
    """
    limits = member(move, before).character.pieces[name].limits if name else None
    if limits is None:
        return
    turned = list(angles)
    for angle in (min(turned), max(turned)):
        if not limits[0] - ALMOST <= angle <= limits[1] + ALMOST:
            raise MoveError(
                key,
                f"{name!r} would turn to {angle:g} degrees away from rest",
                f"{limits[0]:g} to {limits[1]:g} degrees, its limits",
                "turn it less, or widen its limits in the character",
            )
