"""What all readers of file headers share."""

from __future__ import annotations

import struct
from typing import BinaryIO

from splitpin.folder.mistake import FileError


def a(kind: str) -> str:
    """A kind of file with its article."""
    return f"an {kind}" if kind.startswith(("M", "O")) else f"a {kind}"


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
