"""Writing WAV: for the example's effects, and for a mix that goes elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Literal

import soundfile

from splitpin.device.beside import beside
from splitpin.sound.source import SAMPLING, Sound


def write_wav(
    path: Path, blocks: Iterable[Sound], depth: Literal["PCM_16", "PCM_24", "FLOAT"] = "PCM_24"
) -> None:
    """Write stereo sound at 48 kHz, block by block; the file is there whole or not at all.

    Parameters
    ----------
    path
        Where it goes.
    blocks
        Sound of shape ``(n, 2)``.
    depth
        16 or 24 bits a sample, or 32-bit floating point.
    """
    with (
        beside(path) as part,
        soundfile.SoundFile(part, "w", SAMPLING, 2, subtype=depth, format="WAV") as file,
    ):
        for block in blocks:
            file.write(block)
