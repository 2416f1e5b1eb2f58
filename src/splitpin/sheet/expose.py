"""Expose a scene: join its clock, its moves, its stacking and its sounds into rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from splitpin.character.channels import read_channels
from splitpin.character.figure import Figure
from splitpin.character.pose import Value
from splitpin.measure.fault import Fault
from splitpin.measure.table import Stage, View
from splitpin.scene.scene import Scene
from splitpin.sheet.channels import VIEW, channels_of_view, rest_of
from splitpin.sheet.held import held, planned
from splitpin.sheet.lines import Voices, dialogue
from splitpin.sheet.rides import ride_order
from splitpin.sheet.rows import write_rows
from splitpin.sheet.settle import settle
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.stack import BACKGROUND, rank
from splitpin.sheet.timeline import Timeline
from splitpin.sheet.timing import Timing, time_panels
from splitpin.sheet.touches import lay_touches
from splitpin.sheet.unswept import unswept


class Exposed(NamedTuple):
    """A scene as rows, and what is wrong with it; with faults the rows are as good as they can be."""

    sheet: Sheet
    faults: tuple[Fault, ...]


def expose(
    name: str,
    scene: Scene,
    figures: Mapping[str, Figure],
    stage: Stage,
    rate: Fraction,
    on: int,
    voices: Voices | None = None,
) -> Exposed:
    """Turn a scene into its exposure sheet.

    Parameters
    ----------
    name
        The scene's name.
    scene
        What it says.
    figures
        The figure of each member of the cast that could be read, and of ``background``.
    stage
        The picture over the field.
    rate
        Frames a second.
    on
        Frames an exposure where the scene says nothing.
    voices
        The recorded voices that are known; the mouths of others stay shut.

    Returns
    -------
    Exposed
        Rows whose frames add up to the board exactly, and every fault, with its path in the scene document.
    """
    voices = voices or {}
    final, faults = time_panels(scene.panels, rate, scene.on or on)
    timing, found = planned(scene.panels, final)
    faults += found
    faults += _twice_named(scene)
    opening, found = _opening(scene, figures, stage)
    faults += found
    with unswept():
        settled = settle(scene, timing, figures, opening, voices)
    faults += settled.faults
    timeline, soundings, reports = settled.timeline, settled.soundings, settled.reports
    rides, found = ride_order(scene.cast, figures)
    faults += found
    ranks, found = rank(scene.order, figures)
    faults += found
    starts = list(_row_starts(timing, timeline))
    touches, found = lay_touches(scene, timing, starts, opening, figures)
    faults += found
    said = dialogue(scene, starts, settled.spans, soundings, settled.lines, voices, timing)
    with unswept():
        rows = tuple(
            row._replace(says=said[row.frame]) if row.frame in said else row
            for row in write_rows(
                scene, timing, starts, figures, opening, timeline, rides, ranks, touches, soundings, reports
            )
        )
    sheet = Sheet(
        name,
        rate,
        timing.frames,
        scene.paper,
        rows,
        tuple(event for event in timeline.events if event.frame < timing.frames),
        soundings,
        tuple((p.name, p.start, p.frames) for p in timing.panels),
        settled.unheard,
        tuple(reports),
        settled.spans,
    )
    if any(panel.holds for panel in scene.panels):
        sheet, found = held(sheet, scene.panels)
        faults += found
    return Exposed(sheet, tuple(faults))


def _twice_named(scene: Scene) -> list[Fault]:
    seen: set[str] = set()
    faults: list[Fault] = []
    for i, panel in enumerate(scene.panels):
        if panel.name in seen:
            found = f"two panels are called {panel.name!r}"
            faults.append(Fault(("panels", i, "name"), found, "a name of its own", "rename one of them"))
        seen.add(panel.name)
    return faults


def _opening(
    scene: Scene, figures: Mapping[str, Figure], stage: Stage
) -> tuple[dict[str, dict[str, Value]], list[Fault]]:
    faults: list[Fault] = []
    look = scene.view
    view = View(look.x, look.y, look.width_mm or stage.field_mm, look.angle)
    opening = {who: rest_of(figure) for who, figure in figures.items()}
    for who, member in scene.cast.items():
        if who in (VIEW, BACKGROUND):
            faults.append(
                Fault(
                    ("cast", who),
                    f"a member called {who!r}",
                    "another name",
                    f"{who!r} has a meaning of its own",
                )
            )
        if who not in figures:
            continue
        pose, found = read_channels(member.pose, opening[who], figures[who], ("cast", who, "pose"))
        faults += found
        opening[who] |= pose
        opening[who] |= {
            "x": member.x,
            "y": member.y,
            "angle": member.angle,
            "scale": member.scale,
            "flip": member.flip,
            "hidden": member.hidden,
            "level": member.level,
        }
    opening[VIEW] = channels_of_view(view)
    return opening, faults


def _row_starts(timing: Timing, timeline: Timeline) -> Iterator[int]:
    # While moves work, their exposures are the rows; elsewhere each panel counts its own from its start.
    busy = bytearray(timing.frames)
    for start, end in timeline.busy:
        busy[start:end] = b"\1" * (min(end, timing.frames) - start)
    for panel in timing.panels:
        since = 0
        for frame in range(panel.start, panel.end):
            freed = frame > 0 and busy[frame - 1] and not busy[frame]
            if (
                frame == panel.start
                or frame in timeline.starts
                or freed
                or (not busy[frame] and since >= timing.on)
            ):
                since = 0
                yield frame
            since += 1
