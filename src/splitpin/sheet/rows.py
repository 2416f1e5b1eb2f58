"""Write the rows: one for each exposure, from the channels of the cast at that time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from splitpin.character.figure import Figure
from splitpin.character.place import HERE, Placed, pin_frame, place
from splitpin.character.pose import Pose, Value
from splitpin.measure.affine import Affine
from splitpin.measure.table import View
from splitpin.scene.scene import Scene
from splitpin.sheet.channels import VIEW
from splitpin.sheet.sheet import Row, Sounding
from splitpin.sheet.stack import Ranks, stack
from splitpin.sheet.timeline import Timeline
from splitpin.sheet.timing import Timing
from splitpin.sheet.track import Track
from splitpin.sheet.tremble import Hands

Rides = Mapping[str, tuple[str, str, str] | None]
"""Each member, after the one that carries it, and the member, piece and pin it rides on."""
Touches = dict[int, dict[str, dict[str, Value]]]
"""Frame of the exposure -> member -> channels set by hand for that exposure alone."""


class Table:
    """The table as time goes on: only what changed is placed again."""

    def __init__(self, figures: Mapping[str, Figure], rides: Rides, ranks: Ranks, hands: Hands) -> None:
        self.figures, self.rides, self.ranks, self.hands = figures, rides, ranks, hands
        self.bases: dict[str, Affine] = {}
        self.lying: dict[str, tuple[Placed, ...]] = {}
        self.placed: tuple[Placed, ...] = ()

    def lay(self, poses: Mapping[str, Pose], changed: set[str], frame: int) -> tuple[Placed, ...]:
        """Lay the changed members, and whoever rides on them; all pieces, lowest first."""
        moved = set(changed)
        for who, ride in self.rides.items():
            if ride is not None and ride[0] in moved:
                moved.add(who)
            if who not in moved:
                continue
            self.bases[who] = HERE
            if ride is not None:
                carrier, piece, pin = ride
                self.bases[who] = pin_frame(
                    self.figures[carrier], poses[carrier], piece, pin, self.bases[carrier]
                )
            self.lying[who] = place(self.figures[who], poses[who], self.bases[who], who)
        if moved:
            plan = stack([p for pieces in self.lying.values() for p in pieces], self.ranks)
            self.placed = self.hands.lay(plan, frame)
        return self.placed


def write_rows(
    scene: Scene,
    timing: Timing,
    starts: Sequence[int],
    figures: Mapping[str, Figure],
    opening: Mapping[str, Mapping[str, Value]],
    timeline: Timeline,
    rides: Rides,
    ranks: Ranks,
    touches: Touches,
    soundings: Sequence[Sounding],
    reports: list[str],
) -> Iterator[Row]:
    """The rows of a scene in order; what a person should know is added to ``reports``."""
    tracks = {who: Track(channels, figures.get(who)) for who, channels in opening.items()}
    queues = {who: sorted(steps.items(), reverse=True) for who, steps in timeline.steps.items()}
    table = Table(figures, rides, ranks, Hands(scene.tremble, scene.seed))
    sounds = _sounds_by_row(starts, soundings)
    panels = {p.start: i for i, p in enumerate(timing.panels)}
    poses: dict[str, Pose] = dict(opening)
    touched: set[str] = set(opening)
    told: set[tuple[str, str]] = set()
    panel = 0
    for frame, end in zip(starts, [*starts[1:], timing.frames], strict=True):
        panel = panels.get(frame, panel)
        now = touches.get(frame, {})
        changed = touched | set(now)
        touched = set(now)
        for who, queue in queues.items():
            while queue and queue[-1][0] <= frame:
                tracks[who].take(queue.pop()[1])
                changed.add(who)
        if changed:
            poses = poses | {who: tracks[who].pose() | now.get(who, {}) for who in changed}
            for who in changed & set(figures):
                reports += _past_limits(who, figures[who], poses[who], frame, told)
        placed = table.lay(poses, changed & set(figures), frame)
        yield Row(
            frame,
            end - frame,
            placed,
            _view(poses[VIEW]),
            timing.panels[panel].name,
            sounds.get(frame, ()),
            scene.panels[panel].action if frame in panels else "",
            poses,
            since=frame - timing.panels[panel].start,
        )


def _view(channels: Pose) -> View:
    return View(*(float(channels[k]) for k in ("x", "y", "width", "angle")))


def _sounds_by_row(starts: Sequence[int], soundings: Sequence[Sounding]) -> dict[int, tuple[str, ...]]:
    heard: dict[int, tuple[str, ...]] = {}
    row = 0
    for sounding in soundings:
        while row + 1 < len(starts) and starts[row + 1] <= sounding.at:
            row += 1
        heard[starts[row]] = (*heard.get(starts[row], ()), sounding.cue.sound)
    return heard


def _past_limits(
    who: str, figure: Figure, pose: Pose, frame: int, told: set[tuple[str, str]]
) -> Iterator[str]:
    for name in figure.limited:
        limits = figure.character.pieces[name].limits
        if limits is None or (who, name) in told:
            continue
        angle = float(pose[f"{name}.angle"])
        least, greatest = limits
        if not least - 1e-9 <= angle <= greatest + 1e-9:
            told.add((who, name))
            yield (
                f"{who}.{name} is bent to {angle:g}° on frame {frame}; "
                f"its limits are {least:g}° to {greatest:g}°"
            )
