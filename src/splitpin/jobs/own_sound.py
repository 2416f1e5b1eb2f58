"""Sounds that were made here, put into a film folder: whole, with their papers, and never over another."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path

import tomlkit

from splitpin.device.soundfile_writer import write_wav
from splitpin.folder.kinds import FILM_FILE, SOUND
from splitpin.folder.mistake import FolderError
from splitpin.folder.naming import refuse_misnamed
from splitpin.folder.save import write_whole
from splitpin.folder.tree import folded
from splitpin.sound.source import Sound
from splitpin.voice.document import VoiceDocument


def refuse_no_film(root: Path) -> None:
    """Refuse a folder that is no film folder.

    Raises
    ------
    FolderError
        When there is no ``film.toml`` in it.
    """
    if not (root / FILM_FILE).is_file():
        raise FolderError(str(root), "no film.toml", "a film folder", "make one with `splitpin new FOLDER`")


def free_name(root: Path, wanted: str) -> str:
    """A name that no sound of a film and no document of one has: the one wanted, or a numbered one.

    Parameters
    ----------
    root
        The film folder.
    wanted
        The name as it would be best.
    """
    taken, name, number = _taken(root), wanted, 1
    while folded(name) in taken:
        number += 1
        name = f"{wanted}-{number}"
    return name


def refuse_taken(root: Path, name: str) -> None:
    """Refuse a name that is none, or that a sound has already.

    Raises
    ------
    FolderError
        When it is so: sounds are originals, and nothing is written over them.
    """
    refuse_misnamed("--name", name, SOUND.name)
    if folded(name) in _taken(root):
        raise FolderError(
            f"sounds/{name}", "a sound of that name is there already", "a new name",
            f"name it {free_name(root, name)}",
        )  # fmt: skip


def keep_sound(root: Path, name: str, blocks: Iterable[Sound], **papers: str) -> str:
    """Write a sound into ``sounds/`` as 24-bit WAV, and its document beside it.

    Parameters
    ----------
    root
        The film folder.
    name
        What it is called; see :func:`refuse_taken`.
    blocks
        The sound.
    papers
        Keys of its document: ``source``, ``by``, ``date``, ``licence``.

    Returns
    -------
    str
        The file, as a cue names it.
    """
    file = root / SOUND.place / f"{name}.wav"
    write_wav(file, blocks)
    sum_of_it = hashlib.sha256(file.read_bytes()).hexdigest()
    words: dict[str, object] = {"format": 1, **papers, "sha256": sum_of_it}
    VoiceDocument.model_validate(words)
    write_whole(file.with_suffix(".toml"), tomlkit.dumps(words).encode("utf-8"))
    return file.name


def _taken(root: Path) -> set[str]:
    place = root / SOUND.place
    return {folded(path.stem) for path in place.iterdir()} if place.is_dir() else set()
