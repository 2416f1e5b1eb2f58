"""The forms in which a film is delivered: one model a kind, told apart by ``kind``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from splitpin.measure.plain import Name, Plain

Lufs = Annotated[float, Field(strict=True, ge=-70, le=-5)]
Dbtp = Annotated[float, Field(strict=True, ge=-20, le=0)]

CaptionPlace = Literal["beside", "inside", "burnt"]


class FilmOutlet(Plain):
    """An MP4 with sound, to be shown on screens of every kind."""

    kind: Literal["film"] = "film"
    """Which form it is."""
    lufs: Lufs = -14.0
    """How loud the whole film is, LUFS (ITU-R BS.1770)."""
    peak: Dbtp = -1.0
    """The true peak that nothing goes over, dBTP."""
    quality: Annotated[int, Field(strict=True, ge=0, le=40)] = 18
    """The constant rate factor of H.264: smaller is finer and larger; 18 looks like the original."""
    effort: Literal["draft", "fine"] = "fine"
    """``draft`` is quick and larger; ``fine`` takes its time."""
    captions: list[CaptionPlace] = ["beside", "inside"]
    """Where what is spoken can be read: ``beside`` it as WebVTT and SubRip, ``inside`` as a track that
    players can show, ``burnt`` into the picture; ``[]`` for nowhere."""

    @property
    def ending(self) -> str:
        """How the name of its file ends."""
        return ".mp4"


class PicturesOutlet(Plain):
    """Numbered PNG files, one a frame, and the mix as WAV."""

    kind: Literal["pictures"]
    """Which form it is."""
    lufs: Lufs = -14.0
    """How loud the whole film is, LUFS (ITU-R BS.1770)."""
    peak: Dbtp = -1.0
    """The true peak that nothing goes over, dBTP."""

    @property
    def ending(self) -> str:
        """A folder's name has none."""
        return ""


class SoundOutlet(Plain):
    """The sound by itself, 24 bits at 48 kHz, and beside it a drawing of its loudness (SVG)."""

    kind: Literal["sound"]
    """Which form it is."""
    lufs: Lufs | None = None
    """How loud the whole film is, LUFS (ITU-R BS.1770); as it is mixed when left out."""
    peak: Dbtp = -1.0
    """The true peak that nothing goes over, dBTP."""
    form: Literal["wav", "flac"] = "wav"
    """How the mix is stored; both keep every bit."""
    stems: Annotated[bool, Field(strict=True)] = False
    """Whether it is a folder in which voices, effects and music lie by themselves too: WAV in 32-bit
    floating point, as loud as in the mix before its peaks are brought down. They add up to it."""

    @property
    def ending(self) -> str:
        """How the name of its file ends; a folder's name has none."""
        return "" if self.stems else f".{self.form}"


AnyOutlet = Annotated[FilmOutlet | PicturesOutlet | SoundOutlet, Field(discriminator="kind")]
"""An outlet of any kind, told apart by its key ``kind``."""

STANDARD: dict[str, AnyOutlet] = {
    "web": FilmOutlet(),
    "podcast": SoundOutlet(kind="sound", lufs=-16.0),
    "stems": SoundOutlet(kind="sound", stems=True),
    "stills": PicturesOutlet(kind="pictures"),
}
"""Outlets that may be asked for by name though the film does not list them."""


def _films_where_unsaid(outlets: Any) -> Any:
    # Most outlets are films: nobody should have to say so.
    if not isinstance(outlets, Mapping):
        return outlets
    return {
        name: {"kind": "film", **outlet} if isinstance(outlet, Mapping) else outlet
        for name, outlet in outlets.items()
    }


Outlets = Annotated[dict[Name, AnyOutlet], BeforeValidator(_films_where_unsaid)]
"""Outlets by name; one that does not say its kind is a film."""
