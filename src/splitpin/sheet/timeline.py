"""From moves to the values of every channel, exposure by exposure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from heapq import heappop, heappush
from typing import NamedTuple

from splitpin.character.figure import Figure
from splitpin.character.pose import Value, undisturbed
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.motion.move import Before, Motion, MoveError, Span
from splitpin.scene.scene import Scene
from splitpin.sheet.sheet import Event
from splitpin.sheet.track import Stand, Step, Track
from splitpin.voice.mouth import Reading

Steps = Mapping[int, list[Step | Stand]]
"""Frame -> what changes there."""


class Timeline(NamedTuple):
    """All that the moves of a scene do."""

    steps: Mapping[str, Steps]
    """What changes of each member, and of the view."""
    events: tuple[Event, ...]
    """All of them, also those that would come after the end of the scene."""
    starts: frozenset[int]
    """Frames on which an exposure of some move starts."""
    busy: tuple[tuple[int, int], ...]
    """Half-open frames on which moves set the exposures."""


def run_moves(
    scene: Scene,
    spans: Mapping[int, Span],
    figures: Mapping[str, Figure],
    opening: Mapping[str, Mapping[str, Value]],
    frames: int,
    readings: Callable[[int, Span], Reading | None] | None = None,
) -> tuple[Timeline, list[Fault], list[str]]:
    """Work out every move of a scene.

    Parameters
    ----------
    scene, spans
        The moves and the frames each works on.
    figures
        The cast.
    opening
        Every channel of every member and of the view as the scene opens.
    frames
        The length of the scene; what moves do after it is not seen.
    readings
        Tells of a move, by its place in the list and its frames, what its mouth does.

    Returns
    -------
    tuple
        The timeline, the faults found, and reports for a person.
    """
    faults: list[Fault] = []
    reports: list[str] = []
    events: list[Event] = []
    starts: set[int] = set()
    courses = {who: Course(channels, figures.get(who), frames) for who, channels in opening.items()}
    names = [move.name or move.move for move in scene.moves]
    for i in sorted(spans, key=lambda i: (spans[i].start, i)):
        move, span = scene.moves[i], spans[i]
        if move.who not in opening:
            found = f"{move.who!r} is not in the cast"
            faults.append(Fault(("moves", i, "who"), found, "a member", likely(move.who, opening)))
            continue
        course = courses[move.who]
        reading = None if readings is None else readings(i, span)
        before = Before(course.before(span.start), figures.get(move.who), reading)
        try:
            motion = move.motion(span, before, _seed(scene.seed, i))
        except MoveError as error:
            faults.append(Fault(("moves", i, error.key), error.found, error.expected, error.remedy))
            continue
        fault = _unknown_channel(motion, opening[move.who], i) or course.claim(
            motion, span, i, move.who, names
        )
        if fault is not None:
            faults.append(fault)
            continue
        course.lay(motion, i, span)
        starts.update(span.frame(k) for k in range(span.exposures) if span.frame(k) < frames)
        events.extend(Event(names[i], name, span.frame(k), move.who) for name, k in motion.events)
        reports += [f"{names[i]} of {move.who} {report}" for report in motion.reports]
        if span.end > frames:
            reports.append(
                f"{names[i]} of {move.who} runs {span.end - frames} frames past the end of the scene"
            )
    events.sort(key=lambda e: e.frame)
    busy = tuple((s.start, s.end) for s in spans.values())
    steps = {who: course.steps for who, course in courses.items()}
    return Timeline(steps, tuple(events), frozenset(starts), busy), faults, reports


class Course:
    """What the moves of one member do, in the order of their starts."""

    def __init__(self, opening: Mapping[str, Value], figure: Figure | None, frames: int) -> None:
        self.steps: dict[int, list[Step | Stand]] = {}
        self._frames = frames
        self._track = Track(opening, figure)
        self._waiting: list[int] = []
        self._taken: dict[str, tuple[int, int]] = {}

    def before(self, frame: int) -> dict[str, Value]:
        """All channels as they are left on the exposure before a frame, without what only disturbs."""
        # Moves come in the order of their starts, so the track only ever runs forward; values that another
        # move lays after this frame are not yet taken.
        while self._waiting and self._waiting[0] < frame:
            steps = self.steps[heappop(self._waiting)]
            self._track.take(s for s in steps if isinstance(s, Stand) or s.by is None)
        return dict(self._track.still)

    def claim(self, motion: Motion, span: Span, i: int, who: str, names: Sequence[str]) -> Fault | None:
        """Take the channels that a move travels on, or say which other move has one of them."""
        for channel in motion.travel:
            end, other = self._taken.get(channel, (0, 0))
            if span.start < end:
                return Fault(
                    ("moves", i),
                    f"{names[i]!r} and {names[other]!r} both move {channel} of {who} on frames "
                    f"{span.start} to {min(span.end, end) - 1}",
                    "one travelling move on a channel at a time",
                    "start one after the other (`after`), or shorten one",
                )
        # Nothing else holds them any longer, so the latest to take a channel is the last to let it go.
        self._taken |= dict.fromkeys(motion.travel, (span.end, i))
        return None

    def lay(self, motion: Motion, i: int, span: Span) -> None:
        """Lay the values of a move, where they change, as far as the scene goes."""
        for channel, values in motion.travel.items():
            last: Value | None = None
            for k, value in enumerate(values):
                if value != last or k == 0:
                    self._put(span.frame(k), Step(channel, value, None))
                    last = value
        for piece, places in motion.stand.items():
            for k, at in enumerate(places):
                if k == 0 or at != places[k - 1]:
                    self._put(span.frame(k), Stand(piece, at))
            self._put(span.end, Stand(piece, None))
        for channel, amounts in motion.disturb.items():
            rest = undisturbed(channel)
            for k, amount in enumerate(amounts):
                self._put(span.frame(k), Step(channel, amount, i))
            if amounts and amounts[-1] != rest:
                self._put(span.end, Step(channel, rest, i))

    def _put(self, frame: int, step: Step | Stand) -> None:
        if frame >= self._frames:
            return
        if frame not in self.steps:
            self.steps[frame] = []
            heappush(self._waiting, frame)
        self.steps[frame].append(step)


def _seed(scene_seed: int, i: int) -> int:
    return scene_seed * 1_000_003 + i


def _unknown_channel(motion: Motion, channels: Mapping[str, Value], i: int) -> Fault | None:
    for channel in (*motion.travel, *motion.disturb):
        if channel not in channels:
            return Fault(
                ("moves", i), f"there is no channel {channel!r}", "a channel", likely(channel, channels)
            )
    return None
