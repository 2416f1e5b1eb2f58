"""The files of a film folder: what is there, and whether a path may be followed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from pathlib import Path, PurePosixPath, PureWindowsPath

from splitpin.folder.mistake import AbsentError, FileError, LockedError, Mistake, SpoiltError
from splitpin.measure.likely import likely

_UNFIT = re.compile(r'[<>:"|?*\x00-\x1f\x7f]')
_LEFT_BY_SYSTEMS = frozenset({"thumbs.db", "ehthumbs.db", "desktop.ini", "icon\r"})
"""What systems put into folders that were looked at; hidden on some of them."""
MOST_BYTES = 255
"""How long one name may be in UTF-8: the limit of the common file systems of Linux and macOS."""
_RESERVED = re.compile(r"(con|prn|aux|nul|com[1-9]|lpt[1-9])(\..*)?", re.I)


class Tree:
    """A folder whose listings are read once.

    Nothing is ever followed out of it, be it by ``..``, by an absolute path or by a link.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self._real = root.resolve()
        self._names: dict[str, tuple[str, ...]] = {}
        self._locked: dict[str, str] = {}

    def names(self, folder: str = "") -> tuple[str, ...]:
        """The names in a subfolder, sorted; hidden ones and leftovers of saving are left out."""
        if folder not in self._names:
            found: list[str] = []
            try:
                found = sorted(p.name for p in (self.root / folder).iterdir() if not _passed_over(p.name))
            except (FileNotFoundError, NotADirectoryError):
                pass
            except OSError as e:
                self._locked[folder] = e.strerror or type(e).__name__
            self._names[folder] = tuple(found)
        return self._names[folder]

    def locked(self, folder: str) -> bool:
        """Whether the system does not let anyone look into a subfolder."""
        self.names(folder)
        return folder in self._locked

    def locks(self) -> list[Mistake]:
        """Every subfolder that was asked for and could not be looked into."""
        return [
            Mistake(
                folder,
                None,
                f"the folder {folder}/ cannot be looked into ({why})",
                "a folder that may be read",
                "look at its permissions",
            )
            for folder, why in self._locked.items()
        ]

    def find(self, path: str) -> Path:
        """The file at a path written in a document.

        Raises
        ------
        FileError
            When the path leaves the folder, is unfit for some computers, or leads to no readable file.
        """
        parts = _parts(path)
        here = ""
        for part in parts:
            names = self.names(here)
            if self.locked(here):
                raise LockedError(
                    f"the folder {here}/ cannot be looked into", "a folder that may be read", "open it"
                )
            if part not in names:
                raise _absent(path, part, here, names)
            here = f"{here}/{part}" if here else part
        file = self.root / here
        try:
            real = file.resolve(strict=True)
        except PermissionError as e:
            raise unreadable(path, e) from None
        except (OSError, RuntimeError):
            raise FileError(f"{path} is a link that leads nowhere", "a file", "put the file there") from None
        if not real.is_relative_to(self._real):
            raise FileError(
                f"{path} is a link that leads out of the film folder",
                "a file inside the film folder",
                "copy the file into the folder",
            )
        if not real.is_file():
            raise FileError(f"{path} is not a file", "a file", "name a file")
        try:
            size = real.stat().st_size
            with real.open("rb"):
                pass
        except OSError as e:
            raise unreadable(path, e) from None
        if size == 0:
            raise SpoiltError(f"{path} is empty", "a file with something in it", "put the right file there")
        return file

    def clashes(self, folder: str = "") -> list[Mistake]:
        """Names that cannot stand side by side, or at all, on every computer."""
        mistakes: list[Mistake] = []
        seen: dict[str, str] = {}
        for name in self.names(folder):
            at = f"{folder}/{name}" if folder else name
            key = folded(name)
            if key in seen:
                mistakes.append(
                    Mistake(
                        at,
                        None,
                        f"{name} and {seen[key]} differ only in capitals or accents' coding",
                        "names that differ on every computer",
                        "rename one of them",
                    )
                )
            seen.setdefault(key, name)
            if (why := unfit(name)) is not None:
                mistakes.append(Mistake(at, None, f"the name {name!r}", why, "rename it"))
        return mistakes


def kept_for_devices(name: str) -> bool:
    """Whether Windows takes a file's name for a device."""
    return _RESERVED.fullmatch(name) is not None


def clashing(name: str, names: Iterable[str]) -> str | None:
    """The name among others that some computers would not tell from this one."""
    return next((n for n in names if folded(n) == folded(name)), None)


def folded(name: str) -> str:
    """A name as computers tell it from others that mind neither capitals nor how accents are coded.

    >>> folded("Katze") == folded("KATZE")
    True
    """
    return unicodedata.normalize("NFC", name).casefold()


def short(path: str) -> str:
    """A path in quotes, its middle left out where it is very long."""
    return repr(path if len(path) <= 90 else f"{path[:40]}…{path[-40:]}")


def unreadable(path: str, error: OSError) -> FileError:
    """What to say of a file that the system does not give out."""
    why = error.strerror or type(error).__name__
    return SpoiltError(f"{path} cannot be read ({why})", "a file that may be read", "look at its permissions")


def _passed_over(name: str) -> bool:
    return name.startswith(".") or name.endswith("~") or name.lower() in _LEFT_BY_SYSTEMS


def _parts(path: str) -> tuple[str, ...]:
    if "\\" in path and not PureWindowsPath(path).is_absolute():
        raise FileError(f"the path {path!r}", "`/` between its parts", "write `/` for every backslash")
    if PurePosixPath(path).is_absolute() or PureWindowsPath(path).drive or PureWindowsPath(path).root:
        raise FileError(
            f"the path {path!r} starts outside the film folder",
            "a path from the film folder on",
            "copy the file into the folder and name it there",
        )
    parts = path.split("/")
    if ".." in parts:
        raise FileError(
            f"the path {path!r} leaves the film folder",
            "a path without `..`",
            "copy the file into the folder and name it there",
        )
    for part in parts:
        if part in ("", ".") or part.startswith(".") or part.endswith("~"):
            raise FileError(f"the path {path!r}", "a plain path such as `board/1.png`", "write it plainly")
        if (why := unfit(part)) is not None:
            raise FileError(f"the path {short(path)}", why, "rename the file")
    return tuple(parts)


def unfit(name: str) -> str | None:
    """What a file's name should be, where it is not fit for every computer; None where it is."""
    if len(name.encode("utf-8", "surrogateescape")) > MOST_BYTES:
        return f"a name of at most {MOST_BYTES} bytes (a letter with an accent takes two or more)"
    if _UNFIT.search(name) or name != name.rstrip(". ") or not name.isprintable():
        return 'a name without < > : " | ? * and without a dot or space at its end'
    if kept_for_devices(name):
        return "a name that Windows does not keep for devices"
    return None


def _absent(path: str, part: str, folder: str, names: tuple[str, ...]) -> FileError:
    same = [n for n in names if n.casefold() == part.casefold()]
    if same:
        return FileError(f"{path} is written {same[0]} on the disk", "the same capitals", f"write {same[0]}")
    alike = [n for n in names if n.endswith(".toml") == part.endswith(".toml")]
    twins = [n for n in alike if PurePosixPath(n).stem == PurePosixPath(part).stem]
    hint = f"did you mean {twins[0]}?" if twins else likely(part, alike)
    where = f"in {folder}/" if folder else "in the film folder"
    return AbsentError(
        f"there is no {part} {where}",
        f"the file {path}",
        hint if hint.startswith("did") else f"put the file {where}",
    )
