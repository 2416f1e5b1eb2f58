"""Compiling what draws, before anyone waits for a picture."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from splitpin.character.place import Placed
from splitpin.frames.canvas import Canvas
from splitpin.frames.pyramid import Pyramid
from splitpin.frames.yuv import Planes
from splitpin.measure.affine import Affine
from splitpin.measure.table import Stage

STEPS = 5


def warm_up(progress: Callable[[int, int], None] | None = None) -> None:
    """Compile everything that draws, or fetch it compiled from the disk.

    Parameters
    ----------
    progress
        Called with the steps done and the number of all steps, at first with 0. The first time ever takes
        some ten seconds, afterwards a second or two.
    """
    for done, _ in enumerate(_steps()):
        if progress is not None:
            progress(done, STEPS)


def _steps() -> Iterator[None]:
    stage = Stage(16, 16, 16.0)
    picture = Pyramid.of(np.full((16, 16, 4), 255, np.uint8))
    canvas = Canvas(stage, {"": picture})
    yield
    picture.level(0)
    yield
    picture.level(1)
    yield
    canvas.draw((), stage.whole())
    yield
    canvas.draw((Placed("", "", "", Affine(d=-1.0), (0.0, 0.0), 0.0, 0.0),), stage.whole())
    yield
    Planes(16, 16).update(canvas.rgb)
    yield
