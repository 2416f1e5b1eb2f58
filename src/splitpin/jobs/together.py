"""Several changes of a film's documents that belong together: all of them or none."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from splitpin.folder.edit import Edit, apply
from splitpin.folder.gather import in_order
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.sheets import expose_all
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.voices import voices_of


def together(root: Path, edits: Sequence[Edit]) -> None:
    """Make changes one after the other.

    Parameters
    ----------
    root
        The film folder.
    edits
        The changes, in the order in which they are made.

    Raises
    ------
    FolderError
        When a place is not there.
    RefusedError
        With the mistakes that there would be afterwards, where the documents had none before. Pictures and
        sounds are not looked into: no change of a document spoils them.
    """
    before = amiss(root)
    undo: list[Edit] = []
    try:
        undo.extend(apply(root, edit) for edit in edits)
        new = amiss(root)
        if new and not before:
            raise RefusedError(new)
    except (FolderError, RefusedError):
        for edit in reversed(undo):
            apply(root, edit)
        raise


def amiss(root: Path) -> tuple[Mistake, ...]:
    """What is wrong with a film's documents and with its scenes as they are exposed.

    Raises
    ------
    FolderError
        When there is no film.
    """
    folder = load(root)
    exposed = expose_all(folder, voices_of(folder, keep=True).voices)
    return in_order([*folder.mistakes, *exposed.mistakes])
