"""Members that leave the field when they should not, or come to rest in its margin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

import numpy as np

from splitpin.measure.table import View
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import Real, over, shows
from splitpin.sheet.sheet import Row


class _Seen(NamedTuple):
    row: Row
    points: Real
    where: Literal["in", "cut", "out"]


def field(known: Known) -> Iterator[Foreseen]:
    """Who is cut by an edge and comes back, or stays there, having been wholly in the picture; and who stops
    within the margin.

    Who enters, goes, or is framed so from the start is meant to. While the view moves nothing is told: then
    the camera decides what is in the picture.
    """
    for who in {who: None for outlines in known.outlines for who in outlines}:
        cutouts = {p.cutout for row in known.sheet.rows for p in row.placed if p.who == who}
        for seen in _takes(known, who):
            told = _left(known, who, seen) or (None if cutouts & known.words else _margin(known, who, seen))
            if told is not None:
                yield told
                break


def _takes(known: Known, who: str) -> Iterator[list[_Seen]]:
    """What is seen of a member while the view stands still."""
    edge = known.limits.edge * known.stage.width
    seen: list[_Seen] = []
    view: View | None = None
    for row, outlines in zip(known.sheet.rows, known.outlines, strict=True):
        if view is not None and row.view != view:
            yield seen
            seen = []
        view = row.view
        points = outlines.get(who, np.empty((0, 2)))
        if not shows(points, known.stage):
            seen.append(_Seen(row, points, "out"))
        else:
            seen.append(_Seen(row, points, "cut" if over(points, known.stage) > edge else "in"))
    yield seen


def _left(known: Known, who: str, seen: Sequence[_Seen]) -> Foreseen | None:
    was_in = False
    run: list[_Seen] = []
    for one in seen:
        if one.where == "cut":
            run += [one] if was_in else []
            continue
        if one.where == "in" and run:
            return _told(known, who, run, "and comes back")
        was_in, run = one.where == "in", []
    if run and _rests(run, known.sheet.rate, known.limits.rest_seconds):
        return _told(known, who, run, "and stays there")
    return None


def _told(known: Known, who: str, run: Sequence[_Seen], then: str) -> Foreseen:
    worst = max(run, key=lambda one: over(one.points, known.stage))
    mm = over(worst.points, known.stage) * worst.row.view.width / known.stage.width
    words = (
        f"{who} reaches {mm:.1f} mm past the edge of the picture {then}",
        "all of it in the picture, or a clear way out",
        f"keep it {mm:.0f} mm further in, make it smaller, or take in a wider view",
    )
    return known.tell("field", worst.row, worst.points, words, over_mm=mm, who=who)


def _margin(known: Known, who: str, seen: Sequence[_Seen]) -> Foreseen | None:
    least = known.limits.edge * known.stage.width
    for first, end in _stands(seen):
        run = seen[first:end]
        if not first or run[0].where != "in" or not _rests(run, known.sheet.rate, known.limits.rest_seconds):
            continue
        into = over(run[0].points, known.stage, known.limits.margin)
        if into <= least:
            continue
        mm = into * run[0].row.view.width / known.stage.width
        words = (
            f"{who} comes to rest {mm:.1f} mm into the margin of the picture",
            f"what matters within {1 - 2 * known.limits.margin:.0%} of its width and height",
            f"let it stop {mm:.0f} mm further in",
        )
        return known.tell("field", run[0].row, run[0].points, words, into_mm=mm, who=who)
    return None


def _stands(seen: Sequence[_Seen]) -> Iterator[tuple[int, int]]:
    """Half-open runs of exposures on which it lies still."""
    start = 0
    for k in range(1, len(seen) + 1):
        if k == len(seen) or not _same(seen[k].points, seen[start].points):
            yield start, k
            start = k


def _rests(run: Sequence[_Seen], rate: Fraction, seconds: float) -> bool:
    """Whether it lies still at the end of a run for so long."""
    still = 0
    for one in run[::-1]:
        if not _same(one.points, run[-1].points):
            break
        still += one.row.frames
    return still / rate >= seconds


def _same(a: Real, b: Real) -> bool:
    return a is b or (a.shape == b.shape and bool(np.array_equal(a, b)))
