"""scuttle: two sets of legs swapped while it travels."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.character.pose import Value
from splitpin.measure.plain import Count, Name
from splitpin.motion.channels import piece, replacement
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Span
from splitpin.motion.travel import Journey


class Scuttle(Journey):
    """Travels while sets of legs take turns, one position each."""

    usual: ClassVar[int | None] = 12
    summary: ClassVar[str] = "Travels while two sets of legs take turns."

    move: Literal["scuttle"]
    """Which move it is."""
    legs: Annotated[list[Name], Field(min_length=2, max_length=100)]
    """The sets of legs that take turns, the resting one first: replacements of ``piece``, or pieces that show
    one at a time."""
    piece: Name | None = None
    """The piece whose replacements the legs are; left out, each set is a piece of its own."""
    each: Count = 1
    """How many positions each set shows."""
    ease: Ease = "even"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x``, ``y`` and what the legs show; the event ``step`` at each change of legs."""
        n = span.exposures
        xs, ys = self.way(before).at(fractions(self.ease, n))
        turn = [(k // self.each + 1) % len(self.legs) for k in range(n)]
        travel: dict[str, tuple[Value, ...]] = {"x": tuple(xs), "y": tuple(ys)}
        if self.piece is not None:
            replacement(self, before, self.piece, self.legs, "legs")
            travel[f"{self.piece}.shows"] = tuple(self.legs[i] for i in turn)
        else:
            for i, legs in enumerate(self.legs):
                travel[f"{piece(self, before, legs, 'legs')}.hidden"] = tuple(i != now for now in turn)
        return Motion(travel, events=happenings(span, *(("step", k) for k in range(0, n, self.each))))
