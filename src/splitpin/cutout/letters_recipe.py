"""How a cut-out made of words is set again."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from splitpin.measure.plain import Flag, Plain, Positive

Colour = Annotated[str, StringConstraints(strict=True, pattern=r"^#[0-9a-fA-F]{6}$")]
Margin = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=1000)]


class LettersRecipe(Plain):
    """``[recipe]`` of a cut-out that is words."""

    kind: Literal["letters"]
    """What was done: words were set in type."""
    text: Annotated[str, StringConstraints(strict=True, min_length=1, max_length=20_000)]
    """The words; a line feed begins a new line."""
    font: Annotated[str, StringConstraints(strict=True, min_length=1, max_length=400)] | None = None
    """A TrueType or OpenType font, a path in the film folder such as ``fonts/wood.ttf``; outside of one a
    path from the recipe's own folder. DejaVu Sans when left out."""
    size_mm: Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=1000)] = 12.0
    """How high its capitals are, mm."""
    colour: Colour = "#2d2823"
    """The colour of the letters."""
    align: Literal["left", "centre", "right"] = "centre"
    """Where shorter lines lie."""
    spacing: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0.5, le=5)] = 1.25
    """From one line to the next, against the size of the type."""
    widest_mm: Positive | None = None
    """Lines wider than this are broken between words, into lines of much the same width."""
    paper: Colour | None = None
    """The colour of the paper they are on; none when left out: the letters themselves are the cut-out."""
    margin_mm: Margin = 6.0
    """Paper around the letters, mm."""
    edge: Literal["straight", "torn"] = "straight"
    """The edge of the paper."""
    seed: Annotated[int, Field(strict=True, ge=0, le=2**31 - 1)] = 0
    """Another number, another grain and another tear."""
    ppi: Annotated[float, Field(strict=True, allow_inf_nan=False, ge=10, le=2400)] = 300.0
    """Pixels to an inch of paper."""
    sized_at: Positive | None = None
    """The pixels per inch by which ``width_mm`` was reckoned when the piece was last made. When ``ppi`` says
    another by then, the words stay as large and only become finer or coarser."""
    read: Flag = True
    """Meant to be read: ``check`` tells where there is no time for it. ``false`` for a sign in passing."""
