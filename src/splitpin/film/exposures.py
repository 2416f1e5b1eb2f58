"""What each exposure of a scene shows: the best that exists."""

from __future__ import annotations

from collections.abc import Mapping

from splitpin.film.segments import Exposure
from splitpin.frames.best import best
from splitpin.scene.scene import Panel, Scene
from splitpin.sheet.sheet import Sheet


def exposures(sheet: Sheet, scene: Scene, shots: Mapping[int, str]) -> tuple[Exposure, ...]:
    """A shot frame, else the drawn one, else the board drawing, else a card with the panel's words.

    Parameters
    ----------
    sheet, scene
        The rows, and what they were exposed from.
    shots
        The file of the shot frame of each exposure that has one, by the exposure's first frame in the scene.
    """
    panels = {panel.name: panel for panel in scene.panels}
    # A table that is bare for a moment is meant to be; one on which nobody ever lies is not built yet.
    built = scene.background is not None or bool(scene.cast)
    shown = []
    for row in sheet.rows:
        panel = panels[row.panel]
        kind = best(row.frame, shots, built, panel.drawing is not None).kind
        file = {"shot": shots.get(row.frame), "board": panel.drawing}.get(kind) or ""
        shown.append(Exposure(row, kind, file, _words(panel) if kind == "card" else ()))
    return tuple(shown)


def _words(panel: Panel) -> tuple[str, ...]:
    return panel.name, panel.action, panel.spoken, panel.sound
