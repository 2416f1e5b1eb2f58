"""bend: a piece turns on its pin."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.measure.plain import Name, Number
from splitpin.motion.channels import member, number, prefix, within_limits
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.spacing import blend


class Bend(Move):
    """A limb, a head or a torso turns on its pin and stays; 8 to 15 degrees a position look right."""

    usual: ClassVar[int | None] = 6
    summary: ClassVar[str] = "A piece turns on its pin and stays."

    move: Literal["bend"]
    """Which move it is."""
    piece: Name | None = None
    """The piece that turns; the whole member when left out."""
    to: Number | None = None
    """The angle it ends at, degrees anticlockwise from rest."""
    by: Number | None = None
    """Or how far it turns, degrees anticlockwise."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``angle``."""
        member(self, before)
        channel = f"{prefix(self, before, self.piece)}angle"
        start = number(before, channel)
        values = blend(start, goal(start, self.to, self.by), fractions(self.ease, span.exposures))
        within_limits(self, before, self.piece, values, "by" if self.to is None else "to")
        return Motion({channel: tuple(values)}, events=happenings(span))


def goal(start: float, to: float | None, by: float | None) -> float:
    """The angle a turn ends at.

    Raises
    ------
    MoveError
        When not exactly one of ``to`` and ``by`` is given.
    """
    if to is not None and by is not None:
        raise MoveError("by", "both to and by", "one of the two", "leave one of them out")
    if to is not None:
        return to
    if by is not None:
        return start + by
    raise MoveError("to", "no angle to turn to", "to or by, in degrees", "say how far it turns")
