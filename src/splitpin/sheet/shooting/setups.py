"""Set-ups: runs of exposures for which neither the background nor the camera's view is changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

from splitpin.measure.table import View
from splitpin.motion.peel import Peel
from splitpin.scene.scene import Scene
from splitpin.sheet.sheet import Row, Sheet
from splitpin.sheet.shooting.actions import Action, actions
from splitpin.sheet.stack import BACKGROUND


class SetUp(NamedTuple):
    """One set-up of the table."""

    scene: str
    number: int
    """Within its scene, from 1."""
    background: str
    """The cut-out; empty for the bare table."""
    paper: str
    """The colour of the table under everything."""
    view: View | None
    """What the camera takes in; None while it moves."""
    rows: tuple[Row, ...]
    actions: tuple[int, ...]
    """How many things hands do for each of its exposures; for the first of a set-up everything is laid."""
    pieces: frozenset[str]
    """The cut-outs that lie on the table in it, without the background."""
    spoilt: frozenset[str]
    """Those that it tears or pulls away for good."""

    @property
    def name(self) -> str:
        """``010-wall``, or ``010-wall/2`` where a scene has several."""
        return self.scene if self.number == 0 else f"{self.scene}/{self.number}"

    @property
    def moving(self) -> int:
        """Exposures before which anything is done."""
        return sum(1 for count in self.actions if count)


def setups(scenes: Sequence[tuple[Scene, Sheet]]) -> list[SetUp]:
    """The set-ups of scenes, in the order of the story."""
    return [one for scene, sheet in scenes for one in _of_scene(scene, sheet)]


def _of_scene(scene: Scene, sheet: Sheet) -> Iterator[SetUp]:
    runs = list(_runs(sheet.rows))
    spoilt = spoilt_in(scene)
    for n, (view, rows) in enumerate(runs):
        pieces = frozenset(p.cutout for row in rows for p in row.placed if p.who != BACKGROUND)
        torn = frozenset(
            p.cutout for row in rows for p in row.placed if {(p.who, p.piece), (p.who, "")} & spoilt
        )
        yield SetUp(
            sheet.scene, n + 1 if len(runs) > 1 else 0, scene.background or "", sheet.paper, view, rows,
            (len(_first(rows[0])), *(len(actions(a, b)) for a, b in pairwise(rows))), pieces, torn,
        )  # fmt: skip


def _first(row: Row) -> list[Action]:
    """Everything is laid, but the background is part of the set-up."""
    return [one for one in actions(None, row) if one.who != BACKGROUND]


def _runs(rows: Sequence[Row]) -> Iterator[tuple[View | None, tuple[Row, ...]]]:
    """Runs of one view; exposures between which the camera moves are one run."""
    held = [(view, tuple(run)) for view, run in groupby(rows, key=lambda row: row.view)]
    for still, runs in groupby(held, key=lambda one: len(one[1]) > 1 or len(held) == 1):
        if still:
            yield from runs
        else:
            yield None, tuple(row for _, run in runs for row in run)


def spoilt_in(scene: Scene) -> set[tuple[str, str]]:
    """The pieces that are torn off or pulled away: a member and its piece, or no name for all of them.

    A cover that is peeled away cannot be laid again as it lay (common practice, no source).
    """
    return {
        (move.who, piece)
        for move in scene.moves
        if isinstance(move, Peel) and not move.cover
        for piece in (move.pieces or [""])
    }
