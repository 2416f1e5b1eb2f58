"""A folder that can prove it is whole: a bag after RFC 8493 (BagIt 1.0), with SHA-256 sums.

What is kept lies in ``data/``; beside it ``manifest-sha256.txt`` holds a sum for each file of it. Two further
lists, by SHA-256 and by SHA-512, hold sums of the lists and notes themselves, so that it can be told which of
them was spoilt: a list that agrees with nobody is the spoilt one.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
MANIFEST = "manifest-sha256.txt"
LISTS = {"tagmanifest-sha256.txt": "sha256", "tagmanifest-sha512.txt": "sha512"}
INFO = "bag-info.txt"
CHUNK = 1 << 20
EXTRA = f"not in {MANIFEST}"
"""What is said of a file that nobody asked for."""

Told = Callable[[int, int], None]
"""Told how many bytes of how many are done."""


class Spoilt(NamedTuple):
    """A file of a bag that is not what it was."""

    file: str
    """From the bag's own folder."""
    found: str
    """``missing``, ``changed``, ``unreadable``, a link or a folder, or :data:`EXTRA`, in words for people."""


class Kept(NamedTuple):
    """One file that goes into a bag."""

    name: str
    """Its path in ``data/``, with ``/``."""
    source: Path | bytes
    """Where it is copied from, or what is in it."""
    sum: str | None = None
    """The SHA-256 sum that it must have; whatever it has when left out."""


class ChangedError(Exception):
    """A file that is not what it was when its sum was taken."""

    def __init__(self, kept: Kept) -> None:
        super().__init__(f"{kept.name} was changed or taken away while it was copied")
        self.kept = kept


def write_bag(folder: Path, files: Iterable[Kept], info: Mapping[str, str], told: Told | None = None) -> int:
    """Fill an empty folder. Every file is read back from the disk for its sum.

    Parameters
    ----------
    folder
        An empty folder.
    files
        What is kept.
    info
        What ``bag-info.txt`` says; the number of bytes and files (``Payload-Oxum``) is added.
    told
        How far it has come.

    Returns
    -------
    int
        Bytes of payload.

    Raises
    ------
    ChangedError
        When a file is gone, or is not what its sum says.
    OSError
        When something cannot be read or written.
    """
    kept = sorted(files, key=lambda k: k.name)
    total = sum(_size(k) for k in kept)
    done = 0
    sums: dict[str, str] = {}
    for one in kept:
        target = folder / "data" / Path(one.name)
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            copied = _copy(one.source, target)
        except FileNotFoundError as gone:
            raise ChangedError(one) from gone
        if one.sum is not None and copied != one.sum:
            raise ChangedError(one)
        (read,) = _sums(target, "sha256")
        if read != copied:
            raise OSError(f"data/{one.name} reads back otherwise than it was written")
        sums[f"data/{one.name}"] = read
        done += target.stat().st_size
        if told is not None:
            told(done, max(total, done))
    oxum = f"{done}.{len(kept)}"
    _write(folder / "bagit.txt", DECLARATION)
    _write(folder / INFO, _info({**info, "Payload-Oxum": oxum}))
    _write(folder / MANIFEST, _listed(sums))
    tags = ["bagit.txt", INFO, MANIFEST]
    for name, kind in LISTS.items():
        _write(folder / name, _listed({tag: _sums(folder / tag, kind)[0] for tag in tags}))
    return done


def is_bag(folder: Path) -> bool:
    """Whether a folder says that it is one, whole or not."""
    return folder.is_dir() and any((folder / name).is_file() for name in ("bagit.txt", MANIFEST, *LISTS))


def spoilt_in(folder: Path, told: Told | None = None) -> Iterator[Spoilt]:
    """Everything in a bag that is missing, changed or nobody's; nothing when it is whole.

    Parameters
    ----------
    folder
        The bag.
    told
        How far it has come, in bytes.
    """
    tags = list(_tags(folder))
    yield from tags
    sums = _list(folder / MANIFEST, "sha256")
    if sums is None or any(tag.file == MANIFEST for tag in tags):
        return  # by a list that was changed nothing can be told of the files
    there = {path.relative_to(folder).as_posix(): path for path in sorted(_files(folder))}
    total = sum(path.lstat().st_size for path in there.values())
    done = 0
    for name, wanted in sums.items():
        path = there.pop(name, None)
        if path is None:
            yield Spoilt(name, "a folder, where a file was kept" if (folder / name).is_dir() else "missing")
        elif (found := _wrong(path, wanted)) is not None:
            yield Spoilt(name, found)
        if path is not None:
            done += path.lstat().st_size
        if told is not None:
            told(min(done, total), total)
    for name in sorted(there.keys() - {"bagit.txt", INFO, MANIFEST, *LISTS}):
        yield Spoilt(name, EXTRA)


def _wrong(path: Path, wanted: str) -> str | None:
    """What is wrong with a file that should have a sum; None when nothing is."""
    try:
        mode = path.lstat().st_mode
        if stat.S_ISLNK(mode):
            return f"a link{'' if path.exists() else ' that leads nowhere'}, where a file was kept"
        if not stat.S_ISREG(mode):
            return "something else, where a file was kept"
        (found,) = _sums(path, "sha256")
    except OSError as problem:
        return f"unreadable ({problem.strerror or type(problem).__name__})"
    return None if found == wanted else "changed: it is not what its sum says"


def sums_in(folder: Path) -> dict[str, str]:
    """The SHA-256 sums of a bag's files by name; empty when the list cannot be read."""
    return _list(folder / MANIFEST, "sha256") or {}


def sum_of(path: Path) -> str:
    """The SHA-256 sum of a file: 64 hexadecimal digits."""
    return _sums(path, "sha256")[0]


def _tags(folder: Path) -> Iterator[Spoilt]:
    """What is wrong with the lists and notes, as far as the two lists of their sums agree."""
    lists = {name: _list(folder / name, kind) for name, kind in LISTS.items()}
    good = {name: sums for name, sums in lists.items() if sums is not None}
    tags = ["bagit.txt", INFO, MANIFEST]
    judged: dict[str, dict[str, bool]] = {name: {} for name in good}
    for tag in tags:
        for name, sums in good.items():
            try:
                judged[name][tag] = _sums(folder / tag, LISTS[name])[0] == sums.get(tag)
            except OSError:
                judged[name][tag] = False
    for name in LISTS:
        if not (folder / name).is_file():
            yield Spoilt(name, "missing")
        elif name not in good or set(good[name]) != set(tags):
            yield Spoilt(name, "changed: it cannot be read as a list of sums")
            judged.pop(name, None)
    for tag in tags:
        says = {name: verdicts[tag] for name, verdicts in judged.items()}
        if not (folder / tag).is_file():
            yield Spoilt(tag, "missing")
        elif says and not any(says.values()):
            yield Spoilt(tag, "changed: it is not what its sum says")
        elif not all(says.values()):
            yield from (Spoilt(name, f"changed: it is wrong of {tag}") for name, ok in says.items() if not ok)
    manifest = folder / MANIFEST
    if manifest.is_file() and _list(manifest, "sha256") is None and not judged:
        yield Spoilt(MANIFEST, "changed: it cannot be read as a list of sums")


def _copy(source: Path | bytes, target: Path) -> str:
    """Write a file to the disk; the sum of what was read."""
    digest = hashlib.sha256()
    with target.open("xb") as out:
        for block in [source] if isinstance(source, bytes) else _blocks(source):
            digest.update(block)
            out.write(block)
        out.flush()
        os.fsync(out.fileno())
    return digest.hexdigest()


def _blocks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while block := file.read(CHUNK):
            yield block


def _sums(path: Path, *kinds: str) -> tuple[str, ...]:
    digests = [hashlib.new(kind) for kind in kinds]
    for block in _blocks(path):
        for digest in digests:
            digest.update(block)
    return tuple(digest.hexdigest() for digest in digests)


def _size(one: Kept) -> int:
    try:
        return len(one.source) if isinstance(one.source, bytes) else one.source.stat().st_size
    except FileNotFoundError as gone:
        raise ChangedError(one) from gone


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())


def _files(folder: Path) -> Iterator[Path]:
    """Whatever is not a folder; no link is followed."""
    for here, folders, names in os.walk(folder):
        yield from (Path(here, name) for name in names)
        yield from (path for name in folders if (path := Path(here, name)).is_symlink())


def _info(info: Mapping[str, str]) -> bytes:
    # A value of several lines goes on in lines that begin with a space (RFC 8493, 2.2.2).
    lines = [f"{key}: " + "\n  ".join(value.splitlines() or [""]) for key, value in info.items()]
    return ("\n".join(lines) + "\n").encode()


def _listed(sums: Mapping[str, str]) -> bytes:
    return "".join(f"{digest}  {_encoded(name)}\n" for name, digest in sums.items()).encode()


def _list(path: Path, kind: str) -> dict[str, str] | None:
    """A list of sums; None when it is not exactly as one is written here."""
    try:
        text = path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    digits = hashlib.new(kind).digest_size * 2
    line = re.compile(rf"([0-9a-f]{{{digits}}})  ([^\r\n]+)")
    if text and not text.endswith("\n"):
        return None
    sums: dict[str, str] = {}
    for row in text.split("\n")[:-1]:
        match = line.fullmatch(row)
        if match is None or (name := _decoded(match[2])) in sums or ".." in name.split("/"):
            return None
        sums[name] = match[1]
    return sums


def _encoded(name: str) -> str:
    # RFC 8493, 2.1.3: only line breaks and the percent sign are written otherwise.
    return name.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _decoded(name: str) -> str:
    return name.replace("%0A", "\n").replace("%0D", "\r").replace("%25", "%")
