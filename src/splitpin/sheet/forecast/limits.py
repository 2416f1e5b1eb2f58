"""From where on a person is told: the thresholds of the forecast, as settings."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from splitpin.measure.plain import Plain, Positive

Share = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=0, le=1)]
Steps = Annotated[int, Field(strict=True, ge=1, le=1000)]


class Limits(Plain):
    """``[forecast]``: from where on ``check --ahead`` tells what lies ahead."""

    hole_mm2: Positive = 1.0
    """A hole smaller than this is not told, square millimetres of the table; common practice, no source."""
    bare: Share = 0.01
    """A scene without a background that opens with more than this share of its table bare is meant to show
    the table; common practice, no source."""
    margin: Share = 0.035
    """The outer part of the picture's width and height in which nothing should come to rest: 93 % are safe
    for action (EBU R 95, from memory)."""
    edge: Share = 0.002
    """What reaches over an edge by less than this share of the picture's width is not told; common practice,
    no source."""
    rest_seconds: Positive = 0.5
    """What has not moved for so long has come to rest; common practice, no source."""
    overlap: Share = 0.5
    """How much of a piece should lie over its last place; half, from memory of the trade's rules."""
    steps: Steps = 3
    """So many steps that strobe, one after the other, are told: fewer are a jump; common practice, no
    source."""
    pan: Share = 0.0083
    """The largest step of a pan before it strobes, as a share of the view's width: 0.1 in of a 12 in field,
    a published number."""
    zip: Share = 0.0208
    """From this share of the view's width a frame on a pan reads as a zip: 0.25 in of a 12 in field, a
    published number."""
    settle: Steps = 3
    """A pan may take so many steps to come to rest, or to start; a published number."""
    handle_mm: Positive = 6.0
    """What is smaller than this both ways is hard to pick up; common practice, no source."""
    paper_mm: Positive = 0.28
    """How thick the pieces are: card of 250 g/m² is 0.28 mm."""
    stack_mm: Positive = 3.0
    """The highest stack of pieces; it throws a shadow as wide under a lamp at 45°; common practice, no
    source."""
    slide_mm: Positive = 1.0
    """How far a planted foot may be moved over the ground; common practice, no source."""
    hold_seconds: Positive = 1.0
    """After so long a hold needs something alive, a blink; from memory of the trade's rules."""
