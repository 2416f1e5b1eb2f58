"""All files of a film folder, whoever names them: what has to be kept when the film is kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from splitpin.folder.mistake import FolderError

MADE = "made"


def contents(root: Path) -> Iterator[tuple[str, Path]]:
    """Every file of a film folder that is not made and not hidden, with its path from the folder on.

    Links are followed within the folder, as they are when the film is read; what they lead to is given
    under the link's own name.

    Raises
    ------
    FolderError
        When a link leads nowhere, out of the folder or round in a circle; when something is neither a file
        nor a folder; and when a folder cannot be looked into.
    """
    yield from _inside(root, "", root.resolve(), ())


def _inside(folder: Path, at: str, real_root: Path, above: tuple[Path, ...]) -> Iterator[tuple[str, Path]]:
    above = (*above, folder.resolve())
    try:
        entries = sorted(folder.iterdir())
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        raise FolderError(
            at or str(folder), f"it cannot be looked into ({why})", "a folder that may be read",
            "look at its permissions",
        ) from problem  # fmt: skip
    for entry in entries:
        if entry.name.startswith(".") or (not at and entry.name == MADE):
            continue
        name = f"{at}{entry.name}"
        if entry.is_symlink():
            _refuse_link(name, entry, real_root, above)
        if entry.is_dir():
            yield from _inside(entry, f"{name}/", real_root, above)
        elif entry.is_file():
            yield name, entry
        else:
            raise FolderError(
                name, "it is neither a file nor a folder", "files and folders only", "take it away"
            )


def _refuse_link(name: str, link: Path, real_root: Path, above: tuple[Path, ...]) -> None:
    try:
        real = link.resolve(strict=True)
    except (OSError, RuntimeError):
        raise FolderError(
            name, "it is a link that leads nowhere", "a file", "put the file there, or take the link away"
        ) from None
    if not real.is_relative_to(real_root):
        raise FolderError(
            name, "it is a link that leads out of the film folder", "a file inside the film folder",
            "copy into the folder what it leads to, or take the link away",
        )  # fmt: skip
    if real in above:
        raise FolderError(
            name, "it is a link to a folder that it lies in itself", "a folder that comes to an end",
            "take the link away",
        )  # fmt: skip
