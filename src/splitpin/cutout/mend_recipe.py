"""How a mended picture is made again."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from splitpin.measure.plain import Plain, Text
from splitpin.measure.provenance import Digest

Whole = Annotated[int, Field(strict=True, ge=0, le=2**31 - 1)]
Pixels = Annotated[int, Field(strict=True, ge=0, le=1000)]


class MendRecipe(Plain):
    """``[recipe]`` of a picture whose hole was filled."""

    kind: Literal["mend"]
    """What was done: a hole was filled."""
    picture: Text
    """The picture, as it is used: made fit. A name in ``pictures/``, or outside a film folder a file, from
    the recipe's own folder."""
    sha256: Digest | None = None
    """The SHA-256 sum of the picture's file, and of its steps that make it fit where it has any, when it was
    mended: when it differs, the picture has changed since."""
    piece: Text | None = None
    """The piece that left it: a name in ``cutouts/``, else the file of its recipe, from this one's folder."""
    hole: Text = ""
    """Where no piece did: a picture of the hole, a file in the film folder such as ``holes/wall.png``, else
    from the recipe's own folder."""
    grow: Pixels = 0
    """By how many pixels the hole is widened."""
    seed: Whole = 0
    """Of what is left to chance: another seed, another filling."""
