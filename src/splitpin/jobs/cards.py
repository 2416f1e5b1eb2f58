"""What each exposure of a scene shows, and words on cards that cannot be set."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from splitpin.cutout.letters import lacking, runs_backwards
from splitpin.device.stills import card_font
from splitpin.film.exposures import exposures
from splitpin.film.segments import Exposure
from splitpin.folder.load import FilmFolder
from splitpin.folder.mistake import Mistake
from splitpin.folder.takes import best
from splitpin.frames.standin import settable
from splitpin.jobs.letter import spelled
from splitpin.measure.fault import Fault
from splitpin.sheet.sheet import Sheet

KEYS = ("name", "action", "says", "speaker", "sound")
"""The keys of a panel whose words stand on its card."""
REMEDY = "give the panel a `drawing`, a picture with the words; or say them in letters that it has"


def shown_of(folder: FilmFolder, sheet: Sheet) -> tuple[Exposure, ...]:
    """What each exposure of a scene shows, by its takes, cut-outs, drawings and words."""
    shots = {take.frame: take.file for take in best(folder.takes.get(sheet.scene, ())).values()}
    return exposures(sheet, folder.scenes[sheet.scene], shots)


def warnings_of_cards(folder: FilmFolder, scene: str, shown: Sequence[Exposure]) -> list[Mistake]:
    """Words that show on a card as empty boxes or the wrong way round, each on its line of the scene.

    Parameters
    ----------
    folder
        The film folder.
    scene
        The scene's name.
    shown
        What its exposures show.
    """
    cards = {exposure.row.panel for exposure in shown if exposure.kind == "card"}
    document = folder.documents[f"scenes/{scene}.toml"]
    told: list[Mistake] = []
    for i, panel in enumerate(folder.scenes[scene].panels):
        for key in KEYS if panel.name in cards else ():
            text = settable(str(getattr(panel, key) or ""))
            path = ("panels", i, key)
            if missing := _lacking(text):
                found = f"the font of the cards has no {spelled(missing)}: empty boxes stand there"
                told.append(document.mistake(Fault(path, found, "Latin, Greek or Cyrillic letters", REMEDY)))
            if runs_backwards(text):
                found = "letters of a script that runs from right to left, set from left to right"
                expected = "a script that runs from left to right"
                told.append(document.mistake(Fault(path, found, expected, REMEDY)))
    return told


@cache
def _lacking(text: str) -> str:
    return lacking(text, card_font()) if not text.isascii() else ""
