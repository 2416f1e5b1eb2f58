"""What can be wrong with a film folder, in words for the person who made it."""

from __future__ import annotations

from typing import NamedTuple


class Mistake(NamedTuple):
    """One thing to put right."""

    file: str
    """The file, from the film folder, with ``/`` between the parts."""
    line: int | None
    """The line in it, counted from 1; None where a file has no lines or is not there."""
    found: str
    expected: str
    remedy: str

    @property
    def place(self) -> str:
        """The file, and the line where it has one, for people."""
        return self.file if self.line is None else f"{self.file}, line {self.line}"


class FileError(Exception):
    """A file that cannot be used: what was found, what was expected, what to do."""

    def __init__(self, found: str, expected: str, remedy: str) -> None:
        super().__init__(found)
        self.found, self.expected, self.remedy = found, expected, remedy

    def mistake(self, file: str) -> Mistake:
        """The same, as a mistake in a file."""
        return Mistake(file, None, self.found, self.expected, self.remedy)


class AbsentError(FileError):
    """A file that is not there under any name like the one written."""


class SpoiltError(FileError):
    """A file that is there and cannot be used, whoever names it."""


class LockedError(FileError):
    """A file in a folder that the system does not let anyone look into; that is told once, of the folder."""


class FolderError(Exception):
    """Something that leaves nothing to check: no film folder, a document that cannot be edited or written."""

    def __init__(self, where: str, found: str, expected: str, remedy: str) -> None:
        super().__init__(f"{where}: {found}; expected {expected}; {remedy}")
        self.where, self.found, self.expected, self.remedy = where, found, expected, remedy

    @property
    def mistake(self) -> Mistake:
        """The same, as a mistake."""
        return Mistake(self.where, None, self.found, self.expected, self.remedy)
