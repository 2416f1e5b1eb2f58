"""swap: one of a replacement set is laid in the place of another."""

from __future__ import annotations

from itertools import chain, repeat
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.measure.plain import Count, Flag, Name
from splitpin.motion.channels import replacement
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, Span
from splitpin.motion.spacing import share


class Swap(Move):
    """A replacement: another mouth, eye or hand from here on, or several by turns."""

    usual: ClassVar[int | None] = 1
    summary: ClassVar[str] = "Another mouth, eye or hand is laid down."

    move: Literal["swap"]
    """Which move it is."""
    piece: Name
    """The piece with the replacement set."""
    shows: Name | Annotated[list[Name], Field(min_length=1, max_length=10_000)]
    """Which of the set shows, or a list of them, one after the other."""
    each: Count | None = None
    """How many positions each of a list shows, over and over until the time is up; left out, each of them
    shows once, for an equal part of the time."""
    back: Flag = False
    """On its last position the one that showed before returns."""

    @property
    def takes(self) -> int:
        """One position each, or ``each``, and one to go back."""
        count = 1 if isinstance(self.shows, str) else len(self.shows)
        return count * (self.each or 1) + self.back

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """``shows`` of the piece; the event ``swap`` each time another one is laid down."""
        channel = f"{self.piece}.shows"
        names = [self.shows] if isinstance(self.shows, str) else self.shows
        replacement(self, before, self.piece, names)
        n = span.exposures - self.back
        if self.each is not None:
            shown = [names[k // self.each % len(names)] for k in range(n)]
        else:
            counts = share(n, [1] * len(names), least=1)
            shown = list(chain.from_iterable(map(repeat, names, counts)))
            # Too short a time for all of them must still end with the one that is to stay.
            shown[-1:] = names[-1:] if n else []
        was = str(before.pose.get(channel, ""))
        if self.back:
            shown.append(was)
        laid = (k for k, now in enumerate(shown) if now != (shown[k - 1] if k else was))
        return Motion({channel: tuple(shown)}, events=happenings(span, *(("swap", k) for k in laid)))
