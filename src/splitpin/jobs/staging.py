"""One scene, opened to be changed: a change is tried on it alone before anything is written."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile
from pathlib import Path
from typing import NamedTuple, cast

from splitpin.character.figure import Figure
from splitpin.folder.edit import Edit, apply, changed
from splitpin.folder.keep_time import keep_time
from splitpin.folder.kinds import SCENE
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.read import read
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.voices import voices_of
from splitpin.measure.likely import likely
from splitpin.scene.scene import Scene
from splitpin.sheet.expose import Exposed, expose
from splitpin.sheet.held import as_planned
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.timing import time_panels


class Staged(NamedTuple):
    """A scene as its document says it, and its sheet."""

    folder: FilmFolder
    name: str
    scene: Scene
    exposed: Exposed
    text: str
    """Its document."""

    @property
    def file(self) -> str:
        """The document's path in the film folder."""
        return f"scenes/{self.name}.toml"

    @property
    def sheet(self) -> Sheet:
        """Its rows."""
        return self.exposed.sheet

    @property
    def plan(self) -> tuple[int, ...]:
        """The first frames of its rows as moves count them, as if nothing were held."""
        return as_planned(self.sheet, self.scene.panels)

    @property
    def figures(self) -> dict[str, Figure]:
        """The cast, and the background."""
        return self.folder.figures(self.name)

    def refuse(self, found: str, expected: str, remedy: str) -> FolderError:
        """Something that cannot be asked of this scene."""
        return FolderError(self.file, found, expected, remedy)


def stage(root: Path, name: str) -> Staged:
    """Open a scene.

    Raises
    ------
    FolderError
        When there is no such scene.
    RefusedError
        With every mistake in it, when there is one.
    """
    folder = load(root)
    file = f"scenes/{name}.toml"
    if mistakes := [m for m in folder.mistakes if m.file == file]:
        raise RefusedError(mistakes)
    if name not in folder.scenes:
        raise FolderError(file[:120], "no such scene", "a scene", likely(name, folder.scenes))
    return _read(folder, name, (root / file).read_bytes().decode("utf-8"))


def tried(staged: Staged, edits: Sequence[Edit]) -> Staged:
    """The scene as it would be after changes of its document; nothing is written.

    Raises
    ------
    FolderError
        When a place in the document is not there.
    RefusedError
        With every mistake that it would have.
    """
    text: str | None = staged.text
    for edit in edits:
        text = changed(edit, text)
    return _read(staged.folder, staged.name, text or "")


def change(root: Path, name: str, edits: Sequence[Edit]) -> Staged:
    """Change a scene's document: all of it, or nothing when it would have mistakes.

    Raises
    ------
    FolderError
        When there is no such scene or place in it.
    RefusedError
        With every mistake that it would have.
    """
    staged = stage(root, name)
    others = [edit.document for edit in edits if edit.document != staged.file]
    if others:
        raise staged.refuse(f"a change of {others[0][:120]}", "changes of this scene", "name its document")
    done = tried(staged, edits)
    write(staged, edits)
    return done


def write(staged: Staged, edits: Sequence[Edit]) -> None:
    """Write changes that were tried."""
    for edit in edits:
        apply(staged.folder.root, edit)


def _read(folder: FilmFolder, name: str, text: str) -> Staged:
    file = f"scenes/{name}.toml"
    document = read(SCENE, file, text.encode("utf-8"))
    if document.mistakes or document.value is None:
        raise RefusedError(document.mistakes)
    scene = cast(Scene, document.value)
    folder = folder._replace(
        scenes={**folder.scenes, name: scene}, documents={**folder.documents, file: document}
    )
    _refuse_strangers(folder, name, scene)
    film = folder.film
    shown, _ = keep_time(folder, scene, _start(folder, name))
    voices = voices_of(folder, keep=True).voices
    exposed = expose(name, shown, folder.figures(name), film.stage, film.exact_rate, film.on, voices)
    if exposed.faults:
        raise RefusedError([document.mistake(fault) for fault in exposed.faults])
    return Staged(folder, name, scene, exposed, text)


def _refuse_strangers(folder: FilmFolder, name: str, scene: Scene) -> None:
    """See that whoever is in the cast is in the folder."""
    file = f"scenes/{name}.toml"
    mistakes = []
    named = [("characters", member.character, folder.characters) for member in scene.cast.values()]
    named += [("cutouts", member.cutout, folder.cutouts) for member in scene.cast.values()]  # type: ignore[misc]
    named.append(("cutouts", scene.background, folder.cutouts))  # type: ignore[arg-type]
    for place, wanted, there in named:
        if wanted is not None and wanted not in there:
            found = f"there is no {wanted!r} in {place}/"
            mistakes.append(Mistake(file, None, found, "one that is there", likely(wanted, there)))
    if mistakes:
        raise RefusedError(mistakes)


def _start(folder: FilmFolder, name: str) -> int | None:
    """The frame of the film on which a scene starts; None when the film does not show it."""
    film = folder.film
    if name not in film.scenes:
        return None
    start = 0
    for before in takewhile(lambda one: one != name, film.scenes):
        if (scene := folder.scenes.get(before)) is not None:
            timed, _ = keep_time(folder, scene, start)
            start += time_panels(timed.panels, film.exact_rate, film.on)[0].frames
    return start
