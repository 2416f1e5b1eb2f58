"""Writing WAV and FLAC: effects, recordings, and the mix by itself."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Literal

import soundfile

from splitpin.device.beside import beside
from splitpin.sound.source import SAMPLING, Sound

Depth = Literal["PCM_16", "PCM_24", "FLOAT"]


def write_sound(path: Path, blocks: Iterable[Sound], depth: Depth = "PCM_24") -> None:
    """Write stereo sound at 48 kHz, block by block; the file is there whole or not at all.

    Parameters
    ----------
    path
        Where it goes: FLAC when its name ends in ``.flac``, else WAV.
    blocks
        Sound of shape ``(n, 2)``.
    depth
        16 or 24 bits a sample, or 32-bit floating point (WAV only).
    """
    form = "FLAC" if path.suffix == ".flac" else "WAV"
    with (
        beside(path) as part,
        soundfile.SoundFile(part, "w", SAMPLING, 2, subtype=depth, format=form) as file,
    ):
        for block in blocks:
            file.write(block)


def write_wav(path: Path, blocks: Iterable[Sound], depth: Depth = "PCM_24") -> None:
    """The same, always WAV."""
    write_sound(path, blocks, depth)
