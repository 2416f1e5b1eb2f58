"""Write a scene's sheet as a table, and take in what was changed in it."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any, NamedTuple

from splitpin.folder.edit import Edit, apply
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.measure.likely import likely
from splitpin.sheet.csv import read_csv, write_csv
from splitpin.sheet.expose import expose
from splitpin.sheet.sheet import Sheet


class SceneSheet(NamedTuple):
    """One scene's sheet and the folder it was read from."""

    folder: FilmFolder
    sheet: Sheet


def sheet_of(root: Path, scene: str) -> SceneSheet:
    """Expose one scene.

    Raises
    ------
    FolderError
        When there is no such scene, or it has mistakes.
    """
    folder = load(root)
    if scene not in folder.scenes:
        raise FolderError(
            f"scenes/{scene}.toml",
            "no such scene, or not a readable one",
            "a scene",
            likely(scene, folder.scenes),
        )
    film = folder.film
    exposed = expose(scene, folder.scenes[scene], folder.figures(scene), film.stage, film.exact_rate, film.on)
    if exposed.faults:
        first = exposed.faults[0]
        raise FolderError(f"scenes/{scene}.toml", first.found, first.expected, first.remedy)
    return SceneSheet(folder, exposed.sheet)


def write_table(root: Path, scene: str, file: Path) -> int:
    """Write the sheet as comma-separated values; how many exposures it has."""
    found = sheet_of(root, scene)
    write_whole(file, write_csv(found.sheet, found.folder.figures(scene)).encode("utf-8"))
    return len(found.sheet.rows)


def take_in(root: Path, scene: str, file: Path) -> int:
    """Add a touch to the scene for every exposure that was changed in a table; how many.

    Raises
    ------
    FolderError
        When the table cannot be read or says what cannot be; then nothing is changed.
    """
    found = sheet_of(root, scene)
    try:
        text = file.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as e:
        raise FolderError(
            str(file), "it cannot be read as text", "comma-separated values in UTF-8", "save the table again"
        ) from e
    try:
        touches, faults = read_csv(text, found.sheet, found.folder.figures(scene))
    except csv.Error as e:
        raise FolderError(
            str(file), f"it is no table ({e})", "comma-separated values", "write the table anew"
        ) from e
    if faults:
        line = ", column ".join(str(p) for p in faults[0].path)
        raise FolderError(f"{file.name}, line {line}", faults[0].found, faults[0].expected, faults[0].remedy)
    count = len(found.folder.scenes[scene].touches)
    for i, touch in enumerate(touches):
        value = {**touch.model_dump(exclude_none=True), "set": _nested(touch.set)}
        place = ("touches", count + i)
        if count + i == 0:
            apply(root, Edit(f"scenes/{scene}.toml", ("touches",), [value]))
        else:
            apply(root, Edit(f"scenes/{scene}.toml", place, value, insert=True))
    return len(touches)


def _nested(channels: dict[str, object]) -> dict[str, Any]:
    """Channels as a person writes them: ``head.angle`` is a key within a table."""
    nested: dict[str, Any] = {}
    for channel, value in channels.items():
        piece, dot, rest = channel.partition(".")
        if dot:
            nested.setdefault(piece, {})[rest] = value
        else:
            nested[channel] = value
    return nested
