"""Whether a sound file has been cut short.

libsndfile takes a WAV or OGG file that lost its end for a shorter one; what their heads and pages promise
shows it. FLAC and MP3 are caught while they are read.
"""

from __future__ import annotations

from pathlib import Path

UNKNOWN = (0, 0xFFFFFFFF, 0x7FFFFFFF, 0x7FFFF000, 0xFFFFF000)
"""Lengths that a program writes when it does not know the length beforehand, or when it needs 64 bits."""

PAGE = 65_307
"""The longest page of OGG (RFC 3533, 6)."""


def cut_short(path: Path, kind: str) -> bool:
    """Whether a WAV or OGG file ends before its end."""
    if kind in ("WAV", "WAVEX"):
        return _wav_cut_short(path)
    return kind == "OGG" and _ogg_cut_short(path)


def _wav_cut_short(path: Path) -> bool:
    size = path.stat().st_size
    with path.open("rb") as file:
        place = 12
        while place + 8 <= size:
            file.seek(place)
            head = file.read(8)
            length = int.from_bytes(head[4:], "little")
            if head[:4] == b"data":
                return length not in UNKNOWN and place + 8 + length > size
            place += 8 + length + length % 2
    return False


def _ogg_cut_short(path: Path) -> bool:
    """Whether the last page is not whole or does not say that it is the last one (RFC 3533, 6)."""
    with path.open("rb") as file:
        file.seek(max(0, path.stat().st_size - 2 * PAGE))
        end = file.read()
    start = end.rfind(b"OggS")
    if start < 0 or len(end) < start + 27:
        return True
    segments = end[start + 26]
    table = end[start + 27 : start + 27 + segments]
    whole = len(table) == segments and len(end) - start - 27 - segments >= sum(table)
    return not (whole and end[start + 5] & 4)
