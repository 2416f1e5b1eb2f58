"""The kinds of documents in a film folder, and where each lies."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import NamedTuple

from splitpin.character.character import Character
from splitpin.cutout.cutout import CutoutDocument
from splitpin.film.document import Film
from splitpin.measure.plain import Plain
from splitpin.picture.document import PictureDocument
from splitpin.scene.scene import Scene
from splitpin.voice.document import VoiceDocument


class Kind(NamedTuple):
    """One kind of document."""

    name: str
    place: str
    """The subfolder; empty text for the film's own document."""
    model: type[Plain]
    version: int
    """The format version that is written now."""


FILM = Kind("film", "", Film, 1)
SCENE = Kind("scene", "scenes", Scene, 1)
CHARACTER = Kind("character", "characters", Character, 1)
CUTOUT = Kind("cutout", "cutouts", CutoutDocument, 1)
PICTURE = Kind("picture", "pictures", PictureDocument, 1)
SOUND = Kind("sound", "sounds", VoiceDocument, 1)
KINDS = (FILM, SCENE, CHARACTER, CUTOUT, PICTURE, SOUND)
"""Every kind, in the order of the reference."""

FILM_FILE = "film.toml"


def kind_of(document: str) -> Kind | None:
    """The kind of a document by its path in the film folder; None where no document belongs."""
    if document == FILM_FILE:
        return FILM
    path = PurePosixPath(document)
    if len(path.parts) != 2 or path.suffix != ".toml":
        return None
    return next((k for k in KINDS if k.place == path.parts[0]), None)
