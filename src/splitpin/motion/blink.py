"""blink: the lids come down and go up again."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.character.pose import Value
from splitpin.measure.plain import Name
from splitpin.motion.channels import flag, piece, replacement
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span


class Blink(Move):
    """Lids are shut for four frames (two positions on twos) and open again on the last position."""

    usual: ClassVar[int | None] = 3
    summary: ClassVar[str] = "The lids are shut for four frames."

    move: Literal["blink"]
    """Which move it is."""
    piece: Name = "lids"
    """The lids, hidden at rest, which show while the eyes are shut; or open eyes, which are hidden meanwhile;
    or, with ``shows``, eyes with a replacement set."""
    shows: Name | None = None
    """The replacement that shows while the eyes are shut."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``hidden`` or ``shows`` of the piece; the events ``shut`` and ``open``."""
        of = piece(self, before, self.piece)
        n = span.exposures
        still: Value
        shut: Value
        if self.shows is not None:
            replacement(self, before, of, [self.shows])
            channel, shut = f"{of}.shows", self.shows
            still = str(before.pose.get(channel) or self._resting(before))
        else:
            channel = f"{of}.hidden"
            still = flag(before, channel)
            shut = not still
        events = (("shut", 0), ("open", n - 1)) if n > 1 else ()
        return Motion({channel: (*(shut,) * (n - 1), still)}, events=happenings(span, *events))

    def _resting(self, before: Before) -> str:
        return "" if before.figure is None else before.figure.character.pieces[self.piece].resting_show
