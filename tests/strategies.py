"""Figures, poses and spans that tests of several rooms share."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from splitpin.character.character import Character
from splitpin.character.figure import Figure, assemble
from splitpin.character.pose import Value, channels_of
from splitpin.cutout.cutout import Cutout
from splitpin.motion.move import Before, Span

CUTOUTS = {
    "disc": Cutout("disc", 100, 100, 0.2),
    "slip": Cutout("slip", 40, 160, 0.25),
    "scrap": Cutout("scrap", 30, 20, 0.5),
}

WALKER_DOCUMENT = Character.model_validate(
    {
        "format": 1,
        "pieces": {
            "body": {
                "cutout": "disc",
                "pin": "seat",
                "pins": {"seat": [50, 90], "neck": [50, 5], "left": [30, 95], "right": [70, 95]},
            },
            "head": {
                "on": "body.neck",
                "pin": "chin",
                "pins": {"chin": [15, 18], "hinge": [10, 15]},
                "set": {
                    "plain": {"cutout": "scrap"},
                    "cross": {"cutout": "slip", "pins": {"chin": [20, 150]}},
                },
                "angle": 5,
                "limits": [-40, 40],
            },
            "jaw": {"cutout": "scrap", "on": "head.hinge"},
            "lids": {"cutout": "scrap", "on": "head.hinge", "scale": 0.5},
            "left": {
                "cutout": "slip",
                "on": "body.left",
                "pin": "heel",
                "pins": {"heel": [20, 160], "toe": [20, 0]},
            },
            "right": {"cutout": "slip", "on": "body.right", "scale": 1.5, "angle": -10},
        },
        "order": ["left", "right", "body", "jaw", "head", "lids"],
    }
)
WALKER: Figure = assemble("walker", WALKER_DOCUMENT, CUTOUTS)
"""A figure with a body, a head with a replacement set and limits, a jaw, lids, and two loose feet."""

VIEW_CHANNELS: dict[str, Value] = {"x": 10.0, "y": -5.0, "width": 400.0, "angle": 3.0}

places = st.floats(-500, 500)
angles = st.floats(-720, 720)
sizes = st.floats(0.1, 8)


@st.composite
def poses(draw: st.DrawFn, *, shifted: bool = True) -> dict[str, Value]:
    """All channels of the walker: anywhere, turned, scaled and flipped, its pieces turned within limits."""
    pose = channels_of(WALKER_DOCUMENT)
    pose |= {
        "x": draw(places),
        "y": draw(places),
        "angle": draw(angles),
        "scale": draw(sizes),
        "flip": draw(st.booleans()),
        "head.angle": draw(st.floats(-20, 20)),
        "head.shows": draw(st.sampled_from(["plain", "cross"])),
        "body.angle": draw(st.floats(-30, 30)),
    }
    if shifted:
        pose |= {"left.x": draw(st.floats(-20, 20)), "left.y": draw(st.floats(-20, 20))}
    return pose


@st.composite
def befores(draw: st.DrawFn) -> Before:
    """How the walker lay before a move."""
    return Before(draw(poses()), WALKER)


@st.composite
def spans(draw: st.DrawFn, most: int = 60) -> Span:
    """Spans of one exposure or more, on ones or any hold; the last exposure may be cut short."""
    on = draw(st.integers(1, 12))
    exposures = draw(st.integers(1, most))
    short = draw(st.integers(0, on - 1))
    return Span(draw(st.integers(0, 100)), exposures * on - short, on, Fraction(24))
