"""What was asked for when a piece was cut: enough to make the same piece again, bit for bit."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from splitpin.measure.plain import Number, Plain, Point, Positive, Text
from splitpin.measure.provenance import Digest

MOST_POINTS = 10_000
MOST_STROKES = 1_000

Radius = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=10_000)]
Points = Annotated[list[Point], Field(max_length=MOST_POINTS)]


class Stroke(Plain):
    """A stroke of a round brush."""

    points: Annotated[list[Point], Field(min_length=1, max_length=MOST_POINTS)]
    """Its way, ``[x, y]`` pixels."""
    radius: Radius
    """The brush's radius, pixels."""


class Recipe(Plain):
    """``[recipe]`` of a piece that was cut out of a found picture.

    All places are pixels of the picture as it is used: made fit.
    """

    kind: Literal["cut"] = "cut"
    """What was done: a thing was cut out."""
    picture: Text = ""
    """The picture: a name in ``pictures/``, or outside a film folder a file, from the recipe's own folder."""
    sha256: Digest | None = None
    """The SHA-256 sum of the picture's file, and of its steps that make it fit where it has any, when this
    was cut: when it differs, the picture has changed since."""
    loop: Points = []
    """Rough points around the thing, a little outside of it."""
    box: tuple[Number, Number, Positive, Positive] | None = None
    """Instead of a loop: ``[left, top, width, height]``."""
    edge: Literal["soft", "knife"] = "soft"
    """``soft`` finds how much of each pixel at the edge the thing covers; ``knife`` cuts crisply along it."""
    knife: Points = []
    """Points along the edge for the knife; without any they are found."""
    as_drawn: bool = False
    """The knife goes straight from point to point, or without any along the loop: no edge draws it."""
    keep: Annotated[list[Stroke], Field(max_length=MOST_STROKES)] = []
    """Strokes over what belongs to the thing."""
    drop: Annotated[list[Stroke], Field(max_length=MOST_STROKES)] = []
    """Strokes over what does not."""
    ink_mm: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=20)] = 0.0
    """How far in from the cut the paper's edge is blackened, in millimetres."""
    ppi: Positive | None = None
    """How many pixels are an inch of the paper; 300 is taken where nobody says."""
    sized_at: Positive | None = None
    """The pixels per inch by which ``width_mm`` was reckoned when the piece was last made. When ``ppi`` says
    another by then, the width follows it."""
