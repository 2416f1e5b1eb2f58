"""Reading WAV, FLAC, OGG and MP3: any sampling rate from 8 to 192 kHz, one to eight channels, to stereo at 48
kHz.

libsndfile takes off what MP3, Vorbis and Opus put before the first sample, as far as the file says how much
that is: an MP3 without the encoder's tag is heard from its first decoded sample, about 25 ms of padding
included.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from splitpin.device.soundfile_whole import cut_short
from splitpin.sound.downmix import MOST_CHANNELS, downmix
from splitpin.sound.source import BLOCK, SAMPLING, Sound, SoundError

ENDINGS = {".wav": ("WAV", "WAVEX", "RF64"), ".flac": ("FLAC",), ".ogg": ("OGG",), ".mp3": ("MP3",)}
"""What the ending of a sound's name promises, in libsndfile's names."""

SLOWEST, FASTEST = 8_000, 192_000
LOUDEST = 1_000.0
"""Full scales. A floating-point file above this was written in whole numbers and is not meant to be that
loud.
"""

READABLE = "a WAV, FLAC, OGG or MP3 file"


class Heard(NamedTuple):
    """What a sound file says of itself."""

    sampling: int
    """Samples a second."""
    channels: int
    frames: int
    """Samples a channel."""
    kind: str
    """``WAV``, ``FLAC``, ``OGG`` or ``MP3``."""

    @property
    def seconds(self) -> float:
        """How long it is."""
        return self.frames / self.sampling


def look_at(path: Path, where: str = "") -> Heard:
    """What a sound file says of itself, without reading it through.

    Parameters
    ----------
    path
        The file.
    where
        What a person knows it by; the name of the file when left out.

    Raises
    ------
    SoundError
        When it is missing, empty, cut short, of another kind than its ending says or of none that can be
        read.
    """
    where = where or path.name
    with _opened(path, where) as file:
        return Heard(file.samplerate, file.channels, file.frames, path.suffix[1:].upper())


def read_blocks(path: Path, where: str = "") -> Iterator[Sound]:
    """A sound file from its start to its end, in stereo at 48 kHz.

    Raises
    ------
    SoundError
        As :func:`look_at`; and when a sample is not a number, or far beyond full scale, or the file ends too
        soon.
    """
    where = where or path.name
    with _opened(path, where) as file:
        matrix = downmix(file.channels, file.format == "OGG")
        plain = (_stereo(block, matrix) for block in _raw_blocks(file, where))
        if file.samplerate == SAMPLING:
            yield from plain
        else:
            yield from _resampled(plain, file.samplerate)


def _opened(path: Path, where: str) -> soundfile.SoundFile:
    expected = ENDINGS.get(path.suffix.lower())
    if expected is None:
        raise SoundError(
            where,
            f"the ending {path.suffix!r}",
            READABLE,
            "save the sound again as one of these",
        )
    try:
        if not path.is_file():
            raise SoundError(where, "no file", READABLE, "put the file there or correct its name")
        if path.stat().st_size == 0:
            raise SoundError(where, "an empty file", READABLE, "copy or save the sound again")
        file = soundfile.SoundFile(path)
    except OSError as error:
        raise SoundError(
            where, f"a file that cannot be read ({error.strerror})", READABLE, "check its permissions"
        ) from error
    except soundfile.SoundFileError as error:
        raise SoundError(
            where,
            "a file that is damaged or of another kind",
            READABLE,
            "open it in a sound editor and save it again",
        ) from error
    try:
        _check(file, path, where, expected)
    except BaseException:
        file.close()
        raise
    return file


def _check(file: soundfile.SoundFile, path: Path, where: str, expected: tuple[str, ...]) -> None:
    if file.format not in expected:
        right = next((end for end, kinds in ENDINGS.items() if file.format in kinds), None)
        remedy = f"rename it to end in {right}" if right else "save the sound again as one of these"
        raise SoundError(
            where, f"a file of the kind {file.format} that ends in {path.suffix}", READABLE, remedy
        )
    if not SLOWEST <= file.samplerate <= FASTEST:
        raise SoundError(
            where,
            f"{file.samplerate} samples a second",
            f"{SLOWEST} to {FASTEST}",
            "save the sound again at 48000 samples a second",
        )
    if not 1 <= file.channels <= MOST_CHANNELS:
        raise SoundError(
            where, f"{file.channels} channels", f"1 to {MOST_CHANNELS}", "save the sound again in stereo"
        )
    # First: of an OGG file that lost its end the decoder says that it has no length.
    if cut_short(path, file.format):
        raise _short(where)
    if file.frames == 0:
        raise SoundError(where, "a sound of no length", "at least one sample", "save the sound again")


def _short(where: str) -> SoundError:
    return SoundError(
        where, "a file that ends too soon", "all of the sound that its head promises", "copy or save it again"
    )


def _raw_blocks(file: soundfile.SoundFile, where: str) -> Iterator[NDArray[np.float32]]:
    done = 0
    while True:
        try:
            block = file.read(BLOCK, dtype="float32", always_2d=True)
        except soundfile.SoundFileError as error:
            raise _short(where) from error
        if not len(block):
            break
        if not np.isfinite(block).all():
            at = done + int(np.argmin(np.isfinite(block).all(axis=1)))
            raise SoundError(
                where,
                f"a sample that is not a number, {at / file.samplerate:.3f} s from the start",
                "finite samples",
                "cut that place out in a sound editor and save the sound again",
            )
        if float(np.abs(block).max()) > LOUDEST:
            raise SoundError(
                where,
                f"a sample of {float(np.abs(block).max()):.3g} full scales",
                "floating-point samples with full scale at 1",
                "save the sound again as 16- or 24-bit WAV or FLAC",
            )
        yield block
        done += len(block)
    if done < file.frames:
        raise _short(where)


def _stereo(block: NDArray[np.float32], matrix: NDArray[np.float32]) -> Sound:
    if block.shape[1] == 2:
        return block
    return np.asarray(block @ matrix, dtype=np.float32)


def _resampled(blocks: Iterator[Sound], sampling: int) -> Iterator[Sound]:
    stream = soxr.ResampleStream(sampling, SAMPLING, 2, dtype="float32", quality="HQ")
    for block in blocks:
        out = stream.resample_chunk(np.ascontiguousarray(block))
        if len(out):
            yield out
    out = stream.resample_chunk(np.zeros((0, 2), dtype=np.float32), last=True)
    if len(out):
        yield out
