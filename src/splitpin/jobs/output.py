"""Where a command may write: never over what it reads, what was found or shot, or a document of a film."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from splitpin.folder.kinds import FILM_FILE, kind_of
from splitpin.folder.mistake import FolderError

ORIGINALS = ("pictures", "sounds", "takes")
"""The folders of a film whose files are kept as they were found or shot."""


def refuse_output(
    file: Path, endings: Iterable[str], *, again: bool = False, used: Iterable[Path | None] = ()
) -> None:
    """Refuse to write where something would be lost. It is asked before any work is done.

    Parameters
    ----------
    file
        Where the result shall go.
    endings
        The endings that it may have, in small letters: ``.png``; a file written beside it has its own.
    again
        Write over a file of that name.
    used
        Other files of the same work, read or written. They are refused even ``again``.

    Raises
    ------
    FolderError
        When its ending is another, it is a folder, it is there already, or nothing may ever be written there.
    """
    try:
        _refuse(file, tuple(endings), again, tuple(used))
    except (OSError, RuntimeError, ValueError) as e:  # a name too long, a link that leads to itself
        why = getattr(e, "strerror", None) or "it leads nowhere"
        raise FolderError(
            str(file)[:100], f"nothing can be written there ({why})", "a place that may be written to",
            "name another",
        ) from None  # fmt: skip


def _refuse(file: Path, wanted: tuple[str, ...], again: bool, used: tuple[Path | None, ...]) -> None:
    where = str(file)
    if file.is_dir():
        raise FolderError(where, "a folder", "a file to write", f"name a file in it, such as new{wanted[0]}")
    if file.suffix.lower() not in wanted:
        found = f"the ending {file.suffix}" if file.suffix else "a name without an ending"
        raise FolderError(where, found, " or ".join(wanted), f"let its name end in {wanted[0]}")
    if any(other is not None and _same(file, other) for other in used):
        raise FolderError(
            where, "a file that the same work reads or writes already", "a file of its own", "name another"
        )
    if (home := _home(file)) is not None:
        place = file.resolve().relative_to(home)
        if place.parts[0].casefold() in ORIGINALS:
            raise FolderError(
                where, f"a place among the originals in {place.parts[0]}/ of a film",
                "a place outside of it: originals stay as they are", "name another",
            )  # fmt: skip
        document = kind_of(place.as_posix()) is not None
        if file.suffix.lower() == ".toml" and (document or file.exists()):
            # A recipe that names its picture by a file would be read there as one that names it by its name.
            raise FolderError(
                where, "a place for a document of a film" if document else "a document of a film is there",
                "a new file outside of it",
                "name another; a cut-out of a film is written with --into and --name",
            )  # fmt: skip
    if file.exists() and not again:
        raise FolderError(
            where, "it is there already", "a new file", "name another, or say --again to write over it"
        )


def refuse_both(command: str, said: dict[str, object]) -> None:
    """Refuse options of which only one has a meaning at a time.

    Raises
    ------
    FolderError
        When more than one of them was said.
    """
    both = [option for option, value in said.items() if value is not None]
    if len(both) > 1:
        raise FolderError(command, f"{' and '.join(both)} together", "one of them", "leave the other out")


def _same(file: Path, other: Path) -> bool:
    try:
        return file.samefile(other)
    except OSError:  # one of them is not there
        return file.resolve() == other.resolve()


def _home(file: Path) -> Path | None:
    """The film folder that a file lies in; None for a file outside of one."""
    return next((p for p in file.resolve().parents if (p / FILM_FILE).is_file()), None)
