"""How long a 1080p frame takes to draw, against OpenCV's warp with a numpy blend in the same run.

Run: ``python benchmarks/compose.py``. One thread; times are medians in ms; compare the ratios, since machines
differ.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import perf_counter

import cv2
import numpy as np
from numpy.typing import NDArray

from splitpin.character.place import Placed
from splitpin.frames.canvas import Canvas
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.affine import Affine, move, stretch, turn
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
            lying(f"p{i}", x + (3 * t if i >= count - moved else 0), y, a + (2 * t if i >= count - moved else 0), mm)
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


def timed(function: Callable[[int], object], times: int) -> float:
    spans = []
    for t in range(times):
        start = perf_counter()
        function(t)
        spans.append((perf_counter() - start) * 1000)
    return median(spans[2:])


def main() -> None:
    cv2.setNumThreads(1)
    rng = np.random.default_rng(7)
    raw = {f"p{i}": cutout(rng) for i in range(30)}
    pyramids = {name: Pyramid.of(rgba) for name, rgba in raw.items()}
    linear = {}
    for name, rgba in raw.items():
        alpha = rgba[..., 3:].astype(np.float32) / 255
        linear[name] = np.concatenate([light_table()[rgba[..., :3]] / np.float32(65535) * alpha, alpha], axis=2)
    print(f"{'case':44}{'ours':>8}{'opencv':>8}{'ratio':>7}{'Mpx':>7}")
    for count, mm, what in ((12, 98.5, "shrunk"), (30, 98.5, "shrunk"), (12, 125.1, "life size")):
        full = rows(count, count, mm, 12, rng)
        canvas = Canvas(STAGE, pyramids)
        ours = timed(lambda t, c=canvas, f=full: c.draw(f[t], STAGE.whole()), 12)  # type: ignore[misc]
        theirs = timed(lambda t, f=full: by_opencv(linear, f[t]), 6)  # type: ignore[misc]
        mpx = canvas.work.pixels / 12e6
        print(f"{f'{count} pieces, {what}, all moved':44}{ours:8.1f}{theirs:8.1f}{ours / theirs:7.2f}{mpx:7.2f}")
    for mm in (98.5, 50.0, 25.0):
        partial = rows(30, 2, mm, 24, rng)
        canvas = Canvas(STAGE, pyramids)
        ours = timed(lambda t, c=canvas, f=partial: c.draw(f[t], STAGE.whole()), 24)  # type: ignore[misc]
        theirs = timed(lambda t, f=partial: by_opencv(linear, f[t]), 4)  # type: ignore[misc]
        print(f"{f'30 pieces of {mm} mm, the 2 upper moved':44}{ours:8.1f}{theirs:8.1f}{ours / theirs:7.2f}")
    shadowed = Canvas(STAGE, pyramids, PaperLook(shadows=True))
    full = rows(12, 12, 98.5, 12, rng)
    ours = timed(lambda t: shadowed.draw(full[t], STAGE.whole()), 12)
    print(f"{'12 pieces, shrunk, all moved, with shadows':44}{ours:8.1f}")


if __name__ == "__main__":
    main()
