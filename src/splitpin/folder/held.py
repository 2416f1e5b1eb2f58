"""A camera's note of how it was held: whether a picture's sides change places when it is shown upright."""

from __future__ import annotations

import re
import struct

ORIENTATION = 274
_SIDEWAYS = range(5, 9)
"""Exif 2.32, 4.6.4 A: orientations 5 to 8 have rows and columns exchanged."""
_IN_XMP = re.compile(rb'tiff:Orientation(?:="|>)([0-9])')


def sideways(note: int | None) -> bool:
    """Whether an orientation lays the picture on its side."""
    return note in _SIDEWAYS


def in_exif(data: bytes) -> int | None:
    """The orientation in a block of Exif (a TIFF header and its first directory); None where it has none."""
    data = data.removeprefix(b"Exif\0\0")
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(data[:4])
    if order is None:
        return None
    try:
        (start,) = struct.unpack_from(order + "I", data, 4)
        (count,) = struct.unpack_from(order + "H", data, start)
        for i in range(count):
            tag, kind, _, value = struct.unpack_from(order + "HHIH", data, start + 2 + 12 * i)
            if tag == ORIENTATION and kind == 3:
                return int(value)
    except struct.error:
        return None
    return None


def in_xmp(data: bytes) -> int | None:
    """The orientation in a packet of XMP; None where it has none."""
    found = _IN_XMP.search(data)
    return int(found.group(1)) if found else None
