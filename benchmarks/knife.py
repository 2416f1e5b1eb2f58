"""The knife against OpenCV's edge-following tool, from the same points in the same run.

A wavy thing of known outline in a grainy picture of 4 megapixels; points set 4 px off it by turns.
Time is that of one new point; deviation is from the true outline, pixels.
The peer does not move points that were set.
"""

from __future__ import annotations

from statistics import median
from time import perf_counter

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from splitpin.cutout.coverage import coverage
from splitpin.cutout.curves import flatten
from splitpin.cutout.knife import along, knife, snap

SIZE, POINTS = 2000, 16
Real = NDArray[np.float64]


def thing() -> tuple[Real, Real, NDArray[np.uint8]]:
    rng = np.random.default_rng(1)
    t = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    r = 600 + 60 * np.cos(3 * t) + 20 * np.sin(7 * t)
    way = np.stack([np.cos(t), np.sin(t)], axis=1)
    line = np.array([1000.3, 990.6]) + r[:, None] * way
    share = coverage([line], SIZE, SIZE)[..., None]
    grain = [cv2.GaussianBlur(rng.normal(0, 1, (SIZE, SIZE, 3)), (0, 0), s) * s * 3.5 for s in (6, 3)]
    rgb = (125 + 18 * grain[0]) * (1 - share) + (np.array([190, 90, 60]) + 12 * grain[1]) * share
    return line, way, np.clip(rgb + rng.normal(0, 3, rgb.shape), 0, 255).astype(np.uint8)


def off(found: Real, line: Real) -> str:
    steps = np.linspace(0, 1, 10, endpoint=False)[:, None]
    ends = np.roll(line, -1, axis=0)
    dense = np.concatenate([p + (q - p) * steps for p, q in zip(line, ends, strict=True)])
    away = np.asarray(cKDTree(dense).query(found)[0])
    return f"mean {away.mean():.2f}, worst {away.max():.2f} px"


def main() -> None:
    line, way, rgb = thing()
    at = np.arange(POINTS) * (len(line) // POINTS)
    off_line = np.where(np.arange(POINTS) % 2, 4.0, -4.0)[:, None]
    points = [(float(x), float(y)) for x, y in line[at] + way[at] * off_line]
    knife(rgb, points)  # machine code
    ours = []
    for a, b in zip(points, points[1:] + points[:1], strict=True):
        start = perf_counter()
        along(rgb, snap(rgb, a), snap(rgb, b))
        ours.append(perf_counter() - start)
    found = flatten(knife(rgb, points), 0.02)

    start = perf_counter()
    tool = cv2.segmentation.IntelligentScissorsMB()
    tool.setEdgeFeatureCannyParameters(32, 100).setGradientMagnitudeMaxLimit(200)
    tool.applyImage(rgb)
    opened = perf_counter() - start
    theirs, peer = [], []
    for a, b in zip(points, points[1:] + points[:1], strict=True):
        start = perf_counter()
        tool.buildMap((int(a[0]), int(a[1])))
        contour = tool.getContour((int(b[0]), int(b[1])))
        theirs.append(perf_counter() - start)
        peer.append(np.asarray(contour, np.float64).reshape(-1, 2) + 0.5)
    print(f"a new point, median: ours {median(ours) * 1e3:.0f} ms, worst {max(ours) * 1e3:.0f} ms")
    print(f"peer: {opened * 1e3:.0f} ms to open, {median(theirs) * 1e3:.0f} ms a point (its whole map)")
    print(f"ratio of a point: {median(theirs) / median(ours):.1f}")
    print(f"beside the truth: ours {off(found, line)}; peer {off(np.concatenate(peer), line)}")


if __name__ == "__main__":
    main()
