"""The size of a picture from its header, and whether the file is whole."""

from __future__ import annotations

import os
import zlib
from pathlib import Path
from typing import BinaryIO, NamedTuple

from splitpin.folder.header import a, breaks_off, looks_like, numbers, take
from splitpin.folder.held import in_exif, in_xmp, sideways
from splitpin.folder.mistake import FileError
from splitpin.folder.tiff import pages_in

MOST_PIXELS = 120_000_000
ENDINGS = {
    ".png": "PNG",
    ".jpg": "JPEG",
    ".jpeg": "JPEG",
    ".tif": "TIFF",
    ".tiff": "TIFF",
    ".webp": "WebP",
}
_SUM_UP_TO = 64 << 20


class PictureSize(NamedTuple):
    """A picture's file, measured."""

    kind: str
    width: int
    """Pixels, as it is shown: upright, by the camera's note of how it was held."""
    height: int
    """Pixels, likewise."""


def measure_picture(path: Path) -> PictureSize:
    """Measure a picture without decoding it.

    Raises
    ------
    FileError
        When it is not the kind of picture that its name says, breaks off, is damaged, or is too large.
    OSError
        When it cannot be read.
    """
    wanted = ENDINGS.get(path.suffix.lower())
    with path.open("rb") as file:
        head = file.read(16)
        kind = _kind(head)
        if kind is None:
            raise FileError(
                looks_like(head) or "not a picture that can be read",
                f"{a(wanted or 'PNG')} file",
                f"open it in a picture program and save it as {wanted or 'PNG'}",
            )
        if kind != wanted:
            raise FileError(
                f"{a(kind)} file, though its name ends in {path.suffix}",
                f"{a(wanted or 'PNG')} file",
                f"save it as {wanted or 'PNG'}{_or_rename(path, kind)}",
            )
        file.seek(0)
        width, height, note = _READERS[kind](file)
    if sideways(note):
        width, height = height, width
    if width < 1 or height < 1:
        raise FileError(f"a picture of {width} × {height} pixels", "at least one pixel", "save it again")
    _bounded(width, height)
    return PictureSize(kind, width, height)


def _bounded(width: int, height: int, which: str = "") -> None:
    if width * height > MOST_PIXELS:
        raise FileError(
            f"{which}a picture of {width} × {height} pixels",
            f"at most {MOST_PIXELS // 1_000_000} million pixels",
            "make it smaller",
        )


def _or_rename(path: Path, kind: str) -> str:
    # A cut-out needs the transparency of a PNG, so another name would not help it.
    if path.parent.name == "cutouts":
        return ""
    return f", or rename it to {path.stem}{next(end for end, k in ENDINGS.items() if k == kind)}"


def _kind(head: bytes) -> str | None:
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if head.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if head[:4] in (b"II*\0", b"MM\0*"):
        return "TIFF"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WebP"
    return None


Header = tuple[int, int, int | None]
"""Width, height and the note of how the camera was held, which comes after them."""


def _png(file: BinaryIO) -> Header:
    # PNG, third edition, 5: length, type, data, CRC of type and data; the picture ends with IEND.
    size = file.seek(0, os.SEEK_END)
    file.seek(8)
    found: tuple[int, int] | None = None
    held = False
    exif: int | None = None
    xmp: int | None = None
    while True:
        length, tag = numbers(">I", file, "PNG")[0], take(file, 4, "PNG")
        if file.tell() + length + 4 > size:
            raise breaks_off("PNG")
        if found is None and (tag != b"IHDR" or length != 13):
            raise _damaged("PNG")
        if size <= _SUM_UP_TO or tag in (b"IHDR", b"eXIf"):
            data = take(file, length, "PNG")
            if zlib.crc32(data, zlib.crc32(tag)) != numbers(">I", file, "PNG")[0]:
                raise _damaged("PNG")
            if tag == b"IHDR":
                found = int.from_bytes(data[:4], "big"), int.from_bytes(data[4:8], "big")
            elif tag == b"eXIf":
                exif = in_exif(data)
            elif tag == b"iTXt" and data.startswith(b"XML:com.adobe.xmp\0"):
                xmp = in_xmp(data)
        else:
            file.seek(length + 4, os.SEEK_CUR)
        held = held or (tag == b"IDAT" and length > 0)
        if tag == b"IEND":
            if found is None or not held:
                raise _damaged("PNG")
            return *found, xmp if exif is None else exif


def _jpeg(file: BinaryIO) -> Header:
    # ITU-T T.81, B.1.1: markers; SOF0-SOF15 but DHT, JPG and DAC hold the size; EOI ends the picture.
    size = file.seek(0, os.SEEK_END)
    file.seek(max(0, size - 65536))
    if b"\xff\xd9" not in file.read():
        raise breaks_off("JPEG")
    file.seek(2)
    exif: int | None = None
    xmp: int | None = None
    while True:
        mark, code = take(file, 2, "JPEG")
        if mark != 0xFF:
            raise _damaged("JPEG")
        if code == 0xFF:
            file.seek(-1, os.SEEK_CUR)
            continue
        (length,) = numbers(">H", file, "JPEG")
        if code in (0xD9, 0xDA) or length < 2:
            raise _damaged("JPEG")
        if 0xC0 <= code <= 0xCF and code not in (0xC4, 0xC8, 0xCC):
            _, height, width = numbers(">BHH", file, "JPEG")
            return width, height, xmp if exif is None else exif
        if code == 0xE1:
            data = take(file, length - 2, "JPEG")
            if data.startswith(b"Exif\0\0"):
                exif = in_exif(data)
            elif data.startswith(b"http://ns.adobe.com/xap/1.0/\0"):
                xmp = in_xmp(data)
        else:
            file.seek(length - 2, os.SEEK_CUR)


def _tiff(file: BinaryIO) -> Header:
    first, *others = pages_in(file)
    for i, page in enumerate(others):
        _bounded(page.width, page.height, f"page {i + 2}, ")
    return first


def _webp(file: BinaryIO) -> Header:
    # RFC 9649, 2.4-2.7: the length of all that follows it; the first chunk is VP8, VP8L or VP8X.
    size = file.seek(0, os.SEEK_END)
    file.seek(0)
    head = take(file, 30, "WebP")
    if int.from_bytes(head[4:8], "little") + 8 > size:
        raise breaks_off("WebP")
    tag = head[12:16]
    if tag == b"VP8X":
        width, height = int.from_bytes(head[24:27], "little") + 1, int.from_bytes(head[27:30], "little") + 1
        return width, height, _webp_note(file, head)
    if tag == b"VP8L":
        bits = int.from_bytes(head[21:25], "little")
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1, None
    if tag == b"VP8 ":
        wide, high = (int.from_bytes(head[i : i + 2], "little") & 0x3FFF for i in (26, 28))
        return wide, high, None
    raise _damaged("WebP")


def _webp_note(file: BinaryIO, head: bytes) -> int | None:
    # RFC 9649, 2.7: the flags of VP8X say whether a chunk EXIF follows; chunks are padded to even lengths.
    if not head[20] & 0x08:
        return None
    size = file.seek(0, os.SEEK_END)
    at = 12
    while at + 8 <= size:
        file.seek(at)
        tag, length = take(file, 4, "WebP"), numbers("<I", file, "WebP")[0]
        if tag == b"EXIF":
            return in_exif(file.read(min(length, 1 << 20)))
        at += 8 + length + length % 2
    return None


def _damaged(kind: str) -> FileError:
    return FileError(f"a damaged {kind} file", f"a whole {kind} file", "copy or save the file again")


_READERS = {"PNG": _png, "JPEG": _jpeg, "TIFF": _tiff, "WebP": _webp}
