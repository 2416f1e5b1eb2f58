"""Steps too large for the eye to join: pieces that hardly overlap their last place, and quick pans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, hypot, radians
from typing import NamedTuple

import numpy as np

from splitpin.measure.table import View
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.outlines import Real, shows
from splitpin.sheet.sheet import Row
from splitpin.sheet.stack import BACKGROUND

JUMPS = ("flutter", "peel", "shake", "snap", "scuttle")
"""Moves that are made of jumps."""
STRAIGHT = cos(radians(45))
"""Steps that turn by more than this are not one way that the eye follows."""


class _Step(NamedTuple):
    row: Row
    points: Real
    way: tuple[float, float]
    """Pixels."""
    much: float
    """The step against what it may be: above 1 it strobes."""


def strobe(known: Known) -> Iterator[Foreseen]:
    """Members that go on by more of themselves than may lie bare, and pans too quick to look even.

    A member that rides goes with its carrier, and is not told for itself.
    """
    for who in {who: None for outlines in known.outlines for who in outlines}:
        member = known.scene.cast.get(who)
        if who != BACKGROUND and (member is None or member.rides is None):
            yield from _worst(known, who, list(_steps(known, who)))
    yield from _pans(known)


def _steps(known: Known, who: str) -> Iterator[_Step | None]:
    """Each step that a member takes while the view stands still; None where there is none to judge."""
    rows = known.sheet.rows
    jumps = [s for i, s in known.sheet.spans.items() if known.scene.moves[i].who == who and _jumps(known, i)]
    for k in range(1, len(rows)):
        before, after = known.outlines[k - 1].get(who), known.outlines[k].get(who)
        frame = known.planned[k]
        if (
            before is None
            or after is None
            or before is after
            or rows[k].view != rows[k - 1].view
            or not (shows(before, known.stage) and shows(after, known.stage))
            or any(span.start <= frame < span.end for span in jumps)
        ):
            yield None
            continue
        x, y = _middle(after) - _middle(before)
        way = (float(x), float(y))
        length = hypot(*way)
        if length < 1.0:
            yield None
            continue
        extent = float(np.ptp(before @ np.array(way))) / length
        yield _Step(rows[k], after, way, length / max(1e-9, extent * (1 - known.limits.overlap)))


def _jumps(known: Known, i: int) -> bool:
    return known.scene.moves[i].kind in JUMPS


def _middle(points: Real) -> Real:
    middle: Real = (points.min(axis=0) + points.max(axis=0)) / 2
    return middle


def _worst(known: Known, who: str, steps: Sequence[_Step | None]) -> Iterator[Foreseen]:
    runs = [run for run in _runs(steps) if len(run) >= known.limits.steps]
    if not runs:
        return
    run = max(runs, key=len)
    worst = max(run, key=lambda step: step.much)
    share = 1 - worst.much * (1 - known.limits.overlap)
    step_mm = hypot(*worst.way) * worst.row.view.width / known.stage.width
    lies = f"lies {share:.0%} over its last place" if share > 0 else "does not touch its last place"
    most = step_mm / worst.much
    words = (
        f"{who} goes on by {step_mm:.0f} mm a step and {lies}, {len(run)} times on end",
        f"{known.limits.overlap:.0%} of a piece over its last place, lest it strobes",
        f"give the move more exposures, or work on ones: at most {most:.0f} mm a step",
    )
    yield known.tell(
        "strobe",
        worst.row,
        worst.points,
        words,
        step_mm=step_mm,
        overlap=max(0.0, share),
        steps=len(run),
        who=who,
    )


def _runs(steps: Sequence[_Step | None]) -> Iterator[list[_Step]]:
    """Runs of steps that strobe on much the same way."""
    run: list[_Step] = []
    for step in steps:
        if step is not None and step.much > 1 and (not run or _onward(run[-1].way, step.way)):
            run.append(step)
            continue
        if run:
            yield run
        run = [step] if step is not None and step.much > 1 else []
    if run:
        yield run


def _onward(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return a[0] * b[0] + a[1] * b[1] >= STRAIGHT * hypot(*a) * hypot(*b)


def _pans(known: Known) -> Iterator[Foreseen]:
    rows, limits = known.sheet.rows, known.limits
    run: list[tuple[Row, float]] = []
    best: list[tuple[Row, float]] = []
    for k in range(1, len(rows)):
        share = _passed(known, k)
        # What is quicker than the eye can follow is meant as a blur.
        strobes = share > limits.pan * (1 + 1e-6) and share / rows[k - 1].frames < limits.zip
        run = [*run, (rows[k], share)] if strobes else []
        if len(run) > len(best):
            best = run
    if len(best) <= limits.settle:
        return
    row, share = max(best, key=lambda step: step[1])
    mm = share * row.view.width
    words = (
        f"a pan goes by {mm:.1f} mm a step, {share:.1%} of the view, {len(best)} times on end",
        f"at most {limits.pan:.2%} of the view a step, or {limits.zip:.2%} a frame for a zip",
        "pan on ones, take longer over it, or make a zip of it",
    )
    yield known.tell("strobe", row, None, words, step_mm=mm, share=share, steps=len(best), who="view")


def _passed(known: Known, k: int) -> float:
    """How far the table, or the background on it, goes by from one row to the next: a share of the width."""
    before, after = known.sheet.rows[k - 1], known.sheet.rows[k]
    if before.view != after.view:
        return _panned(before.view, after.view)
    one, other = known.outlines[k - 1].get(BACKGROUND), known.outlines[k].get(BACKGROUND)
    if one is None or other is None or one is other or one.shape != other.shape:
        return 0.0
    # A background that turns or grows is no pan: only what all of it has in common.
    return float(np.hypot(*(other - one).mean(axis=0))) / known.stage.width


def _panned(before: View, after: View) -> float:
    if abs(after.width - before.width) > 1e-9 * before.width or after.angle != before.angle:
        return 0.0
    return hypot(after.x - before.x, after.y - before.y) / after.width
