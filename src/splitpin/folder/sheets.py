"""Expose every scene of a film folder."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from splitpin.folder.gather import in_order
from splitpin.folder.keep_time import keep_time
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import Mistake
from splitpin.folder.mouths import mouths_amiss
from splitpin.folder.takes import best
from splitpin.measure.fault import Fault
from splitpin.sheet.expose import expose
from splitpin.sheet.lines import Voices
from splitpin.sheet.sheet import Sheet


class Sheets(NamedTuple):
    """The sheets of a film's scenes, and what exposing them brought to light."""

    sheets: Mapping[str, Sheet]
    mistakes: tuple[Mistake, ...]
    warnings: tuple[Mistake, ...]


def expose_all(folder: FilmFolder, voices: Voices | None = None) -> Sheets:
    """Expose the scenes that could be read, those of the film in its order first.

    A scene with mistakes has a sheet as good as can be, and no warnings yet (see
    :func:`splitpin.sheet.expose.expose`).

    Parameters
    ----------
    folder
        The film folder.
    voices
        The recorded voices that were heard; the mouths of others stay shut.
    """
    film = folder.film
    sheets: dict[str, Sheet] = {}
    mistakes: list[Mistake] = []
    warnings: list[Mistake] = []
    start = 0
    for name in dict.fromkeys([*film.scenes, *folder.scenes]):
        scene = folder.scenes.get(name)
        if scene is None:
            continue
        file = f"scenes/{name}.toml"
        document = folder.documents[file]
        figures = folder.figures(name)
        lost = [who for who in scene.cast if who not in figures]
        shown = name in film.scenes
        scene, told = keep_time(folder, scene, start if shown else None)
        exposed = expose(name, scene, figures, film.stage, film.exact_rate, film.on, voices)
        sheets[name] = exposed.sheet
        start += exposed.sheet.frames if shown else 0
        trusted = [f for f in exposed.faults if document.trusts(f) and not _follows(f, lost)]
        # A move with a mistake in it happens not as meant, or not at all: what hangs on its events can wait.
        unmoved = any(path[:1] == ("moves",) for path in (*document.doubtful, *(f.path for f in trusted)))
        mistakes += [document.mistake(f) for f in trusted if not (unmoved and f.path[-1:] == ("event",))]
        if document.mistakes or exposed.faults:
            continue
        warnings += [document.mistake(fault) for fault in told]
        across = film.cues if shown else []
        warnings += [document.mistake(f) for f in mouths_amiss(scene, exposed.sheet, figures, across)]
        warnings += [
            Mistake(file, None, r, "a move within its bounds", "see whether it is meant")
            for r in exposed.sheet.reports
        ]
        starts = {row.frame for row in exposed.sheet.rows}
        warnings += [
            Mistake(
                take.file,
                None,
                f"no exposure of {name} starts at frame {take.frame}",
                "the first frame of an exposure",
                "it is not shown: rename it, or change the scene",
            )
            for take in best(folder.takes.get(name, ())).values()
            if take.frame not in starts
        ]
    return Sheets(sheets, in_order(mistakes), in_order(warnings))


def _follows(fault: Fault, lost: list[str]) -> bool:
    # A member without a figure is told of where its character is named; that nothing moves it, and nothing
    # happens for sounds to hang on, need not be told too.
    if lost and fault.path[:1] == ("cues",):
        return True
    return any(f"{who!r}" in fault.found or f"{who}." in fault.found for who in lost)
