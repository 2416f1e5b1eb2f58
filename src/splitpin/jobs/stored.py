"""Found files in a film folder: which are there, under which names, and how a new one is put there."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path

from splitpin.device.beside import beside
from splitpin.folder.kinds import Kind
from splitpin.folder.mistake import FolderError
from splitpin.folder.tree import folded


def digest_of(path: Path) -> str:
    """A file's SHA-256 sum."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def known(folder: Path, endings: Collection[str]) -> dict[str, str]:
    """The names of the files of a folder that have one of these endings, by their SHA-256 sums."""
    if not folder.is_dir():
        return {}
    found: dict[str, str] = {}
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() in endings and path.is_file() and not path.name.startswith("."):
            found.setdefault(digest_of(path), path.name)
    return found


def stems(folder: Path, endings: Collection[str]) -> set[str]:
    """What the files of a folder that have one of these endings are called, as disks compare names."""
    files = folder.iterdir() if folder.is_dir() else ()
    return {folded(p.stem) for p in files if p.suffix.lower() in endings}


@contextmanager
def stored(root: Path, kind: Kind, source: Path, digest: str, name: str) -> Iterator[list[Path]]:
    """Put a file into its subfolder, byte for byte, while its documents are written; all of it or nothing.

    Parameters
    ----------
    root
        The film folder.
    kind
        The kind of its documents.
    source
        The file.
    digest
        Its SHA-256 sum when it was looked through.
    name
        What it is called in the folder.

    Yields
    ------
    list
        To this the new documents are added, so that they go too when something fails.

    Raises
    ------
    FolderError
        When the file has changed since, or something cannot be written.
    """
    target = root / kind.place / name
    written: list[Path] = []
    try:
        with beside(target) as part:
            shutil.copyfile(source, part)
            if digest_of(part) != digest:
                raise FolderError(
                    str(source), "it changed while it was read", "a file at rest", "bring it again"
                )
        written.append(target)
        yield written
    except OSError as e:
        _take_back(written)
        raise FolderError(
            f"{kind.place}/{name}",
            f"it cannot be written ({e.strerror or type(e).__name__})",
            "a place that may be written to",
            "look at permissions and free space",
        ) from e
    except BaseException:
        _take_back(written)
        raise


def _take_back(written: Collection[Path]) -> None:
    for path in written:
        path.unlink(missing_ok=True)
