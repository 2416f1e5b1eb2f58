"""posed: straight ahead under the camera, values by hand."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from splitpin.character.channels import read_channels
from splitpin.character.pose import Value, channels_of
from splitpin.motion.events import happenings
from splitpin.motion.move import Before, Motion, Move, MoveError, Span


class Posed(Move):
    """Straight-ahead work: the channels of each position by hand. What is left out keeps its last value."""

    usual: ClassVar[int | None] = 1
    summary: ClassVar[str] = "Straight-ahead work: each position by hand."
    works_on: ClassVar[Literal["member", "view", "both"]] = "both"

    move: Literal["posed"]
    """Which move it is."""
    values: Annotated[list[dict[str, object]], Field(min_length=1, max_length=1_000_000)]
    """One table a position: ``{x = 10, head.angle = 5, mouth.shows = "open"}``."""

    @property
    def takes(self) -> int:
        """One position a table."""
        return len(self.values)

    def motion(self, span: Span, before: Before, seed: int) -> Motion:  # noqa: ARG002 - nothing by chance
        """Every channel that any of the tables names; after the last table it stays."""
        known = dict(before.pose) if before.figure is None else channels_of(before.figure.character)
        tables = self.values[: span.exposures]
        read: list[dict[str, Value]] = []
        for k, table in enumerate(tables):
            good, faults = read_channels(table, known, before.figure, ())
            if faults:
                where = ".".join(str(step) for step in faults[0].path)
                raise MoveError(
                    "values",
                    f"{where} on position {k + 1}: {faults[0].found}",
                    faults[0].expected,
                    faults[0].remedy,
                )
            read.append(good)
        read += [{}] * (span.exposures - len(read))
        travel: dict[str, list[Value]] = {}
        for channel in dict.fromkeys(channel for table in read for channel in table):
            value = before.pose.get(channel, known[channel])
            travel[channel] = [value := table.get(channel, value) for table in read]
        return Motion({channel: tuple(values) for channel, values in travel.items()}, events=happenings(span))
