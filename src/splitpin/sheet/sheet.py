"""The exposure sheet: the one thing that everything else reads.

Rendered frames, printed strips, the outline over the live picture, the check of a shot frame and the
workbench all read rows and nothing else. Nobody recomputes a position.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from splitpin.character.place import Placed
from splitpin.character.pose import Pose
from splitpin.measure.table import View
from splitpin.motion.move import Span
from splitpin.scene.scene import Cue


class Said(NamedTuple):
    """What somebody says during an exposure."""

    who: str
    """The member whose mouth it is, or else the speaker of the panel; empty where nobody knows."""
    word: str
    """The words that begin; ``–`` while one goes on; empty where none is known."""
    shape: str = ""
    """The mouth that speaks it; empty without one."""
    opening: float = 0.0
    """How far it is open, from 0 to 1."""

    def __str__(self) -> str:
        mouth = f"[{self.shape}{f' {self.opening:.2g}' if self.opening else ''}]" if self.shape else ""
        words = " ".join(part for part in (self.word, mouth) if part)
        return f"{self.who}: {words}" if self.who else words


class Row(NamedTuple):
    """One exposure: what lies on the table while the camera takes it."""

    frame: int
    """Its first frame in the scene."""
    frames: int
    """How many frames it is held for."""
    placed: tuple[Placed, ...]
    """The pieces, lowest first. Equal tuples are the same picture."""
    view: View
    """What the camera takes in."""
    panel: str
    """The panel it belongs to."""
    sounds: tuple[str, ...] = ()
    """Sounds that start during it."""
    note: str = ""
    """What the panel and the hands say of it; on the first exposure of a panel its action."""
    poses: Mapping[str, Pose] = {}
    """The channels of every member, and of ``view``, from which the pieces were placed."""
    says: tuple[Said, ...] = ()
    """What is said on it, and by which mouths."""
    since: int = 0
    """Its first frame in its panel, counted as if nothing were held: so touches and holds name it."""
    longer: int = 0
    """How many more frames it is held than the moves say; below 0 when it is fewer."""


class Event(NamedTuple):
    """Something that happens on an exposure, for sounds to hang on."""

    move: str
    """The move's name."""
    name: str
    """What happens: ``landing``, ``step``, ``hit``, ``swap``."""
    frame: int
    """The frame in the scene."""
    who: str
    """Whom it happens to."""


class Sounding(NamedTuple):
    """A cue in its place."""

    cue: Cue
    at: Fraction
    """Its start, in frames of the scene, which need not be whole."""
    until: Fraction
    """Where a loop with no length of its own ends, in frames of the scene."""


class Sheet(NamedTuple):
    """The rows of one scene."""

    scene: str
    rate: Fraction
    frames: int
    """How long the scene is; the sum of the rows' frames, and of the panels'."""
    paper: str
    """The colour of the table, ``#rrggbb``."""
    rows: tuple[Row, ...]
    events: tuple[Event, ...]
    soundings: tuple[Sounding, ...]
    panels: tuple[tuple[str, int, int], ...]
    """Each panel's name, first frame and number of frames."""
    unheard: tuple[Sounding, ...] = ()
    """Cues on events that come only after the end of the scene, each where it would have started first."""
    reports: tuple[str, ...] = ()
    """What a person should know: a limit reached, a reach that falls short."""
    spans: Mapping[int, Span] = {}
    """The frames that each move works on, by its place in the scene's list, as if nothing were held."""
