"""``film.toml``: the film as a whole."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from splitpin.frames.look import PaperLook
from splitpin.measure.plain import Count, Name, Plain, Positive, Text
from splitpin.measure.rate import parse_rate
from splitpin.measure.table import Stage
from splitpin.scene.scene import Cue

Side = Annotated[int, Field(strict=True, ge=16, le=8192, multiple_of=2)]


class Outlet(Plain):
    """One form in which the film is delivered."""

    kind: Literal["film", "pictures"] = "film"
    """``film``: an MP4 with sound; ``pictures``: numbered PNG files, one a frame."""
    lufs: Annotated[float, Field(strict=True, ge=-70, le=-5)] = -14.0
    """How loud the whole film is, LUFS (ITU-R BS.1770)."""
    peak: Annotated[float, Field(strict=True, ge=-20, le=0)] = -1.0
    """The true peak that nothing goes over, dBTP."""
    quality: Annotated[int, Field(strict=True, ge=0, le=40)] = 18
    """The constant rate factor of H.264: smaller is finer and larger; 18 looks like the original."""
    effort: Literal["draft", "fine"] = "fine"
    """``draft`` is quick and larger; ``fine`` takes its time."""


class Film(Plain):
    """``film.toml``: what the whole film shares."""

    format: Literal[1]
    """The version of this kind of document."""
    title: Annotated[str, Field(strict=True, min_length=1, max_length=200)]
    """The film's title; the made file is named after it."""
    rate: Literal["12", "24000/1001", "24", "25", "30000/1001", "30"] = "24"
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
    look: PaperLook = PaperLook()
    """The look of real paper."""
    outlets: dict[Name, Outlet] = {"web": Outlet()}
    """The forms in which the film is delivered; ``make`` makes all of them unless told otherwise."""
    enlarge: Positive = 2.0
    """How many times past its own detail a cut-out may be enlarged before ``check`` tells of it."""
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
