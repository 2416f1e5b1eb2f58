"""Begin a film: an empty one of two cards that plays at once, or the example."""

from __future__ import annotations

import json
from pathlib import Path

from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole

FOLDERS = ("board", "characters", "cutouts", "pictures", "scenes", "sounds", "takes")

IGNORED = b"made/\n"
"""What no history of the folder need keep, as git reads it."""

FILM = """\
# The film as a whole. `splitpin reference film` tells every key; `splitpin check` says what is wrong.
format = 1
title = {title}
rate = "24"                # frames a second: 12, 24000/1001, 24, 25, 30000/1001 or 30
picture = [1920, 1080]     # pixels
field_mm = 400.0           # how wide the field on the table is
on = 2                     # frames an exposure: on twos
scenes = ["010-first"]     # in the order of the film

# A sound under the whole film:
# [[cues]]
# sound = "music.ogg"      # a file in sounds/
# kind = "music"
# gain = -12.0             # decibels

[outlets.web]
lufs = -14.0               # loudness
peak = -1.0                # true peak, dBTP
"""

SCENE = """\
# One set-up of the table. A panel of the board is a film already: until something lies on the table, or a
# drawing is named, its words are shown for its time.
# `splitpin reference scene` tells every key, `splitpin reference moves` every move.
format = 1

[[panels]]
name = "opening"
seconds = 3.0
action = "Write here what happens."

[[panels]]
name = "ending"
seconds = 3.0
action = "And how it ends."

# Put a transparent picture at cutouts/boat.png and its width on the table in cutouts/boat.toml
# (format = 1, width_mm = 90), and let it sail:
#
# [cast.boat]
# cutout = "boat"
# x = -150.0               # millimetres, right of the middle of the field
#
# [[moves]]
# move = "slide"
# who = "boat"
# to = [150.0, 0.0]
"""


def new(folder: Path, *, example: bool = False) -> None:
    """Write a new film folder.

    Parameters
    ----------
    folder
        A path where nothing is yet, or an empty folder.
    example
        Write the example film instead of an empty one.

    Raises
    ------
    FolderError
        When something is there already, or the disk does not allow it.
    """
    _refuse_what_is_there(folder)
    if example:
        from splitpin.example.write import write

        try:
            write(folder)
        except OSError as e:
            raise _cannot(folder, e) from e
        write_whole(folder / ".gitignore", IGNORED)
        return
    title = "".join(c for c in folder.resolve().name if c.isprintable())[:200] or "film"
    try:
        for name in FOLDERS:
            (folder / name).mkdir(parents=True, exist_ok=True)
    except OSError as e:
        raise _cannot(folder, e) from e
    write_whole(folder / "film.toml", FILM.format(title=json.dumps(title, ensure_ascii=False)).encode())
    write_whole(folder / "scenes" / "010-first.toml", SCENE.encode())
    write_whole(folder / ".gitignore", IGNORED)


def _refuse_what_is_there(folder: Path) -> None:
    try:
        if folder.exists() and not folder.is_dir():
            raise FolderError(str(folder), "a file of that name", "a new folder", "name another place")
        if folder.is_dir() and any(folder.iterdir()):
            raise FolderError(
                str(folder), "a folder with things in it", "a new or empty folder", "name another place"
            )
    except OSError as e:
        raise _cannot(folder, e) from e
    except ValueError as e:
        raise FolderError(str(folder), "a path that no disk has", "a new folder", "write it anew") from e


def _cannot(folder: Path, error: OSError) -> FolderError:
    return FolderError(
        str(folder),
        f"it cannot be made ({error.strerror or type(error).__name__})",
        "a place that may be written to",
        "look at permissions and free space, or name another place",
    )
