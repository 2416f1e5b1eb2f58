"""appear: a member or a piece is laid on the table."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.measure.plain import Name
from splitpin.motion.channels import member, prefix
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span


class Appear(Move):
    """A member, or one of its pieces, is laid on the table."""

    usual: ClassVar[int | None] = 1
    summary: ClassVar[str] = "A member or a piece is laid on the table."

    move: Literal["appear"]
    """Which move it is."""
    piece: Name | None = None
    """The piece; the whole member when left out."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``hidden``, from the first position on."""
        member(self, before)
        of = prefix(self, before, self.piece)
        return Motion({f"{of}hidden": (False,) * span.exposures}, events=happenings(span))
