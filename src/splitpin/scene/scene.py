"""What a scene says: panels, cast, moves, cues, touches and the view."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from splitpin.character.pose import Value
from splitpin.measure.plain import Count, Flag, Name, Number, Plain, Positive, Text
from splitpin.motion import AnyMove
from splitpin.motion.move import Seconds

Nested = dict[str, object]
Colour = Annotated[str, StringConstraints(strict=True, pattern=r"^#[0-9a-fA-F]{6}$")]
FilePath = Annotated[str, StringConstraints(strict=True, min_length=1, max_length=400)]


class Hold(Plain):
    """One exposure that is held for longer, or for shorter, than the moves say."""

    frame: Annotated[int, Field(strict=True, ge=0)]
    """A frame of the exposure, from the start of the panel, counted as if nothing were held."""
    longer: Annotated[int, Field(strict=True, ge=-240, le=216_000)]
    """Frames more; fewer when below 0. An exposure of which none are left is taken out."""


class Panel(Plain):
    """One panel of the storyboard."""

    name: Name
    """What moves, cues and touches call it by."""
    seconds: Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=36_000)] | None = None
    """How long it lasts, rounded to whole frames."""
    frames: Count | None = None
    """How long it lasts in frames; give this or ``seconds``."""
    action: Text = ""
    """What happens."""
    sound: Text = ""
    """What is heard, in words."""
    says: Text = ""
    """The line that is spoken."""
    speaker: Name | None = None
    """Who speaks it."""
    drawing: FilePath | None = None
    """A board drawing, a path in the film folder (``board/010-1.png``)."""
    note: Text = ""
    """Anything worth remembering."""
    holds: list[Hold] = []
    """Exposures that are held: ``{ frame = 12, longer = 6 }``. The length of the panel counts them; moves,
    cues and touches are written as if nothing were held, and come so much later."""

    @property
    def held(self) -> int:
        """How many frames longer it is than its moves know of."""
        return sum(hold.longer for hold in self.holds)

    @property
    def spoken(self) -> str:
        """The line as it is written out, and who speaks it; empty where nothing is said."""
        if not self.says:
            return ""
        return f"{self.speaker}: “{self.says}”" if self.speaker else f"“{self.says}”"

    @model_validator(mode="after")
    def _one_length(self) -> Self:
        if (self.seconds is None) == (self.frames is None):
            raise ValueError("expected either seconds or frames, not both and not neither")
        return self


class Member(Plain):
    """One member of a scene's cast, as it lies when the scene opens."""

    character: Name | None = None
    """Who it is (a name in ``characters/``)."""
    cutout: Name | None = None
    """Or a bare cut-out (a name in ``cutouts/``): a figure of one piece called ``piece``."""
    x: Number = 0.0
    """Where its root pin lies, mm right of the middle of the field; on a ride, of the pin it rides on."""
    y: Number = 0.0
    """Where its root pin lies, mm above the middle of the field; on a ride, above the pin it rides on."""
    angle: Number = 0.0
    """Degrees anticlockwise."""
    scale: Positive = 1.0
    """Its size against its true size."""
    flip: Flag = False
    """Turned over, left for right."""
    hidden: Flag = False
    """Not on the table yet."""
    level: Number = 0.0
    """Raised (above 0) or lowered against the stacking order."""
    pose: Nested = {}
    """Its pieces, off their rest: ``head.angle = 12``, ``mouth.shows = "open"``."""
    rides: (
        Annotated[str, StringConstraints(strict=True, pattern=r"^[^\W_][\w-]*(\.[^\W_][\w-]*){2}$")] | None
    ) = None
    """``member.piece.pin``: the pin of another member that carries it along."""

    @model_validator(mode="after")
    def _one_figure(self) -> Self:
        if (self.character is None) == (self.cutout is None):
            raise ValueError("expected either a character or a cutout, not both and not neither")
        return self


class Cue(Plain):
    """One sound, and when it is heard."""

    sound: FilePath
    """A file in ``sounds/``."""
    panel: Name | None = None
    """The panel it belongs to; the first one when left out."""
    start: Number = 0.0
    """Seconds after the start of the panel, or after the event (before it when below 0)."""
    event: Text | None = None
    """The event of a move it hangs on: ``roll.landing``; every one of them, or the nth: ``walk.step.2``."""
    kind: Literal["voice", "effect", "music"] = "effect"
    """What it is, for the mix."""
    gain: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-120, le=40)] = 0.0
    """Louder or softer, in decibels."""
    pan: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-1, le=1)] = 0.0
    """Where it comes from: -1 is left, 1 is right."""
    skip: Seconds = 0.0
    """Seconds of the file left out at its start."""
    seconds: Seconds | None = None
    """How long it is heard; to its end when left out. With ``loop`` it goes round until then."""
    fade_in: Seconds = 0.0
    """Seconds to reach its level."""
    fade_out: Seconds = 0.0
    """Seconds to die away at its end."""
    ducks: Flag = True
    """Makes room for voices, as far as ``[mix]`` in ``film.toml`` says; of a voice: others make room for
    it."""
    loop: Flag = False
    """Goes round for ``seconds``, or to the end of the scene."""


class Touch(Plain):
    """A hand on one exposure: values that hold for it alone."""

    who: Name
    """The member, or ``view``."""
    panel: Name | None = None
    """The panel; the first one when left out."""
    frame: Annotated[int, Field(strict=True, ge=0)]
    """A frame of the exposure, counted from the start of the panel."""
    set: Nested
    """The channels and their values: ``{x = 10, head.angle = 5}``."""


class Look(Plain):
    """The camera's rectangle when the scene opens."""

    x: Number = 0.0
    """Its middle, mm to the right of the middle of the field."""
    y: Number = 0.0
    """Its middle, mm above the middle of the field."""
    width_mm: Positive | None = None
    """How much of the table it takes in; the whole field when left out."""
    angle: Number = 0.0
    """Tilt, degrees anticlockwise."""


class Tremble(Plain):
    """How unsteady the hands are that lay the pieces down."""

    mm: Annotated[float, Field(strict=True, ge=0, le=100)] = 0.0
    """How far a moved piece may lie beside its place (standard deviation)."""
    degrees: Annotated[float, Field(strict=True, ge=0, le=90)] = 0.0
    """How far it may be turned away (standard deviation)."""


class Scene(Plain):
    """``scenes/NAME.toml``: one set-up of the table and all that happens on it."""

    format: Literal[1]
    """The version of this kind of document."""
    title: Text = ""
    """What it is called; its name when left out."""
    on: Annotated[Count, Field(le=240)] | None = None
    """Frames an exposure (2 is on twos); the film's when left out."""
    seed: Annotated[int, Field(strict=True, ge=0, le=2**31 - 1)] = 0
    """Where chance starts: another seed, another flutter."""
    paper: Colour = "#f2ead8"
    """The colour of the table where nothing lies."""
    background: Name | None = None
    """The cut-out at the bottom (a name in ``cutouts/``), in the middle of the field; moves call it
    ``background``."""
    panels: Annotated[list[Panel], Field(min_length=1)]
    """The board, in order; together at most 216000 frames, two and a half hours at 24 a second."""
    snap: FilePath | None = None
    """A file in ``sounds/`` whose beats the panels keep to: each ends on the frame nearest to the beat that
    is nearest to its written end. Beats count from where a cue plays that sound; its document tells them."""
    cast: dict[Name, Member] = {}
    """Who is on the table."""
    order: list[Text] = []
    """The stacking order, lowest first: members, or single pieces of them (``cat.paw``); members left out lie
    on top in the order of the cast."""
    moves: list[AnyMove] = []
    """What happens."""
    cues: list[Cue] = []
    """What is heard."""
    touches: list[Touch] = []
    """Single exposures changed by hand."""
    view: Look = Look()
    """The camera's rectangle when the scene opens."""
    tremble: Tremble = Tremble()
    """The tremble of the hands."""
    note: Text = ""
    """Anything worth remembering."""


__all__ = ["Cue", "Hold", "Look", "Member", "Panel", "Scene", "Touch", "Tremble", "Value"]
