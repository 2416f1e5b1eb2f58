"""Prove that an archive is whole, and take a film out of it again."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from os.path import lexists
from pathlib import Path

from splitpin.device.bag import EXTRA, INFO, Spoilt, Told, is_bag, spoilt_in, sum_of, sums_in
from splitpin.device.beside import new_folder
from splitpin.folder.mistake import FolderError
from splitpin.jobs.archive_notes import FILM, SUMS
from splitpin.jobs.frame_sums import frame_sums
from splitpin.jobs.shop import Progress


def verify(path: Path, told: Told | None = None) -> tuple[Spoilt, ...]:
    """Everything in an archive that is not what it was when it was written; empty when it is whole.

    Raises
    ------
    FolderError
        When it is no archive, or one that was never finished.
    """
    _archive_there(path)
    return tuple(spoilt_in(path, told))


def restore(path: Path, into: Path, doing: Callable[[str], None] | None = None) -> Path:
    """Put the film folder of an archive where it can be worked on, after proving every file of it.

    Parameters
    ----------
    path
        The archive.
    into
        The film folder to write, which must not be there.
    doing
        Told in a few words what is being done.

    Raises
    ------
    FolderError
        When it is no archive, a file of the film is not what it was, or there is something at ``into``.
    """
    _archive_there(path)
    if lexists(into):
        raise FolderError(str(into), "something is there already", "a new folder", "name another")
    tell = doing or (lambda _: None)
    tell("proving the archive")
    start = f"data/{FILM}/"
    needed = [s for s in spoilt_in(path) if s.found != EXTRA]
    bad = [s for s in needed if s.file.startswith(start) or "/" not in s.file]
    if bad:
        raise FolderError(
            f"{path.name}/{bad[0].file}", bad[0].found, "an archive that is whole",
            "take it from another copy; `splitpin archive --verify` names all that is spoilt",
        )  # fmt: skip
    tell("writing the film folder")
    with new_folder(into) as part:
        for name, digest in sums_in(path).items():
            if name.startswith(start):
                target = part / name.removeprefix(start)
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(path / name, target)
                if sum_of(target) != digest:
                    raise FolderError(
                        str(target), "it reads back otherwise", "the same bytes", "look at the disk"
                    )
    return into


def remade_otherwise(path: Path, progress: Progress | None = None) -> list[str]:
    """Draw the film of an archive anew, beside it, and say which frames are not what they were.

    Parameters
    ----------
    path
        The archive, proven whole.
    progress
        Told how many frames are drawn.

    Returns
    -------
    list of str
        One line for each exposure that differs; empty when the film is the same, frame for frame.
    """
    _archive_there(path)
    before = (path / "data" / SUMS).read_text(encoding="utf-8").split("\n")[:-1]
    now = frame_sums(path / "data" / FILM, progress)
    if len(before) != len(now):
        return [f"{len(now)} exposures instead of {len(before)}"]
    return [
        f"frames {old.split()[0]} to {int(old.split()[0]) + int(old.split()[1]) - 1}"
        for old, new in zip(before, now, strict=True)
        if old != new
    ]


def _archive_there(path: Path) -> None:
    if path.name.startswith(".") and path.name.endswith(".part"):
        raise FolderError(str(path), "an archive that was never finished", "a whole one", "archive again")
    if not is_bag(path):
        raise FolderError(
            str(path), "no archive", f"a folder with bagit.txt, {INFO} and its lists of sums",
            "name the folder that `splitpin archive` has written",
        )  # fmt: skip
