"""The pages of a TIFF from its directories, and whether the file holds all that they promise."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import BinaryIO, NamedTuple

from splitpin.folder.header import breaks_off, numbers, take
from splitpin.folder.held import ORIENTATION
from splitpin.folder.mistake import FileError

MOST_PAGES = 500
_WIDTH, _LENGTH = 256, 257
_PIECES = ((273, 279), (324, 325))
"""Where the strips and the tiles begin, and how many bytes each has."""
_NEEDED = (258, 320, 339)
"""Bits and kind of a sample, and the colours of a palette: no pixel can be read without them."""
_BYTES = {1: 1, 3: 2, 4: 4}
"""How long the kinds of whole numbers of TIFF 6.0, section 2, are: byte, short, long."""


class Page(NamedTuple):
    """One page, as its directory tells of it."""

    width: int
    height: int
    note: int | None
    """How the camera was held."""


def pages_in(file: BinaryIO) -> Iterator[Page]:
    """The pages of a TIFF, in order, nothing of them decoded.

    Raises
    ------
    FileError
        When the file is damaged, ends before what a directory promises, or has too many pages.
    """
    # TIFF 6.0, section 2: each directory says where the next one is; 0 ends the chain.
    size = file.seek(0, os.SEEK_END)
    file.seek(0)
    order = "<" if take(file, 4, "TIFF")[:2] == b"II" else ">"
    (start,) = numbers(order + "I", file, "TIFF")
    seen: set[int] = set()
    # Some writers let the last directory point back to the first.
    while start and start not in seen:
        if len(seen) == MOST_PAGES:
            raise FileError(f"more than {MOST_PAGES} pages", f"at most {MOST_PAGES}", "split the file")
        seen.add(start)
        file.seek(start)
        (count,) = numbers(order + "H", file, "TIFF")
        directory = take(file, 12 * count, "TIFF")
        (following,) = numbers(order + "I", file, "TIFF")
        yield _page(_Tags(file, order, directory, size))
        start = following
    if not seen:
        raise _damaged()


class _Tags:
    """The whole numbers of a directory, by tag."""

    def __init__(self, file: BinaryIO, order: str, directory: bytes, size: int) -> None:
        self._file, self._little, self.size = file, order == "<", size
        entries = [directory[i : i + 12] for i in range(0, len(directory), 12)]
        self._entries = {self._number(entry[:2]): entry[2:] for entry in reversed(entries)}

    def __call__(self, tag: int) -> tuple[int, ...]:
        if tag not in self._entries:
            return ()
        entry = self._entries[tag]
        kind, many = self._number(entry[:2]), self._number(entry[2:6])
        if (width := _BYTES.get(kind)) is None:
            raise _damaged()
        data = entry[6 : 6 + many * width]
        if many * width > 4:
            start = self._number(entry[6:])
            if start + many * width > self.size:
                raise breaks_off("TIFF")
            self._file.seek(start)
            data = take(self._file, many * width, "TIFF")
        return tuple(self._number(data[i : i + width]) for i in range(0, len(data), width))

    def _number(self, data: bytes) -> int:
        return int.from_bytes(data, "little" if self._little else "big")


def _page(tags: _Tags) -> Page:
    width, height, note = (tags(tag)[:1] for tag in (_WIDTH, _LENGTH, ORIENTATION))
    if not width or not height:
        raise _damaged()
    for tag in _NEEDED:
        tags(tag)
    for begins, long in _PIECES:
        # Old writers leave out how long the pieces are: then only where they begin is told.
        starts, lengths = tags(begins), tags(long)
        lengths += (1,) * (len(starts) - len(lengths))
        if any(s + n > tags.size for s, n in zip(starts, lengths, strict=False)):
            raise breaks_off("TIFF")
    return Page(width[0], height[0], note[0] if note else None)


def _damaged() -> FileError:
    return FileError("a damaged TIFF file", "a whole TIFF file", "copy or save the file again")
