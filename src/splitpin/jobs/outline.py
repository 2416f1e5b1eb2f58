"""Draw the cut line of a cut-out."""

from __future__ import annotations

import math
from pathlib import Path
from typing import NamedTuple

from splitpin.cutout.outline import TOLERANCE_MM, Outline, svg
from splitpin.cutout.outline import outline as find
from splitpin.folder.mistake import FolderError
from splitpin.folder.save import write_whole
from splitpin.jobs.output import refuse_output
from splitpin.jobs.piece import open_piece


class Drawn(NamedTuple):
    """A cut line and the piece that it belongs to."""

    outline: Outline
    size_mm: tuple[float, float]
    """The piece's picture, mm."""
    notes: tuple[str, ...] = ()
    """What became of parts and holes by the margin."""


def outline(
    piece: Path,
    tolerance: float = TOLERANCE_MM,
    margin: float = 0.0,
    width_mm: float | None = None,
    file: Path | None = None,
    *,
    again: bool = False,
) -> Drawn:
    """Find the cut line of a piece, and write it as a drawing.

    Parameters
    ----------
    piece
        Its PNG.
    tolerance, margin
        As :func:`splitpin.cutout.outline.outline` takes them, mm.
    width_mm
        How wide its picture is on the table; by its document when left out.
    file
        Where the SVG goes; nowhere when left out.
    again
        Write over a drawing of that name.

    Raises
    ------
    FolderError
        When the piece cannot be read, its size is unknown, or the drawing cannot be written.
    CutError
        When it has no cut line.
    """
    if file is not None:
        refuse_output(file, [".svg"], again=again, used=[piece])
    opened = open_piece(piece)
    if width_mm is None and opened.document is not None:
        width_mm = opened.document.width_mm
    if width_mm is None:
        raise FolderError(
            str(piece),
            "a picture whose size on the table is unknown",
            f"its width in millimetres, in {piece.with_suffix('.toml').name} or with --width",
            "measure it, and say --width MM",
        )
    for option, value in (("--tolerance", tolerance), ("--width", width_mm)):
        if not 0 < value < math.inf:
            raise FolderError(option, f"{value:g} mm", "more than 0 mm", f"give another {option}")
    if not math.isfinite(margin):
        raise FolderError("--margin", f"{margin:g} mm", "a number of mm", "give another --margin")
    height, width = opened.rgba.shape[:2]
    mm = width_mm / width
    found = find(opened.rgba[..., 3], mm, tolerance, margin)
    if file is not None:
        write_whole(file, svg(found, piece.stem).encode("utf-8"))
    return Drawn(found, (width_mm, height * mm), _notes(found, margin))


def _notes(found: Outline, margin: float) -> tuple[str, ...]:
    """Where there are other lines than the piece has parts and holes: a margin joins, an inset takes away."""
    holes = sum(loop.hole for loop in found.loops)
    outer = len(found.loops) - holes
    notes = []
    if margin > 0 and outer < found.parts:
        lines = "one line" if outer == 1 else f"{outer} lines"
        notes.append(f"at a margin of {margin:g} mm its {found.parts} parts run together, into {lines}")
    if margin > 0 and holes < found.holes:
        notes.append(f"at a margin of {margin:g} mm {found.holes - holes} of its {found.holes} holes close")
    if margin < 0 and outer != found.parts:
        what = "too narrow for it go" if outer < found.parts else "narrow between wide ones come apart"
        notes.append(f"at an inset of {-margin:g} mm parts {what}: {found.parts} parts, {outer} lines")
    return tuple(notes)
