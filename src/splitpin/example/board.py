"""The storyboard: one pencil sketch a panel, so that the film can be watched before anything is cut out.

Coordinates are pixels of the drawing, y down.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from zlib import crc32

import cv2
import numpy as np
import numpy.typing as npt

from splitpin.example.scissors import rounded

WIDTH, HEIGHT = 640, 360
WALL = 258
"""Where the top of the wall is."""
Drawing = npt.NDArray[np.uint8]
Line = Sequence[tuple[float, float]]


class Pencil:
    """A pencil that never goes the same way twice."""

    def __init__(self, name: str) -> None:
        self._chance = np.random.default_rng(crc32(name.encode()))
        self.sheet = np.full((HEIGHT * 2, WIDTH * 2), 255, np.uint8)

    def line(self, points: Line, grey: int = 70, thick: int = 2, twice: bool = True) -> None:
        """Draw along points, most lines twice, as one does who is not sure yet."""
        for _ in range(2 if twice else 1):
            p = np.asarray(points, np.float64) * 2
            p = p + self._chance.normal(0, 2.2, p.shape)
            if len(p) > 2:
                closed = np.allclose(points[0], points[-1])
                way = rounded([(float(x), float(y)) for x, y in (p[:-1] if closed else p)], 10)
                p = way if closed else way[:-10]
            cv2.polylines(self.sheet, [np.rint(p).astype(np.int32)], False, grey, thick, cv2.LINE_AA)

    def round(self, x: float, y: float, rx: float, ry: float | None = None, grey: int = 70) -> None:
        """Draw an ellipse."""
        t = np.linspace(0.3, 0.3 + 2 * np.pi, 14)
        ry = rx if ry is None else ry
        self.line(
            [(x + rx * float(np.cos(a)), y + ry * float(np.sin(a))) for a in t[:-1]]
            + [(x + rx * float(np.cos(t[0])), y + ry * float(np.sin(t[0])))],
            grey,
        )

    def hatch(self, x: float, y: float, width: float, height: float, grey: int = 150) -> None:
        """Shade a patch with slanting lines."""
        for k in np.arange(0, width + height, 9.0):
            a = (x + min(k, width), y + max(0.0, k - width))
            b = (x + max(0.0, k - height), y + min(k, height))
            self.line([a, b], grey, 1, twice=False)

    def finished(self) -> Drawing:
        """The drawing on its paper."""
        small = cv2.resize(self.sheet, (WIDTH, HEIGHT), interpolation=cv2.INTER_AREA).astype(np.float32)
        tooth = self._chance.normal(0, 1, (HEIGHT, WIDTH)).astype(np.float32)
        # pencil skips the hollows of the paper: grain shows in the lines, not beside them
        dark = (255 - small) * np.clip(1 + 0.35 * tooth, 0, 1.4)
        tone = np.clip(1 - dark / 255, 0, 1)[..., None]
        paper = np.array([246, 241, 228], np.float32) + tooth[..., None] * 1.5
        lead = np.array([58, 58, 66], np.float32)
        return np.asarray(np.clip(np.rint(paper * tone + lead * (1 - tone)), 0, 255), np.uint8)


def _ground(pencil: Pencil) -> None:
    pencil.line([(0, WALL), (WIDTH, WALL)])
    pencil.line([(0, WALL + 20), (WIDTH, WALL + 20)])
    for row in range(3):
        y = WALL + 20 + 28 * (row + 1)
        pencil.line([(0, y), (WIDTH, y)], 170, 1, twice=False)
        for x in range(30 + 40 * (row % 2), WIDTH, 90):
            pencil.line([(x, y - 28), (x, y)], 170, 1, twice=False)


def _cup(pencil: Pencil, x: float, lift: float = 0.0, spoon: float | None = None) -> None:
    y = WALL - lift
    pencil.line(
        [
            (x - 58, y - 128),
            (x - 52, y - 60),
            (x - 30, y - 10),
            (x + 30, y - 10),
            (x + 52, y - 60),
            (x + 58, y - 128),
        ]
    )
    pencil.round(x, y - 128, 58, 18)
    pencil.line([(x - 56, y - 108), (x - 96, y - 104), (x - 92, y - 66), (x - 44, y - 44)])
    pencil.round(x, y - 4, 98, 14)
    for side in (-1, 1):
        pencil.round(x - 4 + side * 13, y - 84, 10, 9)
        pencil.line([(x - 16 + side * 13, y - 88), (x + 8 + side * 13, y - 86)], 40, 3)
        pencil.line(
            [
                (x - 4, y - 56),
                (x - 4 + side * 20, y - 60),
                (x - 4 + side * 36, y - 52),
                (x - 4 + side * 44, y - 62),
            ],
            30,
            5,
        )
    if spoon is not None:
        dx = float(np.sin(np.radians(spoon))) * 92
        pencil.line([(x + 14, y - 126), (x + 14 + dx, y - 214)], 60, 3)
        pencil.round(x + 14 + dx * 1.14, y - 232, 15, 20)


def _cat(
    pencil: Pencil, x: float, down: float = 0.0, jaw: bool = False, look: float = 6.0, lids: bool = False
) -> None:
    y = WALL - 110 + down
    pencil.line(
        [
            (x - 80, y - 20),
            (x - 74, y + 26),
            (x - 40, y + 62),
            (x + 14, y + 82),
            (x + 52, y + 60),
            (x + 76, y + 20),
            (x + 78, y - 30),
            (x + 50, y - 70),
            (x - 20, y - 82),
            (x - 66, y - 58),
            (x - 80, y - 20),
        ]
    )
    for side in (-1, 1):
        pencil.line([(x + side * 76, y - 30), (x + side * 82, y - 118)])
        pencil.line([(x + side * 82, y - 118), (x + side * 36, y - 78)])
    for ex, rx in ((-22, 20), (44, 14)):
        pencil.round(x + ex, y - 6, rx, rx * 0.9)
        pencil.round(x + ex + look, y - 4, 5, 9, 20)
        if lids:
            pencil.line([(x + ex - rx, y - 10), (x + ex + rx, y - 8)], 30, 4)
    pencil.line([(x + 14, y + 44), (x + 34, y + 44), (x + 24, y + 56), (x + 14, y + 44)], 40, 3)
    for k in range(3):
        pencil.line([(x - 10, y + 52 + 5 * k), (x - 84, y + 40 + 16 * k)], 120, 1)
        pencil.line([(x + 56, y + 50 + 5 * k), (x + 118, y + 34 + 16 * k)], 120, 1)
    if jaw:
        pencil.line([(x - 2, y + 80), (x + 4, y + 112), (x + 34, y + 110), (x + 40, y + 74)], 40, 3)


def _coins(pencil: Pencil, xs: Sequence[float], up: float = 0.0) -> None:
    for k, x in enumerate(xs):
        pencil.round(x, WALL - 14 - up * (k % 2), 15)
        pencil.round(x, WALL - 14 - up * (k % 2), 10, None, 150)


def _arrow(pencil: Pencil, a: tuple[float, float], b: tuple[float, float]) -> None:
    pencil.line([a, b], 110, 3, twice=False)
    d = np.subtract(b, a) / max(1.0, float(np.hypot(*np.subtract(b, a))))
    for side in (-1, 1):
        tip = (b[0] - 14 * d[0] - side * 8 * d[1], b[1] - 14 * d[1] + side * 8 * d[0])
        pencil.line([b, (float(tip[0]), float(tip[1]))], 110, 3, twice=False)


def sketch(name: str) -> Drawing:
    """The drawing of one panel."""
    pencil = Pencil(name)
    if name == "title":
        for row, count in ((120, 5), (200, 6)):
            for k in range(count):
                x = WIDTH / 2 + (k - (count - 1) / 2) * 62
                pencil.line(
                    [
                        (x - 26, row - 30),
                        (x + 26, row - 34),
                        (x + 28, row + 30),
                        (x - 24, row + 34),
                        (x - 26, row - 30),
                    ]
                )
                pencil.hatch(x - 16, row - 18, 32, 36)
        pencil.round(140, 290, 20)
        _arrow(pencil, (170, 290), (300, 290))
        pencil.round(580, 160, 90, 84)
        pencil.round(574, 136, 50, 40)
        _arrow(pencil, (560, 300), (630, 300))
        return pencil.finished()
    _ground(pencil)
    if name == "1-arrival":
        _cup(pencil, 400)
        _arrow(pencil, (60, 214), (250, 214))
    elif name == "2-cat":
        _cup(pencil, 500)
        _cat(pencil, 190, 0, jaw=True)
        _arrow(pencil, (60, 250), (60, 120))
    elif name == "3-coin":
        _cup(pencil, 500)
        _cat(pencil, 150)
        _coins(pencil, [360])
        _arrow(pencil, (260, 236), (330, 236))
    elif name == "4-no":
        _cup(pencil, 380, spoon=22)
        _coins(pencil, [310])
        _arrow(pencil, (372, 20), (440, 28))
        _arrow(pencil, (440, 52), (372, 44))
    elif name == "5-queue":
        _cup(pencil, 520)
        _cat(pencil, 150)
        _coins(pencil, [290, 326, 362, 398], 26)
        _coins(pencil, [470, 500, 530])
    elif name == "6-bolt":
        _cup(pencil, 540)
        _cat(pencil, 230, look=-10)
        pencil.line([(110, WALL), (96, 170), (70, 150), (44, 190), (50, WALL - 4)], 50, 3)
        _coins(pencil, [66])
        _arrow(pencil, (420, 240), (300, 240))
    else:
        _cat(pencil, 190, look=-2, lids=True)
        _cup(pencil, 500, lift=170)
        pencil.round(500, WALL + 6, 56, 8, 60)
        _coins(pencil, [500])
        _arrow(pencil, (590, 200), (590, 90))
    return pencil.finished()


PANELS = ("title", "1-arrival", "2-cat", "3-coin", "4-no", "5-queue", "6-bolt", "7-ring")
BOARD: dict[str, Callable[[], Drawing]] = {name: partial(sketch, name) for name in PANELS}
"""The drawing of each panel by name."""
