"""hold: nothing moves."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.motion.move import Before, Motion, Move, Span


class Hold(Move):
    """Nothing moves: time for the eye, and a place in the order of ``after``."""

    usual: ClassVar[int | None] = 12
    summary: ClassVar[str] = "Nothing moves for a while."

    move: Literal["hold"]
    """Which move it is."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - a hold needs nothing
        """No values; the event ``end`` on its last exposure."""
        return Motion(events=(("end", span.exposures - 1),))
