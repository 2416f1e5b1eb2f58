"""Where in the film something happens that a person should know, so that it can be pinned there."""

from __future__ import annotations

import re
from typing import NamedTuple

from splitpin.folder.mistake import Mistake
from splitpin.jobs.check import Checked
from splitpin.measure.rate import nearest_frame
from splitpin.scene.scene import Scene
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.timing import time_moves, time_panels

SCENE = re.compile(r"scenes/(.+)\.toml")
TAKE = re.compile(r"takes/([^/]+)/0*(\d+)")
FRAME = re.compile(r"\bframe (\d+)\b")


class Whereabouts(NamedTuple):
    """A moment of the film."""

    scene: str
    frame: int
    """Counted from the start of the film."""


def whereabouts(checked: Checked, mistake: Mistake) -> Whereabouts | None:
    """Find the moment that a mistake or a warning is about.

    Parameters
    ----------
    checked
        The film as it was looked through.
    mistake
        One of its mistakes or warnings.

    Returns
    -------
    Whereabouts
        As near as can be told: the frame that it names, the move, touch, cue or panel on whose lines it
        stands, the scene, or where a character is first seen. None for what happens nowhere in the film.
    """
    if checked.folder is None or checked.sheets is None:
        return None
    folder, sheets = checked.folder, checked.sheets.sheets
    starts: dict[str, int] = {}
    at = 0
    for name in folder.film.scenes:
        if name in sheets:
            starts[name] = at
            at += sheets[name].frames
    scene, frame = "", 0
    if found := SCENE.fullmatch(mistake.file):
        scene = found[1]
        if scene in starts:
            frame = _within(checked, mistake, folder.scenes[scene], sheets[scene])
    elif found := TAKE.match(mistake.file):
        scene, frame = found[1], int(found[2])
    elif mistake.file.startswith("characters/"):
        who = mistake.file.removeprefix("characters/").removesuffix(".toml")
        scene = next((s for s in starts if _plays(folder.scenes[s], who)), "")
    if scene not in starts:
        return None
    return Whereabouts(scene, starts[scene] + max(0, min(frame, sheets[scene].frames - 1)))


def _plays(scene: Scene, who: str) -> bool:
    return any(member.character == who for member in scene.cast.values())


def _within(checked: Checked, mistake: Mistake, scene: Scene, sheet: Sheet) -> int:
    """The frame in its scene."""
    if found := FRAME.search(mistake.found):
        return int(found[1])
    document = None if checked.folder is None else checked.folder.documents.get(mistake.file)
    if document is None or mistake.line is None:
        return 0
    part, number, *_ = (*document.lines.path_at(mistake.line), "", "")
    if not isinstance(number, int):
        return 0
    timing, _ = time_panels(scene.panels, sheet.rate, 1)
    if part == "panels" and number < len(timing.panels):
        return timing.panels[number].start
    if part == "moves" and number < len(scene.moves):
        spans, _ = time_moves(scene, timing)
        panel = timing.panel(scene.moves[number].panel)
        return spans[number].start if number in spans else panel.start if panel else 0
    if part == "touches" and number < len(scene.touches):
        panel = timing.panel(scene.touches[number].panel)
        return scene.touches[number].frame + (panel.start if panel else 0)
    if part == "cues" and number < len(scene.cues):
        panel = timing.panel(scene.cues[number].panel)
        start = scene.cues[number].start if scene.cues[number].event is None else 0.0
        return nearest_frame(start, sheet.rate) + (panel.start if panel else 0)
    return 0
