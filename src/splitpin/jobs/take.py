"""Take in what the camera saw: each exposure written whole, named and noted before anybody is told of it."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

import tomlkit
from PIL import Image

from splitpin.device.pictures import PictureError, read_picture
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import explained, name_beside
from splitpin.folder.takes import ASIDE, Mapped, Take, file_name, note_of, read_name
from splitpin.jobs.ready import ready
from splitpin.measure.likely import likely
from splitpin.sheet.sheet import Sheet

ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "TIFF": ".tif"}
"""What a camera may hand over, and how it is called here."""
LEAST = 16
"""Pixels along a side."""
_UNFINISHED = re.compile(r"\.(\d{6})\S*\.[0-9a-f]{8}~")


class Taken(NamedTuple):
    """A take that is on the disk."""

    take: Take
    again: bool
    """Whether its exposure had been shot before."""
    next: int | None
    """The next exposure to shoot; None when all are."""


class Begun(NamedTuple):
    """Where shooting goes on."""

    sheet: Sheet
    takes: tuple[Take, ...]
    lost: tuple[int, ...]
    """The exposures that were being written when the power went; nothing of them is kept."""

    @property
    def next(self) -> int | None:
        """The first exposure that is not shot."""
        return _next(self.sheet, self.takes)


def begin(root: Path, scene: str) -> Begun:
    """Look where shooting a scene goes on, and sweep away what was left unfinished.

    Raises
    ------
    RefusedError
        While the film has mistakes, or when there is no such scene.
    """
    film = ready(root, [scene])
    sheet = next(one for one in film.sheets if one.scene == scene)
    lost = []
    with suppress(OSError):
        for path in sorted((root / "takes" / scene).iterdir()):
            match = _UNFINISHED.fullmatch(path.name)
            if match:
                lost.append(int(match[1]))
                path.unlink(missing_ok=True)
    return Begun(sheet, tuple(film.folder.takes.get(scene, ())), tuple(dict.fromkeys(lost)))


def take(
    root: Path,
    sheet: Sheet,
    data: bytes,
    source: str,
    frame: int | None = None,
    mapping: Mapped | None = None,
    time: datetime | None = None,
) -> Taken:
    """Write one exposure. When this comes back it is on the disk, whole, with its note.

    Parameters
    ----------
    root
        The film folder.
    sheet
        The scene's rows: :func:`begin` tells them.
    data
        A JPEG, PNG or TIFF file as the camera handed it over; it is kept as it is.
    source
        What it comes from, in words.
    frame
        The first frame of the exposure; the next that is not shot when left out.
    mapping
        Where the camera sees the table, if that is known.
    time
        When it was taken; now when left out.

    Raises
    ------
    FolderError
        When it is no whole picture, there is no such exposure, all are shot, or the disk does not allow it.
    """
    size, ending = _looked_at(data, source)
    there = takes_in(root, sheet.scene)
    if frame is None:
        frame = _next(sheet, there)
        if frame is None:
            raise FolderError(
                sheet.scene, "every exposure is shot", "one that is not", "name the frame to shoot it again"
            )
    frames = [row.frame for row in sheet.rows]
    if frame not in frames:
        near = min(frames, key=lambda one: abs(one - frame))
        raise FolderError(
            sheet.scene, f"no exposure begins on frame {frame}", "the first frame of one", f"take {near}"
        )
    place = root / "takes" / sheet.scene
    with explained(place):
        place.mkdir(parents=True, exist_ok=True)
    number = 1 + max((one.number for one in there if one.frame == frame), default=0)
    again = number > 1
    file, number = _put(place, frame, number, ending, data)
    told = {
        "format": 1,
        "time": (time or datetime.now(UTC)).isoformat(timespec="microseconds"),
        "source": source,
        "sha256": hashlib.sha256(data).hexdigest(),
        "size": list(size),
    } | ({} if mapping is None else {"mapping": mapping.model_dump(mode="json")})
    _put_note(place / note_of(file.name), tomlkit.dumps(told).encode())
    done = Take(frame, number, f"takes/{sheet.scene}/{file.name}")
    return Taken(done, again, _next(sheet, [*there, done]))


def takes_in(root: Path, scene: str) -> list[Take]:
    """The takes that lie in a scene's folder, by their names alone."""
    found = []
    with suppress(OSError):
        for path in sorted((root / "takes" / scene).iterdir()):
            one = read_name(scene, path.name)
            if one is not None:
                found.append(one)
    return found


def set_aside(root: Path, scene: str, frame: int) -> Take:
    """Let the latest take of an exposure count no more: it and its note are put into ``aside/``.

    Raises
    ------
    FolderError
        When there is none, or the disk does not allow it.
    """
    mine = [one for one in takes_in(root, scene) if one.frame == frame]
    if not mine:
        raise FolderError(f"takes/{scene}", f"no take of frame {frame}", "one that was shot", "name another")
    last = max(mine, key=lambda one: one.number)
    place = root / "takes" / scene / ASIDE
    with explained(place):
        place.mkdir(exist_ok=True)
        number = 1
        name = Path(last.file).name
        while (place / name).exists() or (place / note_of(name)).exists():
            number += 1
            name = file_name(frame, number, Path(last.file).suffix)
        (root / last.file).rename(place / name)
        with suppress(FileNotFoundError):
            (root / note_of(last.file)).rename(place / note_of(name))
        _sync(place)
        _sync(place.parent)
    return last


def scene_named(root: Path, scene: str) -> str:
    """A scene of the film by its name.

    Raises
    ------
    FolderError
        When there is none of that name.
    """
    names = ready(root).folder.film.scenes
    if scene not in names:
        raise FolderError("film.toml", f"{scene!r} is not a scene of the film", "one", likely(scene, names))
    return scene


def _next(sheet: Sheet, takes: Sequence[Take]) -> int | None:
    shot = {one.frame for one in takes}
    return next((row.frame for row in sheet.rows if row.frame not in shot), None)


def _looked_at(data: bytes, source: str) -> tuple[tuple[int, int], str]:
    """The size of a picture that is whole, and the ending of its kind."""
    try:
        with Image.open(BytesIO(data)) as opened:
            kind = opened.format or ""
        if kind not in ENDINGS:
            raise PictureError(f"a picture of the kind {kind or 'nobody knows'}", "JPEG, PNG or TIFF")
        pixels = read_picture(data)
    except PictureError as problem:
        raise FolderError(source, problem.found, problem.expected, problem.remedy) from None
    except (OSError, ValueError, Image.DecompressionBombError):
        raise FolderError(source, "no picture", "JPEG, PNG or TIFF", "let the camera hand one over") from None
    height, width = pixels.shape[:2]
    if min(width, height) < LEAST:
        raise FolderError(source, f"a picture of {width} × {height} pixels", "a frame", "take a larger one")
    return (width, height), ENDINGS[kind]


def _put(place: Path, frame: int, number: int, ending: str, data: bytes) -> tuple[Path, int]:
    """Under the first number that nobody has taken: never over anything."""
    part = name_beside(place / file_name(frame, number, ending))
    with explained(place):
        try:
            with part.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            while True:
                target = place / file_name(frame, number, ending)
                # another kind of picture of the same number is the same take
                if not any((place / file_name(frame, number, one)).exists() for one in ENDINGS.values()):
                    try:
                        _named(part, target)
                    except FileExistsError:
                        pass
                    else:
                        break
                number += 1
        finally:
            part.unlink(missing_ok=True)
        _sync(place)
    return target, number


def _named(part: Path, target: Path) -> None:
    """Give what is written its name, unless somebody has it; some disks know no second names."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:
        with target.open("xb"):
            pass
        part.replace(target)


def _put_note(path: Path, data: bytes) -> None:
    with explained(path):
        part = name_beside(path)
        try:
            with part.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
        _sync(path.parent)


def _sync(place: Path) -> None:
    """Names are on the disk only when their folder is; not every system lets one ask for that."""
    with suppress(OSError):
        opened = os.open(place, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)
