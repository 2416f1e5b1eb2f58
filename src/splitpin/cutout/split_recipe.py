"""How a piece of a split cut-out is made again."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from splitpin.measure.plain import Name, Plain, Point, Positive
from splitpin.measure.provenance import Digest

Whole = Annotated[int, Field(strict=True, ge=0, le=2**31 - 1)]


class SplitRecipe(Plain):
    """``[recipe]`` of a piece that was split off a cut-out."""

    kind: Literal["split"]
    """What was done: the cut-out was split."""
    cutout: Name
    """The cut-out that was split (a name in ``cutouts/``)."""
    sha256: Digest | None = None
    """The SHA-256 sum of its picture when it was split: when it differs, the cut-out has changed since."""
    piece: Name
    """Which of the pieces this one is."""
    lines: list[list[Point]]
    """The lines along which it was split, each a list of ``[x, y]`` in its pixels."""
    names: list[Name]
    """The pieces: the largest, then the one beyond each line."""
    under: list[Name] = []
    """The pieces that lie under what they hang on."""
    drop: list[Name] = []
    """The pieces that are pulled away from their line, as a jaw is, instead of turning."""
    as_drawn: Annotated[bool, Field(strict=True)] = False
    """Whether the lines stay where they are; else one across a flare moves to where the limb is a limb."""
    ink_mm: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=20)] = 0.0
    """How far in the edge of the cut-out was blackened, in millimetres; what is grown is so too."""
    ink_ppi: Positive | None = None
    """How many of its pixels are an inch of the inked paper."""
    seed: Whole = 0
    """Of what was grown under the joints."""
    at: tuple[Whole, Whole] = (0, 0)
    """Where the piece's top left pixel was in the cut-out that was split."""
