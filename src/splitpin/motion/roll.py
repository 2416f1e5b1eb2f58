"""roll: a disc turns as it travels."""

from __future__ import annotations

from math import floor, pi
from typing import ClassVar, Literal

from splitpin.character.figure import Figure
from splitpin.measure.plain import Positive
from splitpin.motion.channels import member, number
from splitpin.motion.easing import Ease, fractions
from splitpin.motion.events import Happening, happenings
from splitpin.motion.move import Before, Motion, Span
from splitpin.motion.travel import Journey


class Roll(Journey):
    """Travels and turns without slipping: turns = travel ÷ (π × diameter).

    The ground is below it at the start: rolling to the right it turns clockwise. Its root pin must be its
    middle.
    """

    usual: ClassVar[int | None] = 24
    summary: ClassVar[str] = "A disc turns as it travels, without slipping."

    move: Literal["roll"]
    """Which move it is."""
    diameter: Positive | None = None
    """How wide the disc is, mm on the table; the width of its root cut-out when left out."""
    ease: Ease = "slow-in-out"
    """How it gains and loses speed."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x``, ``y`` and ``angle``; the event ``turn`` at each whole turn, ``landing`` at the end.

        Notes
        -----
        Where two bodies touch without slipping the point of the disc that touches stands still, so the middle
        goes at ``ω · r`` whatever the bend of the ground.
        """
        figure = member(self, before)
        way = self.way(before)
        shares = fractions(self.ease, span.exposures)
        xs, ys = way.at(shares)
        turns = way.length / (pi * self._diameter(figure, before))
        (start, soon, end), _ = way.at((0.0, 0.01, 1.0))
        ahead = end - start or soon - start
        hand = 1.0 if ahead < 0 else -1.0
        angle = number(before, "angle")
        angles = tuple(angle + hand * 360 * turns * f for f in shares)
        whole = [floor(turns * f + 1e-9) for f in (0.0, *shares)]
        events: list[Happening] = [("turn", k) for k in range(span.exposures) if whole[k + 1] > whole[k]]
        return Motion(
            {"x": tuple(xs), "y": tuple(ys), "angle": angles},
            events=happenings(span, *events, ("landing", span.exposures - 1)),
        )

    def _diameter(self, figure: Figure, before: Before) -> float:
        if self.diameter is not None:
            return self.diameter
        root = figure.character.pieces[figure.root]
        shows = str(before.pose.get(f"{figure.root}.shows") or root.resting_show)
        size = root.scale * number(before, f"{figure.root}.scale") * number(before, "scale")
        return figure.cutouts[root.cutout_when(shows)].width_mm * size
