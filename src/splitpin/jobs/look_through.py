"""Decode found pictures and sounds from start to end, so that nothing broken is ever stored."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import numpy as np

from splitpin.device.found import read_found
from splitpin.device.pictures import PictureError
from splitpin.device.soundfile_reader import look_at, read_blocks
from splitpin.folder import pictures, sounds
from splitpin.folder.kinds import PICTURE, SOUND, Kind
from splitpin.folder.mistake import FileError
from splitpin.jobs.stored import digest_of
from splitpin.sound.source import SAMPLING, SILENT_DBFS, SoundError, amplitude

ENDINGS = {PICTURE: pictures.ENDINGS, SOUND: sounds.ENDINGS}
"""The endings of files that documents of a kind are about."""


class Page(NamedTuple):
    """What was seen of a picture."""

    width: int
    height: int
    ppi: float | None
    notes: tuple[str, ...]


class Hearing(NamedTuple):
    """What was heard of a sound."""

    seconds: float
    sampling: int
    channels: int
    notes: tuple[str, ...]


class Seen(NamedTuple):
    """A file that was looked through; the pixels and samples themselves are let go."""

    path: Path
    kind: Kind
    digest: str
    pages: tuple[Page, ...] = ()
    """The pages of a picture."""
    hearing: Hearing | None = None
    """What was heard of a sound."""


def look_through(path: Path) -> Seen:
    """Look a file through, whatever it is.

    Raises
    ------
    FileError
        When it is neither a picture nor a sound, or not a whole one.
    OSError
        When it cannot be read.
    """
    ending = path.suffix.lower()
    if ending in sounds.ENDINGS:
        return Seen(path, SOUND, digest_of(path), hearing=_heard(path))
    if ending in pictures.ENDINGS:
        return Seen(path, PICTURE, digest_of(path), pages=_seen(path))
    if path.is_dir():
        found = "a folder"
    else:
        found = f"its name ends in {path.suffix}" if path.suffix else "a name without an ending"
    raise FileError(
        found,
        f"a picture: {', '.join(pictures.ENDINGS)}; or a sound: {', '.join(sounds.ENDINGS)}",
        "name the files in it" if path.is_dir() else "save it as one of these",
    )


def _seen(path: Path) -> tuple[Page, ...]:
    pictures.measure_picture(path)
    pages: list[Page] = []
    count = 1
    while len(pages) < count:
        try:
            picture = read_found(path, len(pages) + 1)
        except PictureError as e:
            which = f"page {len(pages) + 1}: " if count > 1 else ""
            raise FileError(f"{which}{e.found}", e.expected, e.remedy) from None
        count = picture.pages
        pages.append(Page(picture.rgb.shape[1], picture.rgb.shape[0], picture.ppi, picture.notes))
    return tuple(pages)


def _heard(path: Path) -> Hearing:
    sounds.measure_sound(path)
    samples, peak = 0, 0.0
    try:
        told = look_at(path)
        for block in read_blocks(path):
            samples += len(block)
            peak = max(peak, float(np.abs(block).max(initial=0.0)))
    except SoundError as e:
        raise FileError(e.found, e.expected, e.remedy) from None
    silent = ("nothing is heard in it",) if peak < amplitude(SILENT_DBFS) else ()
    return Hearing(samples / SAMPLING, told.sampling, told.channels, silent)
