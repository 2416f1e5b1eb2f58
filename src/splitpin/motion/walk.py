"""walk: the swing-step walk of a figure with loose feet."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from splitpin.character.place import joints
from splitpin.measure.affine import Affine, turn
from splitpin.measure.plain import Count, Name, Number, Point
from splitpin.motion.channels import member, number, piece
from splitpin.motion.easing import Floats, ease_at
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, MoveError, Span
from splitpin.motion.path import Way
from splitpin.motion.spacing import share
from splitpin.motion.travel import Journey

A_STEP = 6


class Walk(Journey):
    """A foot swings out from under the body in an arc and plants, the body follows; the planted foot stays.

    The first step leads off, the last one brings the feet together under the body, the steps between are
    equal. The body is highest when the swinging foot passes the planted one. Whatever else moves the member
    on the way (a nod, a bounce) moves it over its feet.
    """

    usual: ClassVar[int | None] = 4 * A_STEP
    summary: ClassVar[str] = "A foot swings out and plants, the body follows; planted feet do not slide."

    move: Literal["walk"]
    """Which move it is."""
    feet: Annotated[list[Name], Field(min_length=2, max_length=100)]
    """The feet, pieces of the figure. They step by turns: the first, third … then the second, fourth …"""
    steps: Annotated[Count, Field(le=10_000)] | None = None
    """How many steps; one for every six positions when left out."""
    lift: Number = 6.0
    """How high a foot is lifted, mm."""
    rise: Number = 2.0
    """How much higher the body is in passing, mm."""

    @property
    def takes(self) -> int:
        """Six positions a step."""
        return (self.steps or 4) * A_STEP

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x`` and ``y`` of the member and of its feet; the event ``step`` each time a foot plants."""
        holders = self._holders(before)
        way = self.way(before)
        steps = self.steps or max(2, round(span.exposures / A_STEP))
        time = _clock(span.exposures, steps)
        up = turn(number(before, "angle")).apply(0.0, 1.0)
        body = _travelled(way, _follow(time, steps)) + _along(up, self.rise * np.sin(np.pi * time) ** 2)
        body[-1] = _travelled(way, np.ones(1))[0]
        start = number(before, "x"), number(before, "y")
        xs, ys = way.at((1.0,))
        travel = {
            "x": (*(start[0] + body[:-1, 0]).tolist(), xs[0]),
            "y": (*(start[1] + body[:-1, 1]).tolist(), ys[0]),
        }
        plants = _travelled(way, _plants(steps))
        stand: dict[str, tuple[Point, ...]] = {}
        for i, (foot, (holder, pin)) in enumerate(holders.items()):
            rest = holder.apply(number(before, f"{foot}.x"), number(before, f"{foot}.y"))
            places = np.vstack([np.asarray(rest)[None], plants[i % 2 :: 2]])
            table = _swing(places, time - i % 2, up, self.lift)
            stand[foot] = tuple((pin[0] + x, pin[1] + y) for x, y in (table - rest).tolist())
            shift = (table - body) @ np.asarray(_linear(holder.inverse())).T
            if steps > 1:
                shift[-1] = 0.0
            travel[f"{foot}.x"] = tuple(shift[:, 0].tolist())
            travel[f"{foot}.y"] = tuple(shift[:, 1].tolist())
        planted = (int(k) for k in np.searchsorted(time, np.arange(1, steps + 1)))
        events = happenings(span, *(("step", k) for k in planted))
        return Motion(dict(travel), events=events, stand=stand)

    def _holders(self, before: Before) -> dict[str, tuple[Affine, Point]]:
        # What each foot hangs on, without its place, and where the foot's own pin is on the table.
        figure = member(self, before)
        axes = joints(figure, before.pose)
        holders: dict[str, tuple[Affine, Point]] = {}
        for foot in self.feet:
            on = figure.character.pieces[piece(self, before, foot, "feet")].on
            if foot in holders or on is None or on.split(".")[0] in self.feet:
                raise MoveError(
                    "feet",
                    f"{foot!r} is named twice" if foot in holders else f"{foot!r} hangs on {on or 'nothing'}",
                    "each foot once, hanging on a piece that is no foot",
                    "name the loose pieces that stand on the ground",
                )
            a, b, c, d, _, _ = axes[on.split(".")[0]].axes
            holders[foot] = Affine(a, b, c, d), axes[foot].axes[4:]
        return holders


def _clock(exposures: int, steps: int) -> Floats:
    # Each step has whole positions, so that every foot is seen planted and the events are on the frame.
    if exposures < steps:
        return np.arange(1, exposures + 1) * steps / exposures
    counts = share(exposures, [1] * steps, least=1)
    return np.concatenate([i + np.arange(1, count + 1) / count for i, count in enumerate(counts)])


def _follow(time: Floats, steps: int) -> Floats:
    # In the middle of every step the body is above the planted foot, and between them it goes evenly.
    return np.clip(2 * time - 1 if steps == 1 else (time - 0.5) / (steps - 1), 0.0, 1.0)


def _plants(steps: int) -> Floats:
    plants: Floats = np.minimum(np.arange(1, steps + 1) / max(1, steps - 1), 1.0)
    return plants


def _travelled(way: Way, fractions: Floats) -> Floats:
    xs, ys = way.at((0.0, *fractions.tolist()))
    places = np.column_stack([xs, ys])
    travelled: Floats = places[1:] - places[0]
    return travelled


def _swing(places: Floats, time: Floats, up: tuple[float, float], lift: float) -> Floats:
    """The way of one foot over the table: it swings while ``time`` is in 0..1, 2..3, … and rests between."""
    pair = np.floor(time / 2)
    swing = np.clip(time - 2 * pair, 0.0, 1.0)
    swing[time < 0] = 0.0
    done = ease_at("swing", swing)
    last = len(places) - 1
    here = np.clip(pair, 0, last).astype(np.int64)
    there = np.clip(pair + 1, 0, last).astype(np.int64)
    there[time < 0] = 0
    lifted = np.where(here == there, 0.0, lift * 4 * done * (1 - done))
    foot: Floats = places[here] + (places[there] - places[here]) * done[:, None] + _along(up, lifted)
    return foot


def _along(direction: tuple[float, float], amounts: Floats) -> Floats:
    return np.outer(amounts, direction)


def _linear(map_: Affine) -> list[list[float]]:
    return [[map_.a, map_.c], [map_.b, map_.d]]
