"""Moves: the vocabulary of the table.

Comes in: a move as written in a scene, the frames it works on, how the member lay before. Goes out: values
of named channels (mm, degrees, ratios), one per exposure, and the events that sounds hang on. One move a
file; the list below is the whole vocabulary.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from splitpin.motion.appear import Appear
from splitpin.motion.approach import Approach
from splitpin.motion.bend import Bend
from splitpin.motion.blink import Blink
from splitpin.motion.bounce import Bounce
from splitpin.motion.flutter import Flutter
from splitpin.motion.growth import Growth
from splitpin.motion.hold import Hold
from splitpin.motion.hop import Hop
from splitpin.motion.jaw import Jaw
from splitpin.motion.leave import Leave
from splitpin.motion.move import Move
from splitpin.motion.nod import Nod
from splitpin.motion.pan import Pan
from splitpin.motion.peel import Peel
from splitpin.motion.posed import Posed
from splitpin.motion.reach import Reach
from splitpin.motion.roll import Roll
from splitpin.motion.scuttle import Scuttle
from splitpin.motion.shake import Shake
from splitpin.motion.slide import Slide
from splitpin.motion.snap import Snap
from splitpin.motion.speak import Speak
from splitpin.motion.swap import Swap
from splitpin.motion.tilt import Tilt
from splitpin.motion.track import Track
from splitpin.motion.walk import Walk

MOVES: tuple[type[Move], ...] = (
    Slide,
    Pan,
    Roll,
    Hop,
    Bounce,
    Walk,
    Scuttle,
    Bend,
    Reach,
    Nod,
    Snap,
    Jaw,
    Speak,
    Swap,
    Blink,
    Flutter,
    Growth,
    Approach,
    Peel,
    Shake,
    Track,
    Tilt,
    Appear,
    Leave,
    Posed,
    Hold,
)
"""Every kind of move, in the order of the reference."""

AnyMove = Annotated[
    Slide
    | Pan
    | Roll
    | Hop
    | Bounce
    | Walk
    | Scuttle
    | Bend
    | Reach
    | Nod
    | Snap
    | Jaw
    | Speak
    | Swap
    | Blink
    | Flutter
    | Growth
    | Approach
    | Peel
    | Shake
    | Track
    | Tilt
    | Appear
    | Leave
    | Posed
    | Hold,
    Field(discriminator="move"),
]
"""A move of any kind, told apart by its key ``move``."""
