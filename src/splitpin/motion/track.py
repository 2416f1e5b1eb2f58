"""track: the camera comes nearer or goes back."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Point, Positive
from splitpin.motion.approach import with_size
from splitpin.motion.channels import number, view_only
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.path import Straight
from splitpin.motion.spacing import ratio


class Track(Move):
    """Tracks in or out over the art: equal *ratios* of the width look even, so its logarithm is eased.

    With ``onto`` one point of the table stays in its place on the screen all the while.
    """

    usual: ClassVar[int | None] = 48
    summary: ClassVar[str] = "The camera comes nearer or goes back."
    works_on: ClassVar[Literal["member", "view", "both"]] = "view"

    move: Literal["track"]
    """Which move it is."""
    on: Annotated[Count, Field(le=240)] | None = 1
    """Frames an exposure while it works."""
    width_mm: Positive | None = None
    """How much of the table the view takes in at the end, from left to right, mm."""
    nearer: Positive | None = None
    """Or how many times as large things become: 2 is twice as near, 0.5 goes back."""
    onto: Point | None = None
    """Where the middle of the view comes to lie, mm on the table; it stays when left out."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``width`` of the view, and ``x`` and ``y`` when it goes elsewhere."""
        view_only(self, before)
        if (self.width_mm is None) == (self.nearer is None):
            raise MoveError(
                "width_mm",
                "neither width_mm nor nearer" if self.nearer is None else "both width_mm and nearer",
                "one of the two",
                "say how near it comes" if self.nearer is None else "leave one of them out",
            )
        start = number(before, "width")
        end = self.width_mm if self.width_mm is not None else start / (self.nearer or 1.0)
        shares = fractions(self.ease, span.exposures)
        widths = ratio(start, end, shares)
        if self.onto is None:
            return Motion({"width": tuple(widths)}, events=happenings(span))
        way = Straight((number(before, "x"), number(before, "y")), self.onto)
        xs, ys = way.at(with_size(widths, start, end, shares))
        return Motion({"x": tuple(xs), "y": tuple(ys), "width": tuple(widths)}, events=happenings(span))
