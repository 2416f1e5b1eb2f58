"""flutter: scraps at a new place and angle on each position."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from splitpin.measure.plain import Name
from splitpin.motion.channels import member, prefix
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span


class Flutter(Move):
    """Scraps lie at a new place and angle on each position: leaves in the wind, a fight in a dust cloud."""

    usual: ClassVar[int | None] = 18
    summary: ClassVar[str] = "Scraps at a new place and angle on each position."

    move: Literal["flutter"]
    """Which move it is."""
    pieces: Annotated[list[Name], Field(min_length=1, max_length=1000)] | None = None
    """The scraps, each by its own chance; the whole member when left out."""
    mm: Annotated[float, Field(strict=True, ge=0, le=1e6)] = 8.0
    """How far they are thrown from their place at most, mm."""
    degrees: Annotated[float, Field(strict=True, ge=0, le=360)] = 30.0
    """How far they are turned at most, to either side."""

    def motion(self, span: Span, before: Before, seed: int) -> Motion:
        """Disturbs ``x``, ``y`` and ``angle``; the event ``flutter`` on each position but the last.

        Notes
        -----
        Places are spread evenly over a disc: the distance is the square root of an even chance.
        """
        member(self, before)
        n = span.exposures
        chance = np.random.default_rng(seed)
        disturb: dict[str, tuple[float, ...]] = {}
        for name in dict.fromkeys(self.pieces) if self.pieces is not None else (None,):
            of = prefix(self, before, name, "pieces")
            far, towards, turned = chance.random((3, n))
            distance, angle = self.mm * np.sqrt(far), 2 * np.pi * towards
            for channel, values in (
                ("x", distance * np.cos(angle)),
                ("y", distance * np.sin(angle)),
                ("angle", self.degrees * (2 * turned - 1)),
            ):
                disturb[f"{of}{channel}"] = (*values[:-1].tolist(), 0.0)
        return Motion(disturb=disturb, events=happenings(span, *(("flutter", k) for k in range(n - 1))))
