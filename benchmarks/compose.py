"""How long a 1080p frame takes to draw, against OpenCV's warp with a numpy blend in the same run.

Run: ``python benchmarks/compose.py``. One thread; compare the ratios, since machines differ and are busy.
"""

from __future__ import annotations

from collections.abc import Callable
from time import thread_time

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.character.place import Placed
from splitpin.frames.canvas import Canvas
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.frames.warm import warm_up
from splitpin.measure.affine import move, stretch, turn
from splitpin.measure.light import light_table
from splitpin.measure.table import Stage

STAGE = Stage(1920, 1080, 400.0)
SIDE = 600
Frame = NDArray[np.uint8]


def cutout(rng: np.random.Generator, side: int = SIDE) -> NDArray[np.uint8]:
    """A disc of noise with a soft edge."""
    y, x = np.mgrid[:side, :side] - (side - 1) / 2
    rgba = np.empty((side, side, 4), np.uint8)
    rgba[..., :3] = cv2.GaussianBlur(rng.integers(0, 256, (side, side, 3), np.uint8), (0, 0), 2)
    rgba[..., 3] = np.clip((side / 2 - 2 - np.hypot(x, y)) * 255, 0, 255)
    return rgba


def lying(name: str, x: float, y: float, angle: float, mm: float) -> Placed:
    """A cut-out ``mm`` wide."""
    k = mm / SIDE
    matrix = move(-SIDE / 2, -SIDE / 2).then(stretch(k, -k)).then(turn(angle)).then(move(x, y))
    return Placed("figure", name, name, matrix, (x, y), angle, 0.0)


def rows(count: int, moved: int, mm: float, exposures: int, rng: np.random.Generator) -> list[list[Placed]]:
    """Exposures of ``count`` pieces of which the upper ``moved`` move by small steps."""
    at = [(rng.uniform(-160, 160), rng.uniform(-80, 80), rng.uniform(-180, 180)) for _ in range(count)]
    return [
        [
            lying(
                f"p{i}",
                x + (3 * t if i >= count - moved else 0),
                y,
                a + (2 * t if i >= count - moved else 0),
                mm,
            )
            for i, (x, y, a) in enumerate(at)
        ]
        for t in range(exposures)
    ]


def by_opencv(pictures: dict[str, NDArray[np.float32]], placed: list[Placed]) -> Frame:
    """The same frame: each piece warped within its box, blended by numpy in linear light."""
    frame = np.ones((STAGE.height, STAGE.width, 3), np.float32)
    for p in placed:
        m = p.matrix.then(STAGE.to_pixels(STAGE.whole()))
        corners = np.array([m.apply(x, y) for x in (0, SIDE) for y in (0, SIDE)])
        x0, y0 = np.maximum(np.floor(corners.min(0)).astype(int) - 1, 0)
        x1, y1 = np.minimum(np.ceil(corners.max(0)).astype(int) + 1, (STAGE.width, STAGE.height))
        if x1 <= x0 or y1 <= y0:
            continue
        t = move(0.5, 0.5).then(m).then(move(-0.5 - x0, -0.5 - y0))
        warped = cv2.warpAffine(
            pictures[p.cutout], np.array([[t.a, t.c, t.e], [t.b, t.d, t.f]]), (int(x1 - x0), int(y1 - y0))
        )
        part = frame[y0:y1, x0:x1]
        part *= 1 - warped[..., 3:]
        part += warped[..., :3]
    return (np.sqrt(frame) * 255).astype(np.uint8)


def timed(*functions: Callable[[int], object], times: int = 10) -> list[float]:
    """The quickest run of each, in ms of the processor, taken in turns."""
    spans: list[list[float]] = [[] for _ in functions]
    for t in range(times):
        for span, function in zip(spans, functions, strict=True):
            start = thread_time()
            function(t)
            span.append((thread_time() - start) * 1000)
    return [min(span[2:]) for span in spans]


def main() -> None:
    cv2.setNumThreads(1)
    warm_up()
    rng = np.random.default_rng(7)
    raw = {f"p{i}": cutout(rng) for i in range(30)}
    pyramids = {name: Pyramid.of(rgba) for name, rgba in raw.items()}
    linear = {}
    for name, rgba in raw.items():
        alpha = rgba[..., 3:].astype(np.float32) / 255
        linear[name] = np.concatenate(
            [light_table()[rgba[..., :3]] / np.float32(65535) * alpha, alpha], axis=2
        )
    view = STAGE.whole()
    print(f"{'ms a frame; Mpx drawn, layer on layer':48}{'Mpx':>6}{'ours':>8}{'opencv':>8}{'ratio':>7}")
    for count, mm, what, moved in (
        (12, 87.0, "x.70, all moved", 12),
        (30, 87.0, "x.70, all moved", 30),
        (12, 126.0, "x1.01, all moved", 12),
        (12, 40.0, "x.32, all moved", 12),
        (30, 87.0, "x.70, 2 upper moved", 2),
        (30, 45.0, "x.36, 2 upper moved", 2),
    ):
        shown = rows(count, moved, mm, 10, rng)
        canvas = Canvas(STAGE, pyramids)
        ours, theirs = timed(
            lambda t, c=canvas, f=shown: c.draw(f[t], view),  # type: ignore[misc]
            lambda t, f=shown: by_opencv(linear, f[t]),  # type: ignore[misc]
        )
        before = canvas.work.pixels
        canvas.draw(shown[0], view)
        mpx = (canvas.work.pixels - before) / 1e6
        print(f"{f'{count} pieces, {what}':48}{mpx:6.2f}{ours:8.1f}{theirs:8.1f}{ours / theirs:7.2f}")
    shown = rows(12, 12, 87.0, 10, rng)
    plain, shadowed = Canvas(STAGE, pyramids), Canvas(STAGE, pyramids, PaperLook(shadows=True))
    without, having = timed(lambda t: plain.draw(shown[t], view), lambda t: shadowed.draw(shown[t], view))
    print(
        f"{'the first, with shadows and without':48}{'':6}{having:8.1f}{without:8.1f}{having / without:7.2f}"
    )


if __name__ == "__main__":
    main()
