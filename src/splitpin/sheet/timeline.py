"""From moves to the values of every channel, exposure by exposure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import NamedTuple

from splitpin.character.figure import Figure
from splitpin.character.pose import MULTIPLIED, Value
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.motion.move import Before, Motion, MoveError, Span
from splitpin.scene.scene import Scene
from splitpin.sheet.sheet import Event


class Step(NamedTuple):
    """One value that a channel takes at one frame."""

    channel: str
    value: Value
    by: int | None
    """None when it stays (travel); the move's place in the list when it only disturbs."""


class Timeline(NamedTuple):
    """All that the moves of a scene do."""

    steps: Mapping[str, Mapping[int, list[Step]]]
    """Member -> frame -> the values that change there."""
    events: tuple[Event, ...]
    starts: frozenset[int]
    """Frames on which an exposure of some move starts."""
    busy: tuple[tuple[int, int], ...]
    """Half-open frames on which moves set the exposures."""


class Track:
    """The values of one member's channels as time goes on."""

    def __init__(self, opening: Mapping[str, Value]) -> None:
        self.still: dict[str, Value] = dict(opening)
        self.disturbed: dict[tuple[int, str], float] = {}

    def take(self, steps: list[Step]) -> None:
        """Let the values of one frame take effect."""
        for channel, value, by in steps:
            if by is None:
                self.still[channel] = value
            else:
                amount = float(value)
                if amount == (1.0 if channel.split(".")[-1] in MULTIPLIED else 0.0):
                    self.disturbed.pop((by, channel), None)
                else:
                    self.disturbed[by, channel] = amount

    def pose(self) -> dict[str, Value]:
        """All channels, disturbances included."""
        pose = dict(self.still)
        for (_, channel), amount in self.disturbed.items():
            base = float(pose[channel])
            pose[channel] = base * amount if channel.split(".")[-1] in MULTIPLIED else base + amount
        return pose


def run_moves(
    scene: Scene,
    spans: Mapping[int, Span],
    figures: Mapping[str, Figure],
    opening: Mapping[str, Mapping[str, Value]],
    frames: int,
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

    Returns
    -------
    tuple
        The timeline, the faults found, and reports for a person.
    """
    faults: list[Fault] = []
    reports: list[str] = []
    events: list[Event] = []
    starts: set[int] = set()
    steps: dict[str, dict[int, list[Step]]] = {who: defaultdict(list) for who in opening}
    taken: dict[tuple[str, str], list[tuple[int, int, int]]] = defaultdict(list)
    tracks = {who: (Track(channels), [0]) for who, channels in opening.items()}
    for i in sorted(spans, key=lambda i: (spans[i].start, i)):
        move, span = scene.moves[i], spans[i]
        if move.who not in opening:
            known = list(opening)
            faults.append(
                Fault(
                    ("moves", i, "who"),
                    f"{move.who!r} is not in the cast",
                    "a member",
                    likely(move.who, known),
                )
            )
            continue
        label = move.name or move.move
        before = Before(_pose_before(*tracks[move.who], steps[move.who], span.start), figures.get(move.who))
        try:
            motion = move.motion(span, before, _seed(scene.seed, i))
        except MoveError as error:
            faults.append(Fault(("moves", i, error.key), error.found, error.expected, error.remedy))
            continue
        fault = _unknown_channel(motion, opening[move.who], i) or _overlap(
            motion, move.who, span, taken, i, [m.name or m.move for m in scene.moves]
        )
        if fault is not None:
            faults.append(fault)
            continue
        _lay(motion, i, span, steps[move.who])
        starts.update(span.frame(k) for k in range(span.exposures))
        events.extend(Event(label, name, span.frame(k), move.who) for name, k in motion.events)
        if span.end > frames:
            reports.append(f"{label} of {move.who} runs {span.end - frames} frames past the end of the scene")
    events.sort(key=lambda e: e.frame)
    busy = tuple((s.start, s.end) for s in spans.values())
    return Timeline(steps, tuple(events), frozenset(starts), busy), faults, reports


def _pose_before(
    track: Track, reached: list[int], steps: Mapping[int, list[Step]], frame: int
) -> dict[str, Value]:
    # Moves come in the order of their starts, so each member's track only ever runs forward; values that
    # another move lays after this frame are not yet taken.
    for at in sorted(f for f in steps if reached[0] <= f < frame):
        track.take([s for s in steps[at] if s.by is None])
    reached[0] = max(reached[0], frame)
    return dict(track.still)


def _seed(scene_seed: int, i: int) -> int:
    return scene_seed * 1_000_003 + i


def _unknown_channel(motion: Motion, channels: Mapping[str, Value], i: int) -> Fault | None:
    for channel in (*motion.travel, *motion.disturb):
        if channel not in channels:
            return Fault(
                ("moves", i), f"there is no channel {channel!r}", "a channel", likely(channel, channels)
            )
    return None


def _overlap(
    motion: Motion,
    who: str,
    span: Span,
    taken: dict[tuple[str, str], list[tuple[int, int, int]]],
    i: int,
    names: list[str],
) -> Fault | None:
    for channel in motion.travel:
        for start, end, other in taken[who, channel]:
            if start < span.end and span.start < end:
                return Fault(
                    ("moves", i),
                    f"{names[i]!r} and {names[other]!r} both move {channel} of {who} on frames "
                    f"{max(start, span.start)} to {min(end, span.end) - 1}",
                    "one travelling move on a channel at a time",
                    "start one after the other (`after`), or shorten one",
                )
    for channel in motion.travel:
        taken[who, channel].append((span.start, span.end, i))
    return None


def _lay(motion: Motion, i: int, span: Span, steps: dict[int, list[Step]]) -> None:
    for channel, values in motion.travel.items():
        last: Value | None = None
        for k, value in enumerate(values):
            if value != last or k == 0:
                steps[span.frame(k)].append(Step(channel, value, None))
                last = value
    for channel, amounts in motion.disturb.items():
        rest = 1.0 if channel.split(".")[-1] in MULTIPLIED else 0.0
        for k, amount in enumerate(amounts):
            steps[span.frame(k)].append(Step(channel, amount, i))
        if amounts and amounts[-1] != rest:
            steps[span.end].append(Step(channel, rest, i))
