"""Roll a segment: each exposure drawn once, and held."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.film.segments import Exposure, Segment
from splitpin.frames.canvas import Canvas, Work
from splitpin.frames.kept import Kept
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.frames.rect import Rect
from splitpin.measure.table import Stage

Rgb = NDArray[np.uint8]


class Held(NamedTuple):
    """A picture and how long it is held."""

    rgb: Rgb
    """uint8 (height, width, 3), sRGB. The next one may be drawn over it: copy what must stay."""
    changed: tuple[Rect, ...]
    """Where it may differ from the one before."""
    frames: int


def roll(
    segment: Segment,
    stage: Stage,
    pictures: Mapping[str, Pyramid],
    look: PaperLook,
    still: Callable[[Exposure, str], Rgb],
    work: Work,
    shadows: Kept | None = None,
) -> Iterator[Held]:
    """The pictures of a segment, in order.

    Parameters
    ----------
    segment, stage, pictures, look
        What is drawn, and out of what.
    still
        The picture of an exposure that is not drawn (a shot frame, a board drawing, a card), of the stage's
        size, with the colour of the table beside it.
    work
        Told what drawing has cost when the segment is over.
    shadows
        Where shadows are kept for all who draw these pictures.
    """
    canvas: Canvas | None = None
    shown: Rgb | None = None
    whole = (Rect(0, 0, stage.width, stage.height),)
    before: Exposure | None = None
    for exposure in segment.exposures:
        if exposure.kind == "drawn":
            canvas = canvas or Canvas(stage, pictures, look, segment.paper, shadows)
            changed = canvas.draw(exposure.row.placed, exposure.row.view)
            fresh = before is None or before.kind != "drawn"
            yield Held(canvas.rgb, whole if fresh else changed, exposure.row.frames)
        elif shown is not None and before is not None and _same_still(before, exposure):
            yield Held(shown, (), exposure.row.frames)
        else:
            shown = still(exposure, segment.paper)
            yield Held(shown, whole, exposure.row.frames)
        before = exposure
    if canvas is not None:
        add_work(work, canvas.work)


def _same_still(a: Exposure, b: Exposure) -> bool:
    return (a.kind, a.file, a.words) == (b.kind, b.file, b.words)


def add_work(total: Work, part: Work) -> None:
    """Add what one piece of work has cost to a total."""
    for name, value in vars(part).items():
        setattr(total, name, getattr(total, name) + value)
