"""What every move is: the words it has in a document, and the values it gives per exposure."""

from __future__ import annotations

from abc import abstractmethod
from fractions import Fraction
from typing import Annotated, ClassVar, Literal, NamedTuple

from pydantic import Field, StringConstraints

from splitpin.character.figure import Figure
from splitpin.character.pose import Pose, Value
from splitpin.measure.plain import Count, Name, Plain, Point
from splitpin.measure.rate import exposures_in
from splitpin.voice.mouth import Reading

HAPPENING_PATTERN = r"^[^\W_][\w-]{0,79}(\.[a-z]+(\.[1-9]\d{0,5})?)?$"
"""What the end of a move, or an event of one, looks like."""
Happening = Annotated[str, StringConstraints(strict=True, pattern=HAPPENING_PATTERN)]
"""The name of a move; or an event of it, the first or the nth: ``roll.landing``, ``roll.landing.2``."""

Seconds = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=36_000)]


class Span(NamedTuple):
    """The frames of a scene that a move works on, half-open."""

    start: int
    """Its first frame in the scene."""
    frames: int
    """How many frames."""
    on: int
    """Frames an exposure."""
    rate: Fraction = Fraction(24)
    """Frames a second."""

    @property
    def exposures(self) -> int:
        """How many exposures; the last may be shorter than ``on``."""
        return exposures_in(self.frames, self.on)

    @property
    def end(self) -> int:
        """The first frame after it."""
        return self.start + self.frames

    def frame(self, exposure: int) -> int:
        """The frame in the scene at which an exposure starts."""
        return self.start + exposure * self.on


class Before(NamedTuple):
    """What a move knows of what it moves: how it lay on the exposure before."""

    pose: Pose
    """The channels of the member (or of the view: ``x``, ``y``, ``width``, ``angle``)."""
    figure: Figure | None
    """The member's figure; None for the view."""
    reading: Reading | None = None
    """What its mouth does while its sound is heard, in frames after the start of the span; None where no
    sound is known."""


class Motion(NamedTuple):
    """The values a move gives: one per exposure of its span.

    Exposure ``k`` of ``n`` has travelled ``(k + 1) / n`` of the way: the exposure before the span shows the
    start, the last of the span shows the end.
    """

    travel: dict[str, tuple[Value, ...]] = {}
    """Channels it takes over, absolute values; the last value stays after the span."""
    disturb: dict[str, tuple[float, ...]] = {}
    """Channels it disturbs and lets go: added on top (``scale`` and ``width`` multiply); nothing stays."""
    stand: dict[str, tuple[Point, ...]] = {}
    """Pieces that stand on the table, and where their pins are, mm: what else moves the member does not move
    them. What ``travel`` says of their shifts is what that comes to when nothing else does."""
    events: tuple[tuple[str, int], ...] = ()
    """What happens, and on which exposure of the span: ``("landing", 11)``."""
    reports: tuple[str, ...] = ()
    """What a person should know, in words that follow the names of the move and the member."""


class MoveError(ValueError):
    """A move that cannot be done as written; the message says what was found and expected, ``key`` where."""

    def __init__(self, key: str, found: str, expected: str, remedy: str) -> None:
        super().__init__(f"{found}; expected {expected}")
        self.key, self.found, self.expected, self.remedy = key, found, expected, remedy


class Move(Plain):
    """The keys that all moves share. A move's own file adds its kind, its keys and its values."""

    usual: ClassVar[int | None] = None
    """How many exposures it takes when nothing is said; None: to the end of its panel."""
    summary: ClassVar[str] = ""
    """One line for people who choose among moves."""
    works_on: ClassVar[Literal["member", "view", "both"]] = "member"
    """What it can move: members of the cast, the view, or both."""

    name: Name | None = None
    """What cues and other moves call it by; its kind when left out."""
    who: Name
    """The member of the cast that it moves, or ``view``."""
    panel: Name | None = None
    """The panel in which it starts; the first one when left out."""
    start: Seconds = 0.0
    """Seconds after the start of the panel (or after what ``after`` names)."""
    after: Happening | None = None
    """The move that must end before this one starts; or the event of a move with which it starts, the first
    or the nth of that name: ``speak.gesture.2``."""
    seconds: Seconds | None = None
    """How long it takes."""
    positions: Count | None = None
    """How long it takes, as a number of exposures; the trade's usual timing when neither is given."""
    on: Annotated[Count, Field(le=240)] | None = None
    """Frames an exposure while it works; the scene's when left out."""

    @property
    def kind(self) -> str:
        """Which move it is: the word under its key ``move``."""
        return str(getattr(self, "move", type(self).__name__.lower()))

    @property
    def takes(self) -> int | None:
        """How many exposures this one takes when it does not say; None: to the end of its panel."""
        return self.usual

    @abstractmethod
    def motion(self, span: Span, before: Before, seed: int) -> Motion:
        """The values of this move.

        Parameters
        ----------
        span
            The frames it works on; at least one exposure.
        before
            How the member lay before.
        seed
            For moves with chance in them: the same seed gives the same values.

        Raises
        ------
        MoveError
            When the move cannot be done as written.
        """
