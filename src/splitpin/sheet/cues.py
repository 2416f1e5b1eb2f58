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
) -> tuple[tuple[Sounding, ...], tuple[Sounding, ...], list[Fault]]:
    """Give every cue its start; a cue on an event sounds once for each time it happens.

    Parameters
    ----------
    cues, timing
        The cues and the clock of the scene.
    events
        In the order in which they happen, also those that would come after the end of the scene.

    Returns
    -------
    tuple
        What sounds; the cues that never do, because the scene ends before what they hang on happens, each
        where it would have started first; and the faults.
    """
    faults: list[Fault] = []
    soundings: list[Sounding] = []
    unheard: list[Sounding] = []
    frames: defaultdict[str, list[int]] = defaultdict(list)
    for event in events:
        frames[f"{event.move}.{event.name}"].append(event.frame)
    for i, cue in enumerate(cues):
        panel = timing.panel(cue.panel)
        if panel is None:
            faults.append(unknown_panel(timing, cue.panel or "", ("cues", i, "panel")))
            continue
        wait = exact(cue.start) * timing.rate
        happens, lost = [panel.start], []
        if cue.event is not None:
            within = None if cue.panel is None else panel
            happens, fault = _happenings(cue.event, frames, within, timing.frames, i)
            if fault is not None:
                faults.append(fault)
            # What happens after the end of the scene is seen by nobody, so it sounds for nobody either.
            lost = [frame for frame in happens if frame >= timing.frames]
            happens = happens[: len(happens) - len(lost)]
        end = Fraction(timing.frames)
        soundings += [Sounding(cue, frame + wait, end) for frame in happens]
        if not happens:
            unheard += [Sounding(cue, frame + wait, end) for frame in lost[:1]]
    return tuple(sorted(soundings, key=lambda s: s.at)), tuple(unheard), faults


def _happenings(
    wanted: str, events: Mapping[str, list[int]], panel: PanelSpan | None, end: int, i: int
) -> tuple[list[int], Fault | None]:
    parts = wanted.split(".")
    which = int(parts.pop()) if parts[-1].isdecimal() and len(parts) > 1 else None
    name = ".".join(parts)
    # What would come after the end belongs to the last panel, whose moves run over it.
    frames = [f for f in events.get(name, ()) if panel is None or panel.start <= min(f, end - 1) < panel.end]
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
