"""Find the beats of a sound, and note them in its document."""

from __future__ import annotations

from pathlib import Path

from splitpin.device.soundfile_reader import read_blocks
from splitpin.folder.edit import DELETED, Edit, apply
from splitpin.folder.mistake import FolderError
from splitpin.jobs.sound_papers import film_of, papers_of
from splitpin.sound.beats import FASTEST, SLOWEST, Beats, find_beats

FINER = 4
"""Decimals of a tempo and of its first beat: a beat in ten minutes of it lies within a millisecond."""


def beats_in(file: Path, near: float | None = None) -> Beats:
    """Listen for the beats of a sound.

    Parameters
    ----------
    file
        A sound file.
    near
        About how many beats a minute there are, where a person knows.

    Raises
    ------
    SoundError
        When it cannot be read.
    FolderError
        When nothing in it repeats.
    """
    found = find_beats(read_blocks(file, str(file)), near)
    if found is None:
        raise FolderError(
            str(file), "no beat", f"music of some seconds with {SLOWEST:.0f} to {FASTEST:.0f} beats a minute",
            "write `tempo` and `first_beat`, or `beats`, into its document by hand",
        )  # fmt: skip
    return found


def note_beats(file: Path, found: Beats) -> str:
    """Write beats into the document of a film's sound, in place of those that were there.

    Parameters
    ----------
    file
        A sound in ``sounds/`` of a film.
    found
        Its beats.

    Returns
    -------
    str
        The document, from the film folder.

    Raises
    ------
    FolderError
        When the sound lies in no film, or its document cannot be written.
    """
    root = film_of(file)
    if root is None:
        raise FolderError(
            str(file),
            "a sound outside of a film",
            "one in sounds/ of a film folder",
            "bring it in, or leave --write out",
        )
    document = papers_of(file)
    says: dict[str, object] = {"beats": list(found.beats)}
    if found.even:
        says = {"tempo": round(found.tempo, FINER), "first_beat": round(found.first, FINER)}
    if not (root / document).exists():
        apply(root, Edit(document, (), {"format": 1, **says}))
        return document
    for key in ("tempo", "first_beat", "beats"):
        _put(root, document, key, says.get(key, DELETED))
    return document


def _put(root: Path, document: str, key: str, value: object) -> None:
    try:
        apply(root, Edit(document, (key,), value))
    except FolderError:
        if value is not DELETED:  # what is not there need not be taken away
            raise
