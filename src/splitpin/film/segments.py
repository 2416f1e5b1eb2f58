"""Cut a film into segments, each made, kept and reused by itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from hashlib import blake2b
from typing import NamedTuple

from splitpin.frames.best import Kind
from splitpin.frames.look import PaperLook
from splitpin.measure.table import Stage
from splitpin.sheet.sheet import Row

LONGEST = Fraction(5, 2)
"""Seconds after which a segment ends with its exposure: a player can step in there, and enough of them share
out a scene among workers."""
SHORTEST = Fraction(1)
"""Seconds after which one ends where a panel does."""
DRAWING = 2
"""Counts changes to how exposures are drawn: raise it and everything is made again."""


class Exposure(NamedTuple):
    """What is seen for some frames."""

    row: Row
    kind: Kind = "drawn"
    """The best that exists for it."""
    file: str = ""
    """The shot frame or board drawing, a path in the film folder."""
    words: tuple[str, ...] = ()
    """What a card says: its title and its lines."""


class Segment(NamedTuple):
    """Exposures of one scene that are coded together."""

    scene: str
    first: int
    """Its first frame in the film."""
    paper: str
    """The colour of the table, ``#rrggbb``."""
    exposures: tuple[Exposure, ...]

    @property
    def frames(self) -> int:
        """How long it is."""
        return sum(e.row.frames for e in self.exposures)


def cut(scene: str, first: int, paper: str, exposures: Iterable[Exposure], rate: Fraction) -> list[Segment]:
    """Cut a scene into segments: at the ends of panels where it can be, and whole exposures always.

    A change inside one panel then leaves the segments of the others as they are.
    """
    segments: list[Segment] = []
    running: list[Exposure] = []
    frames = 0
    for exposure in exposures:
        new_panel = running and running[-1].row.panel != exposure.row.panel
        too_long = frames + exposure.row.frames > LONGEST * rate
        if running and (too_long or (new_panel and frames >= SHORTEST * rate)):
            segments.append(Segment(scene, first, paper, tuple(running)))
            first += frames
            running, frames = [], 0
        running.append(exposure)
        frames += exposure.row.frames
    if running:
        segments.append(Segment(scene, first, paper, tuple(running)))
    return segments


def key(
    segment: Segment,
    stage: Stage,
    look: PaperLook,
    cutouts: Mapping[str, str],
    files: Mapping[str, str],
    coding: str,
) -> str:
    """A name for what a segment's frames depend on; where it stands in the film is no part of that.

    Parameters
    ----------
    segment, stage, look
        What is drawn.
    cutouts, files
        Fingerprints of the cut-outs' pictures, and of shot frames and board drawings.
    coding
        How it is coded, or kept otherwise.

    Returns
    -------
    str
        40 hexadecimal digits (BLAKE2b, RFC 7693).
    """
    told = blake2b(digest_size=20)
    told.update(repr((DRAWING, coding, tuple(stage), look.model_dump(), segment.paper)).encode())
    for exposure in segment.exposures:
        row = exposure.row
        if exposure.kind == "drawn":
            seen: object = (
                tuple(row.view),
                [(cutouts[p.cutout], tuple(p.matrix), p.level) for p in row.placed],
            )
        elif exposure.kind == "card":
            seen = exposure.words
        else:
            seen = files[exposure.file]
        told.update(repr((row.frames, exposure.kind, seen)).encode())
    return told.hexdigest()
