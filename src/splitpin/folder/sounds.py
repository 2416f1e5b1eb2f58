"""The kind and length of a sound from its header."""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO, NamedTuple

from splitpin.folder.header import a, breaks_off, looks_like, numbers, take
from splitpin.folder.mistake import FileError

MOST_BYTES = 1 << 30
ENDINGS = {".wav": "WAV", ".flac": "FLAC", ".ogg": "OGG", ".mp3": "MP3"}


class SoundSize(NamedTuple):
    """A sound's file, measured; None where only decoding would tell."""

    kind: str
    sampling: int | None
    """Samples a second."""
    channels: int | None
    samples: int | None
    """Samples of each channel."""


def measure_sound(path: Path) -> SoundSize:
    """Measure a sound without decoding it.

    Raises
    ------
    FileError
        When it is not the kind of sound that its name says, breaks off, is empty, or is too large.
    OSError
        When it cannot be read.
    """
    wanted = ENDINGS.get(path.suffix.lower())
    if path.stat().st_size > MOST_BYTES:
        raise FileError("a file of more than 1 GB", "at most 1 GB", "cut the sound shorter")
    with path.open("rb") as file:
        head = file.read(16)
        kind = _kind(head)
        if kind is None:
            raise FileError(
                looks_like(head) or "not a sound that can be read",
                f"{a(wanted or 'WAV, FLAC, OGG or MP3')} file",
                f"open it in a sound editor and save it as {wanted or 'WAV'}",
            )
        if kind != wanted:
            raise FileError(
                f"{a(kind)} file, though its name ends in {path.suffix or 'nothing'}",
                f"{a(wanted or 'WAV, FLAC, OGG or MP3')} file",
                f"save it as {wanted or 'WAV'}, or rename it to {path.stem}.{kind.lower()}",
            )
        file.seek(0)
        size = _wav(file) if kind == "WAV" else _flac(file) if kind == "FLAC" else _unmeasured(kind)
    if size.samples == 0 and kind == "WAV":
        raise FileError("a sound without a single sample", "something to hear", "record it again")
    return size


def _kind(head: bytes) -> str | None:
    if head[:4] in (b"RIFF", b"RF64") and head[8:12] == b"WAVE":
        return "WAV"
    if head.startswith(b"fLaC"):
        return "FLAC"
    if head.startswith(b"OggS"):
        return "OGG"
    # An MP3 starts with its tag, or with the sync word of layer III (ISO 11172-3, 2.4.2.3).
    if head.startswith(b"ID3") or (head[:1] == b"\xff" and len(head) > 1 and head[1] & 0xE6 == 0xE2):
        return "MP3"
    return None


def _wav(file: BinaryIO) -> SoundSize:
    # RIFF: chunks of id, length and data, padded to even lengths; 0xFFFFFFFF and 0 mean "to the end" in
    # files written by recorders that were cut off, and in RF64.
    size = file.seek(0, os.SEEK_END)
    file.seek(12)
    form: tuple[int, ...] | None = None
    while True:
        tag, length = take(file, 4, "WAV"), numbers("<I", file, "WAV")[0]
        left = size - file.tell()
        if tag == b"data":
            if form is None:
                raise breaks_off("WAV")
            _, channels, sampling, _, block, _ = form
            if length == 0xFFFFFFFF:
                length = left
            if length > left:
                raise breaks_off("WAV")
            return SoundSize("WAV", sampling, channels, length // max(1, block))
        if tag == b"fmt ":
            if length < 16:
                raise breaks_off("WAV")
            form = numbers("<HHIIHH", file, "WAV")
            if not form[1] or not form[2]:
                raise FileError(
                    f"a sound of {form[1]} channels at {form[2]} Hz", "a channel and a rate", "save it again"
                )
            file.seek(length - 16 + length % 2, os.SEEK_CUR)
        else:
            file.seek(length + length % 2, os.SEEK_CUR)


def _flac(file: BinaryIO) -> SoundSize:
    # RFC 9639, 8.2: 20 bits of sampling rate, 3 of channels less one, 5 of bits less one, 36 of samples.
    bits = int.from_bytes(take(file, 26, "FLAC")[18:26], "big")
    samples = bits & ((1 << 36) - 1)
    return SoundSize("FLAC", bits >> 44, (bits >> 41 & 7) + 1, samples or None)


def _unmeasured(kind: str) -> SoundSize:
    return SoundSize(kind, None, None, None)
