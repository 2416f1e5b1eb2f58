"""Holds with nothing alive."""

from __future__ import annotations

from collections.abc import Iterator

from splitpin.character.place import Placed
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import shows
from splitpin.sheet.sheet import Row


def still(known: Known) -> Iterator[Foreseen]:
    """Stretches in which nothing that is seen moves for longer than a hold may be dead.

    Where words stand to be read nothing need move.
    """
    if known.bare:
        return
    rate = known.sheet.rate
    for run in _runs(known):
        seconds = float(sum(row.frames for row in run) / rate)
        if seconds <= known.limits.hold_seconds or any(p.cutout in known.words for p in run[0].placed):
            continue
        words = (
            f"nothing moves for {seconds:.1f} s from frame {run[0].frame} on",
            f"something alive after {known.limits.hold_seconds:g} s",
            "let somebody blink, or breathe, or cut the hold short",
        )
        yield known.tell("still", run[0], None, words, seconds=seconds)


def _runs(known: Known) -> Iterator[list[Row]]:
    run: list[Row] = []
    lies: tuple[Placed, ...] = ()
    for row, outlines in zip(known.sheet.rows, known.outlines, strict=True):
        if run and row.placed is run[-1].placed and row.view == run[0].view:
            run.append(row)
            continue
        there = {who for who, points in outlines.items() if shows(points, known.stage)}
        now = tuple(p for p in row.placed if p.who in there)
        if run and (now != lies or row.view != run[0].view):
            yield run
            run = []
        run.append(row)
        lies = now
    if run:
        yield run
