"""Sounds made ready: each source is converted once to plain stereo at 48 kHz and read from there, block by
block.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np

from splitpin.device.beside import beside
from splitpin.device.soundfile_reader import look_at, read_blocks
from splitpin.sound.source import Sound, SoundError

VERSION = b"splitpin shelf 1"
"""Goes into the names on the shelf: another way of converting, another name."""

SAMPLE = np.dtype("<f4")
FRAME = 2 * SAMPLE.itemsize


class ShelvedSound:
    """A source in a file of bare samples, opened for each reading so that nothing keeps it from being
    deleted.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self.name = path.name
        """Its file on the shelf, named by what is heard in it: another sound, another name."""
        self._frames = path.stat().st_size // FRAME

    @property
    def frames(self) -> int:
        """How long it is, in samples."""
        return self._frames

    def read(self, start: int, count: int) -> Sound:
        """``count`` samples from ``start`` on."""
        with self._path.open("rb") as file:
            file.seek(start * FRAME)
            raw = file.read(count * FRAME)
        return np.frombuffer(raw, dtype=SAMPLE).reshape(-1, 2).astype(np.float32, copy=False)


class SoundShelf:
    """A folder of converted sounds, named by the content of what they were made from.

    Everything in it can be made again; two programs may use it at once.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def source(self, path: Path, where: str = "") -> ShelvedSound:
        """A sound file, ready to be read from any place.

        Parameters
        ----------
        path
            A WAV, FLAC, OGG or MP3 file.
        where
            What a person knows it by; the name of the file when left out.

        Raises
        ------
        SoundError
            When it cannot be used.
        """
        where = where or path.name
        look_at(path, where)
        name = _name_for(path, where)
        shelved = self._folder / f"{name}.f32"
        if not shelved.is_file():
            with beside(shelved) as part, part.open("wb") as file:
                for block in read_blocks(path, where):
                    file.write(block.astype(SAMPLE, copy=False).tobytes())
                if _name_for(path, where) != name:
                    raise SoundError(
                        where, "a file that was saved anew while it was read", "a file at rest", "try again"
                    )
        return ShelvedSound(shelved)


def _name_for(path: Path, where: str) -> str:
    digest = hashlib.sha256(VERSION)
    # The ending decides what the file is taken for, so it belongs to the content.
    digest.update(path.suffix.lower().encode())
    try:
        with path.open("rb") as file:
            while chunk := file.read(1 << 20):
                digest.update(chunk)
    except OSError as error:
        raise SoundError(
            where, f"a file that cannot be read ({error.strerror})", "a sound", "check its permissions"
        ) from error
    return digest.hexdigest()[:40]
