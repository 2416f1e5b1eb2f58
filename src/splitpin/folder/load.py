"""Read a film folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple, cast

from splitpin.character.character import Character
from splitpin.character.figure import Figure, assemble, lone
from splitpin.cutout.cutout import Cutout, CutoutDocument
from splitpin.film.document import Film
from splitpin.folder import kinds
from splitpin.folder.beside import check_provenance, measured_cutouts, takes_of
from splitpin.folder.crossing import (
    check_character,
    check_film,
    check_origins,
    check_pins,
    check_scene,
    cutouts_in,
    stems,
    uses_of,
)
from splitpin.folder.gather import Gathering
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.pictures import ENDINGS
from splitpin.folder.read import Document
from splitpin.folder.save_set import finish_sets
from splitpin.folder.takes import Take
from splitpin.motion.speak import Speak
from splitpin.picture.document import PictureDocument
from splitpin.scene.scene import Scene
from splitpin.sheet.stack import BACKGROUND
from splitpin.voice.document import VoiceDocument


class FilmFolder(NamedTuple):
    """A film folder as read.

    With mistakes it holds what could be read nevertheless, good enough to go on looking for mistakes in;
    without, all of it.
    """

    root: Path
    film: Film
    scenes: Mapping[str, Scene]
    characters: Mapping[str, Character]
    """The characters whose pieces hang together."""
    cutouts: Mapping[str, Cutout]
    pictures: Mapping[str, PictureDocument]
    """What is known of found pictures, by the picture's name without its ending."""
    sounds: Mapping[str, VoiceDocument]
    """What is known of sounds, by the name of the document without ``.toml``."""
    takes: Mapping[str, tuple[Take, ...]]
    """The good takes of each scene, by frame and number."""
    audible: frozenset[str]
    """The sounds that cues and mouths name, as they name them, and that are good by their heads."""
    documents: Mapping[str, Document]
    """Every document read, by its path in the folder, with its lines."""
    mistakes: tuple[Mistake, ...]
    warnings: tuple[Mistake, ...]

    def cutout_path(self, cutout: str) -> Path:
        """The picture of a cut-out."""
        return self.root / "cutouts" / f"{cutout}.png"

    def sound_path(self, sound: str) -> Path:
        """The file of a sound as a cue names it."""
        return self.root / "sounds" / sound

    def drawing_path(self, drawing: str) -> Path:
        """The file of a board drawing as a panel names it."""
        return self.root / drawing

    def take_path(self, take: Take) -> Path:
        """The file of a take."""
        return self.root / take.file

    def figures(self, scene: str) -> dict[str, Figure]:
        """The figure of each member of a scene's cast, and of its background.

        A cut-out that could not be measured is stood in for by a small one, so that the rest can be looked
        through; a member whose character could not be read is left out.
        """
        says = self.scenes[scene]
        found: dict[str, Figure] = {}
        if says.background is not None:
            found[BACKGROUND] = lone(BACKGROUND, self._cutout(says.background))
        for who, member in says.cast.items():
            if member.cutout is not None:
                found[who] = lone(who, self._cutout(member.cutout))
            elif member.character is not None and member.character in self.characters:
                character = self.characters[member.character]
                used = {cutout: self._cutout(cutout) for _, cutout in cutouts_in(character)}
                found[who] = assemble(member.character, character, used)
        return found

    def _cutout(self, name: str) -> Cutout:
        return self.cutouts.get(name) or Cutout(name, 100, 100, 1.0)


def load(root: Path) -> FilmFolder:
    """Read a film folder and everything in it that the film needs.

    Parameters
    ----------
    root
        The folder that holds ``film.toml``.

    Raises
    ------
    FolderError
        When there is no such folder, or no film in it.
    """
    _refuse_other_things(root)
    finish_sets(root / kinds.CUTOUT.place)
    gathering = Gathering(root)
    gathering.mistakes += gathering.tree.clashes()
    film = cast(Film | None, gathering.document(kinds.FILM, kinds.FILM_FILE))
    scenes = cast(dict[str, Scene], gathering.documents_of(kinds.SCENE))
    characters = cast(dict[str, Character], gathering.documents_of(kinds.CHARACTER))
    cutouts = cast(dict[str, CutoutDocument], gathering.documents_of(kinds.CUTOUT))
    pictures = cast(dict[str, PictureDocument], gathering.documents_of(kinds.PICTURE))
    sounds = cast(dict[str, VoiceDocument], gathering.documents_of(kinds.SOUND))

    if film is not None:
        check_film(gathering, film)
    sound = {name: c for name, c in characters.items() if check_character(gathering, name, c)}
    for name, scene in scenes.items():
        check_scene(gathering, name, scene)
    measured = measured_cutouts(gathering, cutouts, uses_of(characters, scenes))
    for name, character in characters.items():
        check_pins(gathering, name, character, measured)
    origins = {name: document.picture for name, document in cutouts.items()}
    cues = [cue.sound for holder in (film, *scenes.values()) if holder is not None for cue in holder.cues]
    check_provenance(gathering, "pictures", pictures, {p for p in origins.values() if p is not None})
    spoken = [move.sound for one in scenes.values() for move in one.moves if isinstance(move, Speak)]
    check_provenance(gathering, "sounds", sounds, {*cues, *spoken})
    further = [name for name, document in pictures.items() if document.of is not None]
    check_origins(gathering, origins, [*_picture_names(gathering), *further])
    takes = takes_of(gathering, stems(gathering, "scenes"))
    return FilmFolder(
        root,
        film or Film(format=1, title=root.resolve().name or "film", scenes=list(scenes)),
        scenes,
        sound,
        measured,
        pictures,
        sounds,
        takes,
        gathering.good_sounds(),
        gathering.documents,
        gathering.sorted_mistakes(),
        gathering.sorted_warnings(),
    )


def nothing_read(problem: FolderError) -> Mistake:
    """That there is no film folder, as the one mistake in it."""
    return Mistake(
        kinds.FILM_FILE, None, f"{problem.found} ({problem.where})", problem.expected, problem.remedy
    )


def _picture_names(gathering: Gathering) -> list[str]:
    names = [Path(n) for n in gathering.tree.names("pictures")]
    return [n.stem for n in names if n.suffix.lower() in ENDINGS]


def _refuse_other_things(root: Path) -> None:
    where = str(root)
    try:
        if root.name == kinds.FILM_FILE and root.is_file():
            raise FolderError(where, "a file", "the folder that holds it", f"name {root.parent}")
        if not root.exists():
            raise FolderError(where, "nothing there", "a film folder", "make one with `splitpin new FOLDER`")
        if not root.is_dir():
            raise FolderError(where, "a file", "a film folder", "name the folder that holds film.toml")
        if not (root / kinds.FILM_FILE).exists() and not (root / kinds.FILM_FILE).is_symlink():
            raise FolderError(
                where,
                "no film.toml",
                "a film folder",
                "name the folder that holds film.toml, or make one with `splitpin new`",
            )
        next(root.iterdir(), None)
    except OSError as e:
        raise FolderError(
            where,
            f"it cannot be read ({e.strerror or type(e).__name__})",
            "a film folder",
            "look at its permissions",
        ) from None
    except ValueError:
        raise FolderError(
            where, "a path with a character that no path has", "a film folder", "write it anew"
        ) from None
