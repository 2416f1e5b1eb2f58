"""Sounds in their places."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction

from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.measure.rate import exact
from splitpin.scene.scene import Cue
from splitpin.sheet.sheet import Event, Sounding
from splitpin.sheet.timing import PanelSpan, Timing, unknown_panel


def place_cues(
    cues: Sequence[Cue], timing: Timing, events: Sequence[Event]
) -> tuple[tuple[Sounding, ...], list[Fault]]:
    """Give every cue its start; a cue on an event sounds once for each time it happens."""
    faults: list[Fault] = []
    soundings: list[Sounding] = []
    frames: defaultdict[str, list[int]] = defaultdict(list)
    for event in events:
        frames[f"{event.move}.{event.name}"].append(event.frame)
    for i, cue in enumerate(cues):
        panel = timing.panel(cue.panel)
        if panel is None:
            faults.append(unknown_panel(timing, cue.panel or "", ("cues", i, "panel")))
            continue
        wait = exact(cue.start) * timing.rate
        if cue.event is None:
            starts = [panel.start + wait]
        else:
            within = None if cue.panel is None else panel
            happens, fault = _happenings(cue.event, frames, within, i)
            if fault is not None:
                faults.append(fault)
            starts = [frame + wait for frame in happens]
        soundings.extend(Sounding(cue, Fraction(at), Fraction(timing.frames)) for at in starts)
    return tuple(sorted(soundings, key=lambda s: s.at)), faults


def _happenings(
    wanted: str, events: Mapping[str, list[int]], panel: PanelSpan | None, i: int
) -> tuple[list[int], Fault | None]:
    parts = wanted.split(".")
    which = int(parts.pop()) if parts[-1].isdecimal() and len(parts) > 1 else None
    name = ".".join(parts)
    frames = [f for f in events.get(name, ()) if panel is None or panel.start <= f < panel.end]
    if which is not None and 1 <= which <= len(frames):
        return [frames[which - 1]], None
    if which is None and frames:
        return frames, None
    path: tuple[str | int, ...] = ("cues", i, "event")
    if frames:
        return [], Fault(
            path,
            f"{name} happens {len(frames)} times, not {which}",
            f"1 to {len(frames)}",
            "count anew",
        )
    return [], Fault(path, f"{wanted!r} never happens here", "an event of a move", likely(wanted, events))
