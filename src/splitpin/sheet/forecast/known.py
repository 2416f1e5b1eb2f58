"""What the forecast knows of a scene, and what it says."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.character.figure import Figure
from splitpin.character.place import Placed
from splitpin.cutout.cutout import Cutout
from splitpin.measure.table import Stage
from splitpin.scene.scene import Scene
from splitpin.sheet.forecast.limits import Limits
from splitpin.sheet.forecast.outlines import Outlines, Real, hull, mapped, outlines_of
from splitpin.sheet.held import as_planned
from splitpin.sheet.sheet import Row, Sheet

Box = tuple[float, float, float, float]
"""Left, bottom, right, top on the table, mm."""
Mask = NDArray[np.bool_]


class Foreseen(NamedTuple):
    """One thing that a person should know before shooting."""

    kind: str
    """What kind it is of: ``holes``, ``gaps`` …"""
    scene: str
    frame: int
    """The first frame in the scene of the exposure where it is seen, and seen best."""
    box: Box | None
    """Where; None where it is no one place."""
    found: str
    expected: str
    remedy: str
    figures: Mapping[str, float | str] = {}
    """What was measured, by name; the unit stands in the name."""


@dataclass(frozen=True)
class Known:
    """A scene with everything that its forecast needs."""

    sheet: Sheet
    scene: Scene
    stage: Stage
    figures: Mapping[str, Figure]
    """The figure of each member, and of ``background``."""
    cutouts: Mapping[str, Cutout]
    alphas: Mapping[str, NDArray[np.uint8]]
    """How opaque each cut-out is, uint8 (height, width)."""
    uncovered: Callable[[Row], Mask]
    """Where the table shows on an exposure: bool (height, width) of the picture; read at once, not kept."""
    heard: bool = True
    """Whether anything is heard during the scene."""
    words: frozenset[str] = frozenset()
    """Cut-outs that are words to be read; there is time for those, and a check of their own."""
    kept: frozenset[str] = frozenset()
    """Cut-outs that a character of the film has, and that its envelope keeps."""
    limits: Limits = field(default_factory=Limits)

    @property
    def bare(self) -> bool:
        """Whether nothing is ever laid on the table: the scene is not built yet."""
        return self.scene.background is None and not self.scene.cast

    @cached_property
    def hulls(self) -> Mapping[str, Real]:
        """The convex hull of each cut-out that is placed, (n, 2) in its pixels."""
        placed = {p.cutout for row in self.sheet.rows for p in row.placed}
        return {name: hull(self.alphas[name]) for name in sorted(placed)}

    @cached_property
    def opaque(self) -> frozenset[str]:
        """Cut-outs that are placed and have no transparent pixel."""
        return frozenset(name for name in self.hulls if self.alphas[name].min() == 255)

    @cached_property
    def outlines(self) -> tuple[Outlines, ...]:
        """Where each member lies in the picture, for each row."""
        return outlines_of(self.sheet.rows, self.stage, self.hulls)

    @cached_property
    def planned(self) -> tuple[int, ...]:
        """The first frame of each row as the spans of moves count it: as if nothing were held."""
        return as_planned(self.sheet, self.scene.panels)

    def points(self, row: Row, placed: Placed) -> Real:
        """The hull of one piece on a row, (n, 2) in pixels of the picture."""
        return mapped(self.hulls[placed.cutout], placed.matrix.then(self.stage.to_pixels(row.view)))

    def tell(
        self, kind: str, row: Row, points: Real | None, words: tuple[str, str, str], **figures: float | str
    ) -> Foreseen:
        """Say something.

        Parameters
        ----------
        kind
            The kind.
        row
            The exposure.
        points
            Around what, (n, 2) in pixels of its picture.
        words
            What was found, what was expected, what to do.
        figures
            What was measured.
        """
        box = None
        if points is not None and len(points):
            back = self.stage.to_pixels(row.view).inverse()
            places = np.array([back.apply(x, y) for x, y in points.tolist()])
            left, bottom = places.min(axis=0).tolist()
            right, top = places.max(axis=0).tolist()
            box = (left, bottom, right, top)
        return Foreseen(kind, self.sheet.scene, row.frame, box, *words, figures)
