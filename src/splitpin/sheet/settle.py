"""Moves that hang on sounds and on events, and sounds that hang on events, all put in their places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from splitpin.character.figure import Figure
from splitpin.character.pose import Value
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.motion.move import Span
from splitpin.motion.speak import Speak
from splitpin.scene.scene import Scene
from splitpin.sheet.cues import place_cues
from splitpin.sheet.lines import Lines, Voices, goes_by_cue
from splitpin.sheet.sheet import Event, Sounding
from splitpin.sheet.timeline import Timeline, run_moves
from splitpin.sheet.timing import Hanging, Timing, time_moves


class Settled(NamedTuple):
    """A scene whose moves and sounds have their places."""

    spans: Mapping[int, Span]
    timeline: Timeline
    soundings: tuple[Sounding, ...]
    unheard: tuple[Sounding, ...]
    lines: Lines
    reports: list[str]
    faults: list[Fault]


def settle(
    scene: Scene,
    timing: Timing,
    figures: Mapping[str, Figure],
    opening: Mapping[str, Mapping[str, Value]],
    voices: Voices,
) -> Settled:
    """Work out every move and place every sound, again until what hangs on something hangs where it is.

    Parameters
    ----------
    scene, timing
        The scene and its clock.
    figures
        The cast.
    opening
        Every channel of every member and of the view as the scene opens.
    voices
        The recorded voices that are known.
    """
    lines = Lines(scene, timing, voices)
    soundings, unheard, _ = place_cues([cue for cue in scene.cues if cue.event is None], timing, ())
    lines.hear(soundings)
    begins: dict[int, Fraction] = {i: line.at for i, line in lines.cued.items()}
    alone: frozenset[int] = frozenset()
    # Each turn puts at least one more thing in its place, or it is the last.
    for _ in range(2 * len(scene.moves) + 2):
        waits = _waiting(scene, begins) - alone
        spans, faults = time_moves(scene, timing, Hanging(begins, lines.lasts, waits))
        timeline, found, reports = run_moves(scene, spans, figures, opening, timing.frames, lines.reading)
        soundings, unheard, silent = place_cues(scene.cues, timing, timeline.events)
        blocked = {move.name or move.kind for i, move in enumerate(scene.moves) if i not in spans}
        circles = _circles(scene, waits, blocked, timeline.events)
        was = begins
        lines.hear(soundings)
        begins = _events(scene, timeline.events) | {i: line.at for i, line in lines.cued.items()}
        if begins == was:
            # Whose sound hangs on what never happens begins by itself; that it never happens is told there.
            lost = frozenset(i for i in waits - set(circles) if scene.moves[i].after is None)
            if not lost:
                break
            alone |= lost
    # What hangs on a move that waits never happens, and that is told of the move.
    told = {fault.path for fault in circles.values()}
    quiet = [f for f in silent if not (waits and f.path[-1:] == ("event",) and _head(scene, f) in blocked)]
    return Settled(
        spans, timeline, soundings, unheard, lines, reports,
        [*faults, *found, *circles.values(), *(f for f in quiet if f.path not in told)],
    )  # fmt: skip


def _events(scene: Scene, events: Sequence[Event]) -> dict[int, Fraction]:
    """The frame at which each move begins that hangs on an event that happens."""
    begins: dict[int, Fraction] = {}
    for i, move in enumerate(scene.moves):
        name, _, which = (move.after or "").partition(".")
        if which:
            kind, _, nth = which.partition(".")
            frames = [e.frame for e in events if e.move == name and e.name == kind]
            if len(frames) >= (n := int(nth or 1)):
                begins[i] = Fraction(frames[n - 1])
    return begins


def _waiting(scene: Scene, begins: Mapping[int, Fraction]) -> frozenset[int]:
    """The moves that cannot begin yet: their event has not happened, or their cue has no place."""
    hung = {cue.sound for cue in scene.cues if cue.event is not None}
    return frozenset(
        i
        for i, move in enumerate(scene.moves)
        if i not in begins
        and (
            "." in (move.after or "")
            or (isinstance(move, Speak) and goes_by_cue(move) and move.sound in hung)
        )
    )


def _circles(
    scene: Scene, waits: frozenset[int], blocked: set[str], events: Sequence[Event]
) -> dict[int, Fault]:
    """What is wrong with the moves that wait in vain, by their places in the list."""
    faults: dict[int, Fault] = {}
    names = [move.name or move.kind for move in scene.moves]
    happened = [f"{event.move}.{event.name}" for event in events]
    for i in sorted(waits):
        after = scene.moves[i].after
        if after is not None:
            name = after.partition(".")[0]
            if name in blocked:
                found = f"moves wait for one another: {names[i]!r} after {after!r}"
                expected, remedy = "a move that can start by itself", "give one of them a panel and a start"
                faults[i] = Fault(("moves", i, "after"), found, expected, remedy)
            elif name in names:
                found, expected = f"{after!r} never happens here", "an event of a move"
                faults[i] = Fault(("moves", i, "after"), found, expected, likely(after, happened))
            continue
        sound = getattr(scene.moves[i], "sound", None)
        for j, cue in enumerate(scene.cues):
            if cue.sound == sound and (cue.event or "").partition(".")[0] in blocked:
                found = f"it hangs on {cue.event!r}, and {names[i]!r} waits for this sound"
                remedy = "give the cue a panel and a start instead, or the mouth"
                faults[i] = Fault(("cues", j, "event"), found, "a sound that can start by itself", remedy)
                break
    return faults


def _head(scene: Scene, fault: Fault) -> str:
    cue = scene.cues[int(fault.path[1])]
    return (cue.event or "").partition(".")[0]
