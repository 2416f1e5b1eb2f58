"""hop: crouch, through the air in an arc, land, settle."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Name, Number, Point
from splitpin.motion.channels import member, number, prefix
from splitpin.motion.easing import fractions
from splitpin.motion.events import Happening, happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.spacing import blend, share

CROUCH, AIR, LAND, SETTLE = 2, 5, 1, 2


class Hop(Move):
    """One hop or several: 2 positions crouch, 5 in the air, 1 lands, 2 settle."""

    usual: ClassVar[int | None] = CROUCH + AIR + LAND + SETTLE
    summary: ClassVar[str] = "Crouches, flies in an arc, lands and settles."

    move: Literal["hop"]
    """Which move it is."""
    to: Point | None = None
    """Where it lands: ``[x, y]``, mm on the table; of a member that rides, mm from the pin it rides on."""
    by: Point | None = None
    """Or how far it hops: ``[x, y]``, mm; on the spot when neither is given."""
    piece: Name | None = None
    """The piece that hops (``to`` is then its shift off its pin); the whole member when left out."""
    height: Number = 30.0
    """How high the middle of its arc is above the straight way, mm."""
    crouch: Number = 3.0
    """How deep it goes down before the hop and when it lands, mm."""
    times: Annotated[Count, Field(le=1000)] = 1
    """How many hops share the way and the time."""

    @property
    def takes(self) -> int:
        """Ten positions a hop."""
        return self.times * (CROUCH + AIR + LAND + SETTLE)

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``x`` and ``y``; the events ``leap`` (the first position in the air) and ``landing``."""
        member(self, before)
        of = prefix(self, before, self.piece)
        start = number(before, f"{of}x"), number(before, f"{of}y")
        if self.to is not None and self.by is not None:
            raise MoveError("by", "both to and by", "one of the two", "leave one of them out")
        by = self.by or (0.0, 0.0)
        end = self.to or (start[0] + by[0], start[1] + by[1])
        hops = min(self.times, span.exposures)
        marks = [
            start,
            *zip(*(blend(start[i], end[i], fractions("even", hops)) for i in (0, 1)), strict=True),
        ]
        xs: list[float] = []
        ys: list[float] = []
        events: list[Happening] = []
        for here, there, count in zip(marks, marks[1:], share(span.exposures, [1] * hops, 1), strict=False):
            crouch, air, settle = _phases(count)
            events += [("leap", len(xs) + crouch), ("landing", len(xs) + crouch + air - 1)]
            flight = fractions("even", air)
            dip = self.crouch if settle else 0.0
            xs += [here[0]] * crouch + blend(here[0], there[0], flight) + [there[0]] * settle
            ys += blend(here[1], here[1] - self.crouch, fractions("slow-in-out", crouch))
            ys += [
                y + 4 * self.height * u * (1 - u) - (dip if u == 1.0 else 0.0)
                for u, y in zip(flight, blend(here[1], there[1], flight), strict=True)
            ]
            ys += blend(there[1] - dip, there[1], fractions("slow-in", settle))
        return Motion({f"{of}x": tuple(xs), f"{of}y": tuple(ys)}, events=happenings(span, *events))


def _phases(count: int) -> tuple[int, int, int]:
    parts = [CROUCH, AIR + LAND, SETTLE]
    if count < len(parts):
        return 0, count, 0
    crouch, air, settle = share(count, parts, least=1)
    return crouch, air, settle
