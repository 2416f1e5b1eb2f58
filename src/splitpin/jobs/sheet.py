"""Write a scene's sheet as a table, and take in what was changed in it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from splitpin.folder.edit import DELETED, Edit, apply
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.save import write_whole
from splitpin.jobs.output import refuse_output
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.voices import voices_of
from splitpin.measure.likely import likely
from splitpin.scene.scene import Scene
from splitpin.sheet.csv import Change, read_csv, write_csv
from splitpin.sheet.expose import Exposed, expose
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.touches import Retouched, retouch

MOST_BYTES = 64 << 20


class SceneSheet(NamedTuple):
    """One scene's sheet and the folder it was read from."""

    folder: FilmFolder
    sheet: Sheet


class Taken(NamedTuple):
    """What became of a table that was taken in."""

    added: int
    """Touches that are new, changed, and gone."""
    changed: int
    removed: int
    missing: int
    """Exposures that the table had no line for; they were left as they are."""


def sheet_of(root: Path, scene: str) -> SceneSheet:
    """Expose one scene.

    Raises
    ------
    FolderError
        When there is no such scene.
    RefusedError
        With every mistake in it, when there is one.
    """
    folder = load(root)
    file = f"scenes/{scene}.toml"
    if mistakes := [m for m in folder.mistakes if m.file == file]:
        raise RefusedError(mistakes)
    if scene not in folder.scenes:
        raise FolderError(file, "no such scene", "a scene", likely(scene, folder.scenes))
    exposed = _exposed(folder, scene, folder.scenes[scene])
    if exposed.faults:
        raise RefusedError([folder.documents[file].mistake(fault) for fault in exposed.faults])
    return SceneSheet(folder, exposed.sheet)


def write_table(root: Path, scene: str, file: Path, *, again: bool = False) -> int:
    """Write the sheet as comma-separated values; how many exposures it has.

    Raises
    ------
    FolderError
        When the file is there already and not to be written ``again``, is no table, or cannot be written.
    RefusedError
        When the scene has mistakes.
    """
    refuse_output(file, [".csv", ".txt"], again=again)
    found = sheet_of(root, scene)
    if not file.parent.is_dir():
        raise FolderError(str(file.parent), "no such folder", "a folder", "make it first, or name another")
    write_whole(file, write_csv(found.sheet, found.folder.figures(scene)).encode("utf-8"))
    return len(found.sheet.rows)


def take_in(root: Path, scene: str, file: Path) -> Taken:
    """Let the scene's touches say what was changed in a table.

    All of it is taken in, by one change of the document, or nothing.

    Raises
    ------
    FolderError
        When the table cannot be read.
    RefusedError
        With everything in the table that cannot be, or every mistake of the scene.
    """
    found = sheet_of(root, scene)
    read = read_csv(_text(file), found.sheet, found.folder.figures(scene))
    if read.faults:
        raise RefusedError(
            [
                Mistake(
                    file.name,
                    int(fault.path[0]),
                    f"in column {fault.path[1]}: {fault.found}" if fault.path[1:] else fault.found,
                    fault.expected,
                    fault.remedy,
                )
                for fault in sorted(read.faults, key=lambda fault: int(fault.path[0]))
            ]
        )
    done = retouched(root, found, read.changes)
    return Taken(done.added, done.changed, done.removed, read.missing)


def plan_of(found: SceneSheet) -> Sheet:
    """The sheet as it is without any touch."""
    scene = found.folder.scenes[found.sheet.scene]
    if not scene.touches:
        return found.sheet
    return _exposed(found.folder, found.sheet.scene, scene.model_copy(update={"touches": []})).sheet


def retouched(root: Path, found: SceneSheet, changes: Sequence[Change]) -> Retouched:
    """Let the touches of a scene say what shall be different, by one change of its document."""
    name = found.sheet.scene
    done = retouch(found.folder.scenes[name].touches, found.sheet, plan_of(found), changes)
    if changes:
        values = [touch.model_dump(exclude_unset=True) for touch in done.touches]
        apply(root, Edit(f"scenes/{name}.toml", ("touches",), values or DELETED))
    return done


def _exposed(folder: FilmFolder, name: str, scene: Scene) -> Exposed:
    film = folder.film
    voices = voices_of(folder, keep=True).voices
    return expose(name, scene, folder.figures(name), film.stage, film.exact_rate, film.on, voices)


def _text(file: Path) -> str:
    try:
        if file.stat().st_size > MOST_BYTES:
            raise FolderError(
                str(file), "more than 64 MB", "a table of one scene", "write the table anew with --csv"
            )
        data = file.read_bytes()
        # Spreadsheets that write "Unicode text" mean UTF-16, which begins with one of these marks.
        utf16 = data[:2] in (b"\xff\xfe", b"\xfe\xff")
        return data.decode("utf-16" if utf16 else "utf-8-sig")
    except OSError as e:
        why = e.strerror or type(e).__name__
        raise FolderError(
            str(file), f"it cannot be read ({why})", "a table", "look at its name and its permissions"
        ) from e
    except UnicodeDecodeError as e:
        raise FolderError(
            str(file),
            "it cannot be read as text",
            "comma-separated values in UTF-8",
            "save the table again, as UTF-8",
        ) from e
