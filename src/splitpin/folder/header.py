"""What all readers of file headers share."""

from __future__ import annotations

import struct
from typing import BinaryIO

from splitpin.folder.mistake import FileError


def a(kind: str) -> str:
    """A kind of file with its article."""
    return f"an {kind}" if kind.startswith(("M", "O")) else f"a {kind}"


_SIGNS = {
    b"<!DOCTYPE": "a web page",
    b"<html": "a web page",
    b"<?xml": "a drawing or other text in XML",
    b"<svg": "a drawing in SVG",
    b"%PDF": "a PDF document",
    b"GIF8": "a GIF picture",
    b"II+\0": "a TIFF picture of the kind for very large files (BigTIFF)",
    b"MM\0+": "a TIFF picture of the kind for very large files (BigTIFF)",
    b"BM": "a BMP picture",
    b"8BPS": "a layered picture of a paint program",
    b"PK\x03\x04": "a ZIP archive",
    b"version https:/": "a stand-in for a large file that was not fetched",
}


def looks_like(head: bytes) -> str | None:
    """What a file that is nothing we read seems to be, by its first bytes; None where nothing tells.

    >>> looks_like(b"<!doctype html>")
    'a web page'
    """
    if head[4:8] == b"ftyp":
        return "a film, or a picture in a film's clothes (HEIC, AVIF, MP4)"
    upper = head.lstrip().upper()
    return next((what for sign, what in _SIGNS.items() if upper.startswith(sign.upper())), None)


def breaks_off(kind: str) -> FileError:
    """A file that ends too early."""
    return FileError(f"the {kind} file breaks off", f"a whole {kind} file", "copy or save the file again")


def take(file: BinaryIO, count: int, kind: str) -> bytes:
    """Exactly ``count`` bytes.

    Raises
    ------
    FileError
        When the file ends before.
    """
    data = file.read(count)
    if len(data) < count:
        raise breaks_off(kind)
    return data


def numbers(form: str, file: BinaryIO, kind: str) -> tuple[int, ...]:
    """Numbers packed as :mod:`struct` says, read from a file."""
    return struct.unpack(form, take(file, struct.calcsize(form), kind))
