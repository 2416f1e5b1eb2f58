"""Keep a film for good: a folder with all that it is made from, which can prove that nothing was lost."""

from __future__ import annotations

import platform
from collections.abc import Callable, Iterator
from datetime import date
from importlib.metadata import PackageNotFoundError, version
from os import walk
from pathlib import Path
from typing import NamedTuple

from splitpin import __version__
from splitpin.device.bag import INFO, Kept, Spoilt, Told, is_bag, spoilt_in, sum_of, sums_in, write_bag
from splitpin.device.beside import folder_beside
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.mistake import FolderError
from splitpin.jobs.credits import Credits, credits_of
from splitpin.jobs.frame_sums import frame_sums
from splitpin.jobs.make import make
from splitpin.jobs.names import file_stem
from splitpin.jobs.ready import Ready, ready
from splitpin.jobs.shop import Progress
from splitpin.measure.rate import seconds_of
from splitpin.measure.timecode import label_of

FILM, FRAMES, DELIVERED = "film", "frames", "delivered"
SUMS = "frames.txt"
LIBRARIES = ("numpy", "numba", "opencv-python-headless", "pillow", "av", "soundfile", "soxr", "scipy")
"""What the pixels and the sound may depend on."""


class Archived(NamedTuple):
    """An archive, written whole."""

    path: Path
    files: int
    bytes: int
    frames: int
    unresolved: int
    """Pictures and sounds whose rights are not settled: they are kept all the same."""
    sum: str
    """The SHA-256 sum of the list of sums: it stands on the box."""


def archive(
    root: Path,
    to: Path | None = None,
    *,
    frames: bool = False,
    progress: Progress | None = None,
    doing: Callable[[str], None] | None = None,
) -> Archived:
    """Write an archive of a film.

    It is a bag after RFC 8493: ``data/film/`` is the film folder without ``made/``, ``data/frames.txt`` the
    sums of all frames, ``data/delivered/`` what was delivered, ``data/rights.txt`` whose pictures and sounds
    are in it, ``data/made-with.txt`` with what it was made, ``data/box-label.txt`` what to write on the box.

    Parameters
    ----------
    root
        The film folder.
    to
        The archive's folder, which must not be there; ``TITLE-archive`` beside the film when left out.
    frames
        Keep every frame as PNG too, with the mix: large, but it needs no program to be remade.
    progress
        Told how many frames are drawn.
    doing
        Told in a few words what is being done.

    Raises
    ------
    RefusedError
        While the film has mistakes.
    FolderError
        When the archive cannot be written there.
    """
    tell = doing or (lambda _: None)
    tell("reading the film")
    film = ready(root)
    path = to or root.resolve().parent / f"{file_stem(film.folder.film.title)}-archive"
    _refuse(root, path)
    tell("making the film")
    made = make(root, progress=progress, doing=doing)
    stills = make(root, ["stills"], progress=progress, doing=doing).files if frames else ()
    tell("drawing every frame for its sum")
    lines = frame_sums(root, progress)
    rights = credits_of(root)
    delivered = [f for f in made.files if f.is_file()]
    texts = {
        SUMS: "\n".join(lines) + "\n",
        "rights.txt": _rights(rights),
        "made-with.txt": _made_with(),
        "box-label.txt": _label(film),
        "read-me.txt": READ_ME,
    }
    kept = [Kept(f"{FILM}/{name}", file) for name, file in _files_of(root)]
    kept += [Kept(f"{DELIVERED}/{file.name}", file) for file in delivered]
    kept += [Kept(f"{FRAMES}/{name}", file) for folder in stills[:1] for name, file in _inside(folder)]
    kept += [Kept(name, text.encode()) for name, text in texts.items()]
    tell("writing the archive")
    info = {
        "Bagging-Date": date.today().isoformat(),
        "Bag-Software-Agent": f"splitpin {__version__}",
        "External-Description": f"{film.folder.film.title}: a cut-out film, {_length(film)}",
    }
    path.parent.mkdir(parents=True, exist_ok=True)
    with folder_beside(path) as part:
        size = write_bag(part, kept, info)
    return Archived(
        path, len(kept), size, film.frames, len(rights.unresolved), sum_of(path / "manifest-sha256.txt")
    )


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
    if into.exists():
        raise FolderError(str(into), "something is there already", "a new folder", "name another")
    tell = doing or (lambda _: None)
    tell("proving the archive")
    bad = [s for s in spoilt_in(path) if s.file.startswith(f"data/{FILM}/") or "/" not in s.file]
    if bad:
        raise FolderError(
            f"{path.name}/{bad[0].file}", bad[0].found, "an archive that is whole",
            "take it from another copy; `splitpin archive --verify` names all that is spoilt",
        )  # fmt: skip
    tell("writing the film folder")
    start = f"data/{FILM}/"
    with folder_beside(into) as part:
        for name, digest in sums_in(path).items():
            if name.startswith(start):
                target = part / name.removeprefix(start)
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes((path / name).read_bytes())
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


def _refuse(root: Path, path: Path) -> None:
    if path.exists():
        raise FolderError(
            str(path), "something is there already", "a new folder", "name another: nothing is written over"
        )
    if path.resolve().is_relative_to(root.resolve()):
        raise FolderError(
            str(path), "a place in the film folder itself", "a place outside of it", "name another"
        )


def _archive_there(path: Path) -> None:
    if path.name.startswith(".") and path.name.endswith(".part"):
        raise FolderError(str(path), "an archive that was never finished", "a whole one", "archive again")
    if not is_bag(path):
        raise FolderError(
            str(path), "no archive", f"a folder with bagit.txt, {INFO} and its lists of sums",
            "name the folder that `splitpin archive` has written",
        )  # fmt: skip


def _files_of(root: Path) -> Iterator[tuple[str, Path]]:
    """Everything in a film folder that is not made, hidden or unfinished."""
    for name, file in _inside(root):
        if not any(part.startswith(".") for part in name.split("/")) and not name.startswith("made/"):
            yield name, file


def _inside(folder: Path) -> Iterator[tuple[str, Path]]:
    for here, _, names in walk(folder):
        for name in names:
            file = Path(here) / name
            if file.is_file():
                yield file.relative_to(folder).as_posix(), file


def _rights(rights: Credits) -> str:
    parts = [rights.record]
    if rights.unresolved:
        parts.append("Unresolved\n" + "\n".join(
            f"{c.kind} {c.name}: {'; '.join(c.unresolved)}" for c in rights.unresolved
        ) + "\n")  # fmt: skip
    parts.append("A record for a qualified adviser, not advice.\n")
    return "\n".join(parts)


def _made_with() -> str:
    lines = [f"splitpin {__version__}", f"Python {platform.python_version()} on {platform.platform()}"]
    for name in LIBRARIES:
        try:
            lines.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            continue
    return "\n".join(lines) + "\n"


def _length(film: Ready) -> str:
    rate = film.folder.film.exact_rate
    seconds = float(seconds_of(film.frames, rate))
    return f"{film.frames} frames, {seconds:.2f} s at {film.folder.film.rate} a second"


def _label(film: Ready) -> str:
    document = film.folder.film
    width, height = document.picture
    return "\n".join(
        [
            document.title,
            "",
            f"Cut-out film, {width} x {height}, {_length(film)}",
            f"Running time {label_of(film.frames, document.exact_rate)}",
            f"Archived {date.today().isoformat()} with splitpin {__version__}",
            "",
            "Keep three copies, on two kinds of store, one of them in another place.",
            "Prove each copy once a year: splitpin archive --verify FOLDER",
            "",
        ]
    )


READ_ME = f"""\
This folder keeps a film for good.

{FILM}/            all that the film is made from: plain text, pictures and sounds. {FILM_FILE} comes first.
{SUMS}       a sum for every exposure of the film: first frame, frames, SHA-256 of its 8-bit RGB pixels.
{DELIVERED}/       the film as it was delivered.
{FRAMES}/          every frame as PNG, and the mix, where that was asked for.
rights.txt       whose pictures and sounds are in it, and what is unresolved.
made-with.txt    the programs it was made with.
box-label.txt    what to write on the box.

It is a bag after RFC 8493 (BagIt): manifest-sha256.txt, one folder up, has the SHA-256 sum of every file,
and any tool that computes SHA-256 can check it. To work on the film, copy {FILM}/ to another place.
"""
