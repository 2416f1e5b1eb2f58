"""A cut-out as the rest of the studio sees it: a name, a picture's size in pixels, and its size on paper."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.cutout.mend_recipe import MendRecipe
from splitpin.cutout.recipe import Recipe
from splitpin.cutout.split_recipe import SplitRecipe
from splitpin.measure.plain import Name, Plain, Positive, Text

MM_PER_INCH = 25.4
PPI = 300.0
"""Taken for a picture of which nobody said how finely it was scanned."""


class CutoutDocument(Plain):
    """``cutouts/NAME.toml``: what belongs to the transparent picture ``cutouts/NAME.png`` beside it."""

    format: Literal[1]
    """The version of this kind of document."""
    width_mm: Positive
    """How wide the cut-out is on the table, in millimetres; its height follows from the picture."""
    picture: Name | None = None
    """The found picture that it was cut from (a name in ``pictures/``), for the rights ledger."""
    recipe: (
        Annotated[Recipe | SplitRecipe | MendRecipe | LettersRecipe, Field(discriminator="kind")] | None
    ) = None
    """How it was made, where it can be made again."""
    note: Text = ""
    """Anything worth remembering."""


class Cutout(NamedTuple):
    """A cut-out, measured."""

    name: str
    width: int
    """Pixels."""
    height: int
    """Pixels."""
    mm_per_px: float
    """The size of one of its pixels on the table."""

    @property
    def width_mm(self) -> float:
        """Its width on the table."""
        return self.width * self.mm_per_px

    @property
    def height_mm(self) -> float:
        """Its height on the table."""
        return self.height * self.mm_per_px
