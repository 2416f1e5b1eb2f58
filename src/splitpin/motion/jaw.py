"""jaw: the chin piece is pulled down from its rest."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Name, Number
from splitpin.motion.channels import piece
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span
from splitpin.motion.spacing import ends_of, share, through

AN_OPENING = 4


class Jaw(Move):
    """A chin piece is pulled down from its rest and goes back, two or three times: a drop-jaw mouth."""

    usual: ClassVar[int | None] = 2 * AN_OPENING
    summary: ClassVar[str] = "A chin piece is pulled down and goes back, a few times."

    move: Literal["jaw"]
    """Which move it is."""
    piece: Name = "jaw"
    """The piece that is pulled down."""
    drop: Number = 6.0
    """How far it is pulled down at its widest, mm along the head."""
    times: Annotated[Count, Field(le=1000)] = 2
    """How often it opens."""
    openings: Annotated[list[Number], Field(min_length=1, max_length=100_000)] | None = None
    """How far it is open on each position, mm, instead of ``drop`` and ``times``; then it is shut."""

    @property
    def takes(self) -> int:
        """Four positions an opening, or as many as are listed and one to shut."""
        return len(self.openings) + 1 if self.openings is not None else self.times * AN_OPENING

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """Disturbs ``y`` of the piece; the event ``open`` each time it begins to open or is widest."""
        of = piece(self, before, self.piece)
        n = span.exposures
        if self.openings is not None:
            values = [-opening for opening in self.openings[: n - 1]]
            values += [0.0] * (n - len(values))
            opens = [k for k in range(n) if values[k] < 0 and (k == 0 or values[k - 1] >= 0)]
        elif (times := min(self.times, n // 2)) == 0:
            values, opens = [0.0] * n, []
        else:
            counts = share(n, [1] * (2 * times), least=1)
            values = through([0.0, *[-self.drop, 0.0] * times], counts, ["swing"] * len(counts))
            opens = ends_of(counts)[::2]
        return Motion(
            disturb={f"{of}.y": tuple(values)}, events=happenings(span, *(("open", k) for k in opens))
        )
