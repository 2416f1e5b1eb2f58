"""The base of every value that can stand in a document of the film folder."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Number = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-1e6, le=1e6)]
"""A finite number. Whole numbers are numbers; text and true/false are not."""

Positive = Annotated[float, Field(strict=True, allow_inf_nan=False, gt=0, le=1e6)]
"""A finite number above nought."""

Count = Annotated[int, Field(strict=True, ge=1, le=1_000_000)]
"""A whole number, one or more."""

Point = tuple[Number, Number]
"""``[x, y]``: millimetres on the table (y up) or pixels in a picture (y down); the key says which."""

NAME_PATTERN = r"^[^\W_][\w-]{0,79}$"
"""What a name looks like, as a regular expression."""

Name = Annotated[str, StringConstraints(strict=True, pattern=NAME_PATTERN)]
"""A name: letters of any alphabet, digits, ``-`` and ``_``; no spaces, no dots, no slashes."""

Text = Annotated[str, StringConstraints(strict=True, max_length=4000)]
"""Words for people."""

Flag = Annotated[bool, Field(strict=True)]
"""``true`` or ``false``."""


class Plain(BaseModel):
    """A frozen, validated value that can stand in a document.

    Unknown keys are mistakes. The description of each field is the text of the film folder reference.
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, use_attribute_docstrings=True
    )
