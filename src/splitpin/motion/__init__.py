"""Moves: from a span of frames and the pose before it to one value per exposure.

Comes in: a move as written in a scene, the frames it works on, how the member lay before. Goes out: values of
named channels (mm, degrees, ratios), one per exposure, and the events that sounds hang on. One move a file; the
list below is the whole vocabulary.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from splitpin.motion.hold import Hold

MOVES = (Hold,)
"""Every kind of move, in the order of the reference."""

AnyMove = Annotated[Hold, Field()]
"""A move of any kind, told apart by its key ``move``."""
