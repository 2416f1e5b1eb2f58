"""hold: nothing moves."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span


class Hold(Move):
    """Nothing moves: time for the eye, and a place in the order of ``after``."""

    usual: ClassVar[int | None] = 12
    summary: ClassVar[str] = "Nothing moves for a while."
    works_on: ClassVar[Literal["member", "view", "both"]] = "both"

    move: Literal["hold"]
    """Which move it is."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - a hold needs nothing
        """No values; only its start and its end."""
        return Motion(events=happenings(span))
