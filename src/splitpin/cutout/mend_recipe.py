"""How a mended picture is made again."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from splitpin.measure.plain import Name, Plain, Text

Whole = Annotated[int, Field(strict=True, ge=0, le=2**31 - 1)]
Pixels = Annotated[int, Field(strict=True, ge=0, le=1000)]


class MendRecipe(Plain):
    """``[recipe]`` of a picture whose hole was filled."""

    kind: Literal["mend"]
    """What was done: a hole was filled."""
    picture: Name
    """The picture (a name in ``pictures/``), as it is used: made fit."""
    piece: Name | None = None
    """The cut-out that left the hole (a name in ``cutouts/``)."""
    hole: Text = ""
    """Where no cut-out did: a picture of the hole, a file in the film folder such as ``holes/wall.png``."""
    grow: Pixels = 0
    """By how many pixels the hole is widened."""
    seed: Whole = 0
    """Of what is left to chance: another seed, another filling."""
