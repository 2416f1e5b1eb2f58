"""The channels of one member as time goes on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from splitpin.character.figure import Figure
from splitpin.character.pose import Value, multiplied, undisturbed
from splitpin.character.stand import standing


class Step(NamedTuple):
    """One value that a channel takes at one frame."""

    channel: str
    value: Value
    by: int | None
    """None when it stays (travel); the move's place in the list when it only disturbs."""


class Stand(NamedTuple):
    """Where a piece stands from one frame on, whatever else moves the member."""

    piece: str
    at: tuple[float, float] | None
    """The place of its pin, mm; None when it goes with the member again."""


class Track:
    """The values of one member's channels as time goes on."""

    def __init__(self, opening: Mapping[str, Value], figure: Figure | None) -> None:
        self.figure = figure
        self.still: dict[str, Value] = dict(opening)
        self.disturbed: dict[tuple[int, str], float] = {}
        self.stands: dict[str, tuple[float, float]] = {}

    def take(self, steps: Iterable[Step | Stand]) -> None:
        """Let the values of one frame take effect."""
        for step in steps:
            if isinstance(step, Stand):
                if step.at is None:
                    self.stands.pop(step.piece, None)
                else:
                    self.stands[step.piece] = step.at
                continue
            channel, value, by = step
            if by is None:
                self.still[channel] = value
            else:
                amount = float(value)
                if amount == undisturbed(channel):
                    self.disturbed.pop((by, channel), None)
                else:
                    self.disturbed[by, channel] = amount
        if self.stands and self.figure is not None:
            self.still |= standing(self.figure, self.still, self.stands)

    def pose(self) -> dict[str, Value]:
        """All channels, disturbances included."""
        pose = dict(self.still)
        for (_, channel), amount in self.disturbed.items():
            base = float(pose[channel])
            pose[channel] = base * amount if multiplied(channel) else base + amount
        if self.stands and self.disturbed and self.figure is not None:
            pose |= standing(self.figure, pose, self.stands, turned_as=self.still)
        return pose
