"""The cut-outs' pictures: read when first drawn, shared by all, let go when they take too much room."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Collection, Iterator, Mapping
from threading import Lock

from splitpin.device.pictures import PictureError, read_picture
from splitpin.folder.mistake import FolderError
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
        self._names, self._bytes, self._room = tuple(names), read, room
        self._kept: OrderedDict[str, Pyramid] = OrderedDict()
        self._lock = Lock()
        self._reading = {name: Lock() for name in self._names}

    def __getitem__(self, name: str) -> Pyramid:
        """The picture of a cut-out.

        Raises
        ------
        FolderError
            When it can no longer be read, or has changed.
        """
        kept = self._look(name)
        if kept is not None:
            return kept
        with self._reading[name]:  # two who ask at once read it once
            kept = self._look(name)
            if kept is None:
                kept = self._read(name)
                with self._lock:
                    self._kept[name] = kept
                    self._let_go()
        return kept

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def _read(self, name: str) -> Pyramid:
        try:
            return Pyramid.of(read_picture(self._bytes(name)))
        except PictureError as problem:
            raise FolderError(
                f"cutouts/{name}.png", str(problem), "a picture", "save or copy it again"
            ) from problem

    def _look(self, name: str) -> Pyramid | None:
        with self._lock:
            kept = self._kept.get(name)
            if kept is not None:
                self._kept.move_to_end(name)
            return kept

    def _let_go(self) -> None:
        taken = sum(_size(p) for p in self._kept.values())
        while taken > self._room and len(self._kept) > 1:
            taken -= _size(self._kept.popitem(last=False)[1])


def _size(pyramid: Pyramid) -> int:
    return pyramid.nbytes + 4 * pyramid.width * pyramid.height
