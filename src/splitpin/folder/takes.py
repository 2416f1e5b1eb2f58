"""Shot frames on disk: ``takes/SCENE/FRAME.png``, where FRAME is the first frame of an exposure in its scene.

A further take of the same exposure is ``FRAME-2.png``, ``FRAME-3.png`` …; files are written once and never
overwritten, and the highest number counts. Beside each may lie ``FRAME.toml``, which tells when and by what
it was taken. Takes that do not count any more lie in ``aside/``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Annotated, Literal, NamedTuple

from pydantic import AwareDatetime, Field, StringConstraints

from splitpin.measure.plain import Plain, Text

ASIDE = "aside"
"""The folder of takes that do not count."""
Real = Annotated[float, Field(allow_inf_nan=False)]

ENDINGS = (".png", ".jpg", ".jpeg", ".tif", ".tiff")
_NAME = re.compile(r"(\d{6})(?:-([2-9]|[1-9]\d{1,3}))?(\.[A-Za-z]+)", re.ASCII)


class Take(NamedTuple):
    """One shot frame."""

    frame: int
    """The first frame of its exposure, in its scene."""
    number: int
    """1 for the first take of it."""
    file: str
    """Its path in the film folder."""


class Mapped(Plain):
    """From the picture's pixels to the table: a homography after the lens's distortion is taken out."""

    h: Annotated[list[Real], Field(min_length=9, max_length=9)]
    """The homography, row by row, from pixels to mm on the table, y up."""
    k: Annotated[list[Real], Field(min_length=2, max_length=2)] = [0.0, 0.0]
    """The lens's radial distortion (Brown's first two terms)."""
    centre: Annotated[list[Real], Field(min_length=2, max_length=2)]
    """Of the distortion, pixels."""
    size: tuple[int, int]
    """The picture's width and height, pixels."""


class TakeNote(Plain):
    """``takes/SCENE/FRAME.toml``: what is known of a take."""

    format: Literal[1] = 1
    """The version of this kind of note."""
    time: AwareDatetime
    """When it was taken."""
    source: Text = ""
    """By what: a camera's name, or the file that was brought."""
    sha256: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    """The sum of the picture's bytes."""
    size: tuple[int, int]
    """Its width and height, pixels."""
    mapping: Mapped | None = None
    """Where the camera saw the table, if its marks were found."""


def note_of(file: str) -> str:
    """The path of a take's note.

    >>> note_of("takes/010-wall/000034-2.png")
    'takes/010-wall/000034-2.toml'
    """
    return f"{file.rpartition('.')[0]}.toml"


def is_note(name: str) -> bool:
    """Whether a name in a scene's folder is that of a note, or of the folder of what does not count."""
    stem, _, ending = name.rpartition(".")
    return name == ASIDE or (ending == "toml" and read_name("", f"{stem}.png") is not None)


def read_name(scene: str, name: str) -> Take | None:
    """The take that a file name stands for; None for any other file.

    >>> read_name("010-wall", "000034-2.png")
    Take(frame=34, number=2, file='takes/010-wall/000034-2.png')
    """
    match = _NAME.fullmatch(name)
    if match is None or match.group(3).lower() not in ENDINGS:
        return None
    return Take(int(match.group(1)), int(match.group(2) or 1), f"takes/{scene}/{name}")


def file_name(frame: int, number: int = 1, ending: str = ".png") -> str:
    """The file name of a take.

    >>> file_name(34, 2)
    '000034-2.png'
    """
    return f"{frame:06d}{'' if number == 1 else f'-{number}'}{ending}"


def best(takes: Iterable[Take]) -> dict[int, Take]:
    """The take that counts for each exposure: the one with the highest number."""
    return {t.frame: t for t in sorted(takes, key=lambda t: (t.frame, t.number))}
