"""The forms in which a film is delivered: one model a kind, told apart by ``kind``."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from splitpin.film.opening import Opens
from splitpin.measure.plain import Name, Plain
from splitpin.measure.provenance import When
from splitpin.measure.rate import parse_rate
from splitpin.measure.timecode import LABEL

RateName = Literal["12", "24000/1001", "24", "25", "30000/1001", "30"]
"""Frames a second, exactly."""

Lufs = Annotated[float, Field(strict=True, ge=-70, le=-5)]
Dbtp = Annotated[float, Field(strict=True, ge=-20, le=0)]

TimecodeLabel = Annotated[str, Field(strict=True, pattern=f"^{LABEL.pattern}$")]
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
    opens: list[Opens] = []
    """What comes before the film: ``bars`` with a tone, 10 s; a ``slate`` that says what it is, 5 s; a
    ``leader`` that counts from 8, 8 s; always in this order. Loudness is that of the film alone."""
    date: When = ""
    """The date on the slate: one, a year, or words."""
    revision: Annotated[str, Field(strict=True, max_length=60)] = ""
    """The revision on the slate."""

    @property
    def ending(self) -> str:
        """How the name of its file ends."""
        return ".mp4"


class MasterOutlet(Plain):
    """A MOV from which cinemas and broadcasters make what they need: ProRes 422 HQ, 10 bits, every frame by
    itself; sound as it is, 24 bits at 48 kHz; and a time code track.
    """

    kind: Literal["master"]
    """Which form it is."""
    rate: RateName | None = None
    """Frames a second at which it is shown, the film's own when left out. Every frame is shown once, so that
    a film at 24 runs 4.2 % faster at ``25``, and its sound with it."""
    pitch: Literal["raised", "kept"] = "raised"
    """What becomes of the sound where ``rate`` is another than the film's: ``raised`` plays it faster, so
    that all is higher (lower when it is slower); ``kept`` shortens it in small steps, so that voices stay as
    they are."""
    lufs: Lufs | None = None
    """How loud the whole film is, LUFS (ITU-R BS.1770); as it is mixed when left out."""
    peak: Dbtp = -1.0
    """The true peak that nothing goes over, dBTP."""
    timecode: TimecodeLabel = "01:00:00:00"
    """The time code of the film's first frame, whatever comes before it; with ``;`` before the frames it runs
    on in drop-frame labels, which only ``30000/1001`` has."""
    captions: list[Literal["beside", "burnt"]] = ["beside"]
    """Where what is spoken can be read: ``beside`` it as WebVTT and SubRip, ``burnt`` into the picture;
    ``[]`` for nowhere. At another ``rate`` the captions go with the pictures."""
    opens: list[Opens] = []
    """What comes before the film: ``bars`` with a tone, 10 s; a ``slate`` that says what it is, 5 s; a
    ``leader`` that counts from 8, 8 s; always in this order. Loudness is that of the film alone."""
    date: When = ""
    """The date on the slate: one, a year, or words."""
    revision: Annotated[str, Field(strict=True, max_length=60)] = ""
    """The revision on the slate."""

    @property
    def ending(self) -> str:
        """How the name of its file ends."""
        return ".mov"

    def shown_at(self, rate: Fraction) -> Fraction:
        """Frames a second at which a film of a rate is shown."""
        return rate if self.rate is None else parse_rate(self.rate)


class PicturesOutlet(Plain):
    """Numbered pictures, one a frame, and the mix as WAV."""

    kind: Literal["pictures"]
    """Which form it is."""
    form: Literal["png", "tiff"] = "png"
    """How the pictures are stored, 8 bits a colour, sRGB, without loss; ``tiff`` is packed too (deflate) and
    says with a profile that it is sRGB."""
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


class LoopOutlet(Plain):
    """A GIF or WebP without sound that goes round for ever, as large as the size that is asked for allows."""

    kind: Literal["loop"]
    """Which form it is."""
    form: Literal["gif", "webp"] = "gif"
    """``webp`` is finer and smaller, ``gif`` is shown everywhere."""
    most_mb: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0.01, le=1000)] = 8.0
    """How large it may be, in millions of bytes; its width follows from that."""
    width: Annotated[int, Field(strict=True, ge=120, le=1280)] = 640
    """How wide it is at most, in pixels."""
    scene: Name | None = None
    """The scene that is shown; the whole film when left out."""
    start: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=36_000)] = 0.0
    """Where it begins: seconds after the start of that."""
    seconds: Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=36_000)] | None = None
    """How long it is; to the end when left out."""

    @property
    def ending(self) -> str:
        """How the name of its file ends."""
        return f".{self.form}"


class TimelineOutlet(Plain):
    """The film for editing programs: scenes, panels and sounds in their places as OpenTimelineIO; and as a
    CMX 3600 edit decision list without the sounds.
    """

    kind: Literal["timeline"]
    """Which form it is."""
    timecode: TimecodeLabel = "01:00:00:00"
    """The time code of the film's first frame."""

    @property
    def ending(self) -> str:
        """How the name of its first file ends."""
        return ".otio"


class ContactOutlet(Plain):
    """A contact sheet: small pictures of the film in rows, on white paper, with what they are and when."""

    kind: Literal["contact"]
    """Which form it is."""
    each: Literal["panel", "scene", "second"] = "panel"
    """What one picture stands for. It is the one in the middle; a second's is its first."""
    form: Literal["pdf", "png"] = "pdf"
    """Pages of A4, or one picture as tall as it must be."""
    columns: Annotated[int, Field(strict=True, ge=1, le=12)] = 4
    """Pictures in a row."""

    @property
    def ending(self) -> str:
        """How the name of its file ends."""
        return f".{self.form}"


AnyOutlet = Annotated[
    ContactOutlet | FilmOutlet | LoopOutlet | MasterOutlet | PicturesOutlet | SoundOutlet | TimelineOutlet,
    Field(discriminator="kind"),
]
"""An outlet of any kind, told apart by its key ``kind``."""

STANDARD: dict[str, AnyOutlet] = {
    "web": FilmOutlet(),
    "festival": MasterOutlet(kind="master"),
    "broadcast": MasterOutlet(kind="master", rate="25", lufs=-23.0),
    "podcast": SoundOutlet(kind="sound", lufs=-16.0),
    "stems": SoundOutlet(kind="sound", stems=True),
    "stills": PicturesOutlet(kind="pictures"),
    "loop": LoopOutlet(kind="loop"),
    "contact": ContactOutlet(kind="contact"),
    "timeline": TimelineOutlet(kind="timeline"),
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
