"""Keep a film for good: a folder with all that it is made from, which can prove that nothing was lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from os.path import lexists
from pathlib import Path
from typing import NamedTuple

from splitpin import __version__
from splitpin.device.bag import MANIFEST, ChangedError, Kept, sum_of, write_bag
from splitpin.device.beside import new_folder
from splitpin.film.outlet import STANDARD, PicturesOutlet
from splitpin.folder.contents import MADE, contents
from splitpin.folder.mistake import FolderError
from splitpin.jobs.archive_notes import DELIVERED, FILM, FRAMES, length, notes
from splitpin.jobs.credits import credits_of
from splitpin.jobs.frame_sums import frame_sums
from splitpin.jobs.make import make
from splitpin.jobs.names import file_stem, outlets_of
from splitpin.jobs.ready import Ready, ready
from splitpin.jobs.shop import MadeOutlet, Progress


class Archived(NamedTuple):
    """An archive, written whole."""

    path: Path
    files: int
    bytes: int
    frames: int
    unresolved: int
    """Pictures and sounds whose rights are not settled: they are kept all the same."""
    left: tuple[str, ...]
    """Outlets whose pictures are not kept: they are made again from the film."""
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
    sums of all frames, ``data/delivered/`` what was delivered but for single pictures, ``data/rights.txt``
    whose pictures and sounds are in it, ``data/made-with.txt`` with what it was made, ``data/box-label.txt``
    what to write on the box.

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
        When the archive cannot be written there, a link in the film folder leads astray, or a file of it is
        not what it was at the start when it is copied.
    """
    tell = doing or (lambda _: None)
    path = to or root.resolve().parent / f"{file_stem(ready(root).folder.film.title)}-archive"
    _refuse(root, path)
    tell("taking the sum of every file")
    # Before anything is read of it: what is made, drawn and copied below is then proven to be of one state.
    files = {name: Kept(f"{FILM}/{name}", file, sum_of(file)) for name, file in contents(root)}
    film = ready(root)
    stills = _stills(film) if frames else None
    tell("making the film")
    made = make(root, progress=progress, doing=doing).outlets
    if stills is not None and stills not in (outlet.name for outlet in made):
        made += make(root, [stills], progress=progress, doing=doing).outlets
    tell("drawing every frame for its sum")
    sums = frame_sums(root, progress)
    rights = credits_of(root)
    delivered, left = _delivered(root, film, made, stills)
    kept = [*files.values(), *delivered]
    kept += [Kept(name, text) for name, text in notes(film, rights, sums, left).items()]
    tell("writing the archive")
    info = {
        "Bagging-Date": date.today().isoformat(),
        "Bag-Software-Agent": f"splitpin {__version__}",
        "External-Description": f"{film.folder.film.title}: a cut-out film, {length(film)}",
    }
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with new_folder(path) as part:
            size = write_bag(part, kept, info)
            total = sum_of(part / MANIFEST)
            for name in sorted({name for name, _ in contents(root)} ^ files.keys()):
                raise _edited(name)
    except ChangedError as problem:
        raise _edited(problem.kept.name.removeprefix(f"{FILM}/")) from problem
    except OSError as problem:
        why = problem.strerror or str(problem) or type(problem).__name__
        raise FolderError(
            str(path), f"it cannot be written ({why})", "a place that may be written to, with room left",
            "look at permissions and free space, then archive again",
        ) from problem  # fmt: skip
    return Archived(path, len(kept), size, film.frames, len(rights.unresolved), tuple(left), total)


def _delivered(
    root: Path, film: Ready, made: Sequence[MadeOutlet], stills: str | None
) -> tuple[list[Kept], list[str]]:
    """What of the made outlets is kept, under their own names; and those whose pictures are not."""
    outlets = {**STANDARD, **outlets_of(film.folder.film)}
    kept: dict[str, Path] = {}
    left = []
    for outlet in made:
        if outlet.name == stills:
            [folder, *_] = outlet.files
            kept |= {f"{FRAMES}/{file.name}": file for file in folder.iterdir()}
        elif isinstance(outlets[outlet.name], PicturesOutlet):
            left.append(outlet.name)
        else:
            files = [file for file in outlet.files if file.is_file()]
            kept |= {f"{DELIVERED}/{file.relative_to(root / MADE).as_posix()}": file for file in files}
    return [Kept(name, file) for name, file in kept.items()], left


def _stills(film: Ready) -> str:
    """The outlet that gives every frame as PNG: the film's own where it has one."""
    outlets = {**STANDARD, **outlets_of(film.folder.film)}
    fit = [n for n, o in outlets.items() if isinstance(o, PicturesOutlet) and o.form == "png"]
    if not fit:
        raise FolderError(
            "film.toml", "an outlet called stills that gives no PNG, and no other that does",
            'an outlet of `kind = "pictures"` for `--frames`', "add one, or archive without `--frames`",
        )  # fmt: skip
    return next((name for name in fit if name in outlets_of(film.folder.film)), fit[0])


def _edited(name: str) -> FolderError:
    return FolderError(
        name, "it was changed, added or taken away while the film was archived",
        "a film folder that nobody works on meanwhile", "archive again",
    )  # fmt: skip


def _refuse(root: Path, path: Path) -> None:
    if lexists(path):
        raise FolderError(
            str(path), "something is there already", "a new folder", "name another: nothing is written over"
        )
    if path.resolve().is_relative_to(root.resolve()):
        raise FolderError(
            str(path), "a place in the film folder itself", "a place outside of it", "name another"
        )
