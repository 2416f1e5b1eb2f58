"""The gathering of documents, measures and mistakes while a film folder is read."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from splitpin.folder.kinds import FILM_FILE, Kind
from splitpin.folder.mistake import AbsentError, FileError, LockedError, Mistake, SpoiltError
from splitpin.folder.pictures import PictureSize, measure_picture
from splitpin.folder.read import Document, read_file
from splitpin.folder.sounds import SoundSize, measure_sound
from splitpin.folder.tree import Tree, unreadable
from splitpin.measure.fault import Fault
from splitpin.measure.plain import Plain


class Gathering:
    """Everything read so far; each file is read and measured once."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.tree = Tree(root)
        self.documents: dict[str, Document] = {}
        self.mistakes: list[Mistake] = []
        self.warnings: list[Mistake] = []
        self._pictures: dict[str, PictureSize | None] = {}
        self._sounds: dict[str, SoundSize | None] = {}

    def document(self, kind: Kind, file: str) -> Plain | None:
        """Read one document, or say why not."""
        try:
            self.tree.find(file)
        except FileError as e:
            self._told(file, e)
            return None
        document = read_file(kind, self.root, file)
        self.documents[file] = document
        self.mistakes += document.mistakes
        return document.value

    def documents_of(self, kind: Kind) -> dict[str, Plain]:
        """Read all documents of a kind, by the stem of their file names."""
        clashes = self.tree.clashes(kind.place)
        self.mistakes += clashes
        clashing = {m.file for m in clashes}
        found: dict[str, Plain] = {}
        for name in self.tree.names(kind.place):
            if name.endswith(".toml") and f"{kind.place}/{name}" not in clashing:
                value = self.document(kind, f"{kind.place}/{name}")
                if value is not None:
                    found[name.removesuffix(".toml")] = value
        return found

    def fault(self, file: str, fault: Fault, *, warn: bool = False) -> None:
        """Note a fault of a document, unless it may follow from a key that was left out."""
        document = self.documents[file]
        if document.trusts(fault):
            (self.warnings if warn else self.mistakes).append(document.mistake(fault))

    def named(self, file: str, path: tuple[str | int, ...], wanted: str, *, spared: bool = False) -> bool:
        """Whether a file that a document names can be followed; if not, the document's fault is noted.

        A file that can be ``spared`` for now is only a warning while it is not there at all.
        """
        try:
            self.tree.find(wanted)
        except (LockedError, SpoiltError) as e:
            self._told(wanted, e)
            return False
        except FileError as e:
            warn = spared and isinstance(e, AbsentError)
            self.fault(file, Fault(path, e.found, e.expected, e.remedy), warn=warn)
            return False
        return True

    def picture(self, file: str) -> PictureSize | None:
        """Measure a picture, once; None and a mistake when it is not a good one."""
        if file not in self._pictures:
            self._pictures[file] = None
            try:
                self._pictures[file] = measure_picture(self.tree.find(file))
            except (FileError, OSError) as e:
                self._told(file, e)
        return self._pictures[file]

    def sound(self, file: str) -> SoundSize | None:
        """Measure a sound, once; None and a mistake when it is not a good one."""
        if file not in self._sounds:
            self._sounds[file] = None
            try:
                self._sounds[file] = measure_sound(self.tree.find(file))
            except (FileError, OSError) as e:
                self._told(file, e)
        return self._sounds[file]

    def good_sounds(self) -> frozenset[str]:
        """The sounds that were measured and are good as far as their heads tell, as cues name them."""
        good = (file for file, size in self._sounds.items() if size is not None)
        return frozenset(file.removeprefix("sounds/") for file in good)

    def _told(self, file: str, error: FileError | OSError) -> None:
        if isinstance(error, OSError):
            error = unreadable(file, error)
        if not isinstance(error, LockedError):
            self.mistakes.append(error.mistake(file))

    def sorted_mistakes(self) -> tuple[Mistake, ...]:
        """The mistakes, each once, by file and line, the film's own document first."""
        return in_order([*self.tree.locks(), *self.mistakes])

    def sorted_warnings(self) -> tuple[Mistake, ...]:
        """The warnings, likewise."""
        return in_order(self.warnings)


def in_order(mistakes: list[Mistake]) -> tuple[Mistake, ...]:
    """Each mistake once, by file and line, the film's own document first."""
    return tuple(
        sorted(
            dict.fromkeys(mistakes),
            key=lambda m: (m.file != FILM_FILE, PurePosixPath(m.file).parts, m.line or 0),
        )
    )
