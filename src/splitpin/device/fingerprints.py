"""What files hold, in short, so that what is made of them can be kept under the right name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from hashlib import blake2b, file_digest
from pathlib import Path

from splitpin.folder.mistake import FolderError


class Fingerprints(Mapping[str, str]):
    """Fingerprints of files; each is taken once.

    Parameters
    ----------
    root
        The film folder.
    pattern
        Where a name's file is in it.
    """

    def __init__(self, root: Path, pattern: str = "{}") -> None:
        self._root, self._pattern = root, pattern
        self._known: dict[str, str] = {}

    def __getitem__(self, name: str) -> str:
        if name not in self._known:
            with self._path(name).open("rb") as file:
                self._known[name] = file_digest(file, "blake2b").hexdigest()[:40]
        return self._known[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)

    def read(self, name: str) -> bytes:
        """All that a file holds, which is what its fingerprint was taken of.

        Raises
        ------
        FolderError
            When it cannot be read, or was saved anew since its fingerprint was taken: a picture of it would
            be kept under the old one.
        """
        where = self._pattern.format(name)
        try:
            data = self._path(name).read_bytes()
        except OSError as e:
            why = e.strerror or type(e).__name__
            raise FolderError(where, f"it cannot be read ({why})", "a picture", "put it back") from e
        taken = blake2b(data).hexdigest()[:40]
        if self._known.setdefault(name, taken) != taken:
            raise FolderError(
                where,
                "it was saved anew while the film was made",
                "files at rest",
                "make the film again: what was finished is kept",
            )
        return data

    def _path(self, name: str) -> Path:
        return self._root / self._pattern.format(name)
