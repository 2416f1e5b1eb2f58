"""The cut-outs' pictures, read when they are first drawn."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping

from splitpin.device.pictures import PictureError, read_picture
from splitpin.folder.mistake import FolderError
from splitpin.frames.kept import Kept
from splitpin.frames.pyramid import Pyramid

ROOM = 1 << 30
"""Bytes that pictures may take before those not drawn for longest are let go."""


class CutoutPictures(Mapping[str, Pyramid]):
    """Pyramids by name, from files.

    Parameters
    ----------
    names
        Every cut-out there is.
    read
        What a cut-out's picture file holds.
    room
        Bytes that they may take together; the one drawn last always stays.
    """

    def __init__(self, names: Collection[str], read: Callable[[str], bytes], room: int = ROOM) -> None:
        self._names, self._bytes, self._kept = dict.fromkeys(names), read, Kept(room)

    def __getitem__(self, name: str) -> Pyramid:
        """The picture of a cut-out.

        Raises
        ------
        FolderError
            When it can no longer be read, or has changed.
        """
        if name not in self._names:
            raise KeyError(name)
        return self._kept.get(name, lambda: self._read(name))

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def _read(self, name: str) -> Pyramid:
        try:
            return Pyramid.of(read_picture(self._bytes(name)))
        except PictureError as problem:
            raise FolderError(
                f"cutouts/{name}.png", problem.found, problem.expected, problem.remedy
            ) from problem
