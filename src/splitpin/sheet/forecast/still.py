"""Holds with nothing alive."""

from __future__ import annotations

from collections.abc import Iterator

from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.sheet import Row


def still(known: Known) -> Iterator[Foreseen]:
    """Stretches in which no piece moves for longer than a hold may be dead.

    Where words stand to be read nothing need move.
    """
    if known.bare:
        return
    rate = known.sheet.rate
    for run in _runs(known.sheet.rows):
        seconds = float(sum(row.frames for row in run) / rate)
        if seconds <= known.limits.hold_seconds or any(p.cutout in known.words for p in run[0].placed):
            continue
        words = (
            f"nothing moves for {seconds:.1f} s from frame {run[0].frame} on",
            f"something alive after {known.limits.hold_seconds:g} s",
            "let somebody blink, or breathe, or cut the hold short",
        )
        yield known.tell("still", run[0], None, words, seconds=seconds)


def _runs(rows: tuple[Row, ...]) -> Iterator[list[Row]]:
    run: list[Row] = []
    for row in rows:
        if run and (row.placed, row.view) != (run[0].placed, run[0].view):
            yield run
            run = []
        run.append(row)
    if run:
        yield run
