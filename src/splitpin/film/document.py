"""``film.toml``: the film as a whole."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from splitpin.film.caption_rules import CaptionRules
from splitpin.film.credits import Thanked
from splitpin.film.outlet import FilmOutlet, Outlets, RateName
from splitpin.frames.look import PaperLook
from splitpin.measure.plain import Count, Name, Plain, Positive, Text
from splitpin.measure.rate import parse_rate
from splitpin.measure.table import Stage
from splitpin.scene.scene import Cue
from splitpin.sheet.forecast.limits import Limits
from splitpin.sheet.shooting.order import Changes

Side = Annotated[int, Field(strict=True, ge=16, le=8192, multiple_of=2)]


class MixTable(Plain):
    """How the sounds of a film go together."""

    duck_db: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=60)] = 0.0
    """How far music and effects go down while somebody speaks, decibels; 0 leaves them alone, 8 to 12 is
    usual."""
    attack: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=10)] = 0.3
    """Seconds in which they go down before a voice begins."""
    release: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=10)] = 0.7
    """Seconds in which they come back after it."""


class Film(Plain):
    """``film.toml``: what the whole film shares."""

    format: Literal[1]
    """The version of this kind of document."""
    title: Annotated[str, Field(strict=True, min_length=1, max_length=200)]
    """The film's title; the made file is named after it."""
    rate: RateName = "24"
    """Frames a second, exactly."""
    picture: tuple[Side, Side] = (1920, 1080)
    """Width and height of the picture in pixels, even."""
    field_mm: Positive = 400.0
    """How wide the field on the table is, mm; its height follows from the picture's shape."""
    on: Annotated[Count, Field(le=240)] = 2
    """Frames an exposure (2 is on twos)."""
    scenes: list[Name] = []
    """The scenes (names in ``scenes/``) in the order of the film."""
    cues: list[Cue] = []
    """Sounds that run across scenes, such as music; ``start`` counts from the start of the film."""
    people: list[Thanked] = []
    """Who made the film, in the order of the credits."""
    mix: MixTable = MixTable()
    """How the sounds go together."""
    look: PaperLook = PaperLook()
    """The look of real paper."""
    outlets: Outlets = {"web": FilmOutlet()}
    """The forms in which the film is delivered; ``make`` makes all of them unless told otherwise. One that
    does not say its ``kind`` is a film."""
    language: Annotated[str, Field(strict=True, pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] = "und"
    """The language that is spoken, as BCP 47 has it (``en``, ``pt-BR``); ``und`` where it is not said."""
    captions: CaptionRules = CaptionRules()
    """How the lines that are spoken are set as captions."""
    enlarge: Positive = 2.0
    """How many times past its own detail a cut-out may be enlarged before ``check`` tells of it."""
    forecast: Limits = Limits()
    """From where on ``check --ahead`` tells what lies ahead."""
    changes: Changes = Changes()
    """What it costs to change the table, for the order of shooting."""
    note: Text = ""
    """Anything worth remembering."""

    @property
    def exact_rate(self) -> Fraction:
        """The rate as a fraction."""
        return parse_rate(self.rate)

    @property
    def stage(self) -> Stage:
        """The picture over the field."""
        return Stage(self.picture[0], self.picture[1], self.field_mm)
