"""snap: hold, a small move back, a jump, over, settle."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.character.pose import Value
from splitpin.measure.plain import Number
from splitpin.motion.bend import goal
from splitpin.motion.channels import number, within_limits
from splitpin.motion.easing import Ease
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, MoveError, Span
from splitpin.motion.spacing import blend, share, through
from splitpin.motion.travel import Travel

HOLD, BACK, JUMP, OVER, SETTLE = 6, 2, 1, 1, 2
Share = Annotated[float, Field(strict=True, ge=0, le=10)]


class Snap(Travel):
    """Holds, moves back a little, jumps in one position, goes over and settles: a place, an angle or both.

    The jump takes one position however long the move lasts: more time is more hold.
    """

    usual: ClassVar[int | None] = HOLD + BACK + JUMP + OVER + SETTLE
    summary: ClassVar[str] = "Holds, moves back a little, jumps, goes over, settles."

    move: Literal["snap"]
    """Which move it is."""
    turn_to: Number | None = None
    """The angle it jumps to, degrees anticlockwise from rest."""
    turn_by: Number | None = None
    """Or how far it turns, degrees anticlockwise."""
    back: Share = 0.12
    """How far it moves back first, as a share of the whole way."""
    over: Share = 0.1
    """How far it goes over, as a share of the whole way."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed as it moves back and as it settles."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x`` and ``y``, ``angle``, or all three; the event ``hit`` at the jump."""
        of = self.prefix(before)
        counts = _phases(span.exposures)
        points = [0.0, 0.0, -self.back, 1.0, 1.0 + self.over, 1.0]
        shares = through(points, counts, ["even", self.ease, "even", "even", self.ease])
        travel: dict[str, tuple[Value, ...]] = {}
        turns = self.turn_to is not None or self.turn_by is not None
        if self.to is not None or self.by is not None or not turns:
            xs, ys = self.way(before, of).at(shares)
            travel |= {f"{of}x": tuple(xs), f"{of}y": tuple(ys)}
        if turns:
            if self.turn_to is not None and self.turn_by is not None:
                raise MoveError(
                    "turn_by", "both turn_to and turn_by", "one of the two", "leave one of them out"
                )
            angle = number(before, f"{of}angle")
            angles = blend(angle, goal(angle, self.turn_to, self.turn_by), shares)
            key = "turn_by" if self.turn_to is None else "turn_to"
            within_limits(self, before, self.piece, angles, key)
            travel[f"{of}angle"] = tuple(angles)
        return Motion(travel, events=happenings(span, ("hit", counts[0] + counts[1])))


def _phases(n: int) -> list[int]:
    # The jump is what matters; settling, going over and moving back follow; what is left is the hold.
    rest = n - JUMP
    if rest >= BACK + OVER + SETTLE:
        return [rest - BACK - OVER - SETTLE, BACK, JUMP, OVER, SETTLE]
    if rest < OVER + 1:
        return [0, rest, JUMP, 0, 0]
    back, settle = share(rest - OVER, [BACK, SETTLE])
    return [0, back, JUMP, OVER, settle] if settle else [0, back - 1, JUMP, OVER, 1]
