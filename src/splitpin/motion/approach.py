"""approach: a slide with a scale."""

from __future__ import annotations

from typing import ClassVar, Literal

from splitpin.measure.plain import Positive
from splitpin.motion.channels import number
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Span
from splitpin.motion.spacing import ratio
from splitpin.motion.travel import Travel


class Approach(Travel):
    """Comes nearer or goes away: it grows by equal ratios while it travels.

    Place and scale keep step as in perspective: on a straight way, one point of the table (the vanishing
    point) stays where it is.
    """

    usual: ClassVar[int | None] = 16
    summary: ClassVar[str] = "Comes nearer or goes away: travels and grows."

    move: Literal["approach"]
    """Which move it is."""
    scale: Positive
    """Its scale when it arrives, against its true size."""
    ease: Ease = "even"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x``, ``y`` and ``scale``."""
        of = self.prefix(before)
        shares = fractions(self.ease, span.exposures)
        start = number(before, f"{of}scale")
        scales = ratio(start, self.scale, shares)
        xs, ys = self.way(before, of).at(with_size(scales, start, self.scale, shares))
        return Motion(
            {f"{of}x": tuple(xs), f"{of}y": tuple(ys), f"{of}scale": tuple(scales)}, events=happenings(span)
        )


def with_size(sizes: list[float], start: float, end: float, shares: tuple[float, ...]) -> tuple[float, ...]:
    """Shares of a way that keep step with a size, so that one point stays in its place.

    Nearly equal sizes leave nothing to keep step with; then the shares of the time stand.
    """
    if abs(end - start) < 1e-9 * start:
        return shares
    return tuple(1.0 if size == end else (size - start) / (end - start) for size in sizes)
