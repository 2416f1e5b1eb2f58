"""A limb of two pieces reaches for a place on the table."""

from __future__ import annotations

from fractions import Fraction
from math import cos, hypot, radians, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import read

from splitpin.character.character import Character
from splitpin.character.figure import Figure, assemble
from splitpin.character.place import joints
from splitpin.character.pose import Value, channels_of
from splitpin.cutout.cutout import Cutout
from splitpin.measure.table import Stage
from splitpin.motion.hop import Hop
from splitpin.motion.move import Before, Motion, Move, MoveError, Span
from splitpin.motion.reach import Reach
from splitpin.motion.roll import Roll
from splitpin.motion.slide import Slide
from splitpin.motion.walk import Walk
from splitpin.scene.scene import Scene
from splitpin.sheet.expose import expose

UPPER, LOWER = 100.0, 80.0
"""Lengths of the links, mm."""


def figure(**lower: Any) -> Figure:
    """A body in whose middle an arm hangs, stretched out to the right; pixels are tenths of millimetres."""
    pieces: dict[str, Any] = {
        "body": {"cutout": "link", "pins": {"shoulder": [500, 50]}},
        "upper": {
            "cutout": "link",
            "on": "body.shoulder",
            "pin": "shoulder",
            "pins": {"shoulder": [0, 50], "elbow": [1000, 50]},
        },
        "lower": {
            "cutout": "link",
            "on": "upper.elbow",
            "pin": "elbow",
            "pins": {"elbow": [0, 50], "hand": [800, 50]},
        }
        | lower,
    }
    character = Character.model_validate({"format": 1, "pieces": pieces})
    return assemble("arm", character, {"link": Cutout("link", 1000, 100, 0.1)})


ARM = figure()


def motion(to: tuple[float, float], pose: dict[str, Value], who: Figure = ARM, **keys: Any) -> Motion:
    move = read({"move": "reach", "piece": "lower", "end": "hand", "to": list(to)} | keys)
    return move.motion(Span(0, 12, 2), Before(pose, who), 0)


def after(found: Motion, pose: dict[str, Value]) -> dict[str, Value]:
    return pose | {channel: values[-1] for channel, values in found.travel.items()}


def places(pose: dict[str, Value]) -> list[tuple[float, float]]:
    """Shoulder, elbow and hand on the table."""
    lying = joints(ARM, pose)
    hand = lying["lower"].axes.apply(*lying["lower"].showing.hooks["hand"])
    return [lying["upper"].axes.apply(0, 0), lying["lower"].axes.apply(0, 0), hand]


@pytest.mark.parametrize(
    ("bend", "upper", "lower"),
    [("anticlockwise", -9.826193, 84.260830), ("clockwise", 62.956295, -84.260830)],
)
def test_an_arm_of_100_and_80_mm_reaches_120_60_in_two_ways(bend: str, upper: float, lower: float) -> None:
    """Arithmetic: the law of cosines, to 1e-6 degrees."""
    travel = motion((120, 60), {}, bend=bend).travel
    assert travel["upper.angle"][-1] == pytest.approx(upper, abs=1e-6)
    assert travel["lower.angle"][-1] == pytest.approx(lower, abs=1e-6)


@given(
    far=st.floats(abs(UPPER - LOWER) + 0.01, UPPER + LOWER - 0.01),
    angle=st.floats(-180, 180),
    bend=st.sampled_from(["anticlockwise", "clockwise"]),
    lies=st.fixed_dictionaries(
        {
            "x": st.floats(-500, 500),
            "y": st.floats(-500, 500),
            "angle": st.floats(-720, 720),
            "scale": st.floats(0.2, 5),
            "flip": st.booleans(),
            "upper.angle": st.floats(-170, 170),
            "lower.angle": st.floats(-170, 170),
        }
    ),
)
def test_the_end_is_at_the_place_bent_as_told_however_the_figure_lies(
    far: float, angle: float, bend: str, lies: dict[str, Value]
) -> None:
    pose = channels_of(ARM.character) | lies
    (sx, sy), scale = places(pose)[0], float(pose["scale"])
    to = sx + far * scale * cos(radians(angle)), sy + far * scale * sin(radians(angle))
    found = motion(to, pose, bend=bend)
    assert found.reports == ()
    (ax, ay), (bx, by), (cx, cy) = places(after(found, pose))
    assert hypot(cx - to[0], cy - to[1]) < 1e-5
    turned = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
    assert (turned > 0) == (bend == "anticlockwise")
    for channel, values in found.travel.items():
        assert all(abs(float(value) - float(pose[channel])) <= 180 + 1e-9 for value in values)


def test_a_place_out_of_reach_is_pointed_at_and_the_sheet_says_what_is_missing() -> None:
    cast = {"arm": {"character": "arm", "x": 10}}
    move = {"move": "reach", "who": "arm", "piece": "lower", "end": "hand", "to": [10, 192.5]}
    scene = Scene.model_validate(
        {"format": 1, "panels": [{"name": "one", "seconds": 1}], "cast": cast, "moves": [move]}
    )
    found = expose("t", scene, {"arm": ARM}, Stage(1920, 1080, 400.0), Fraction(24), 2)
    assert found.faults == ()
    assert found.sheet.reports == ("reach of arm stays 12.5 mm short of 10, 192.5: out of reach",)
    shoulder, elbow, hand = places(dict(found.sheet.rows[-1].poses["arm"]))
    assert [shoulder, elbow, hand] == [pytest.approx((10, y), abs=1e-6) for y in (0, 100, 180)]


def test_one_that_rides_reaches_a_place_told_from_the_pin_it_rides_on() -> None:
    """The carrier is turned a quarter and twice as big; 120 mm along and 60 up from its shoulder pin."""
    cast = {
        "cart": {"character": "arm", "x": 30, "angle": 90, "scale": 2},
        "arm": {"character": "arm", "rides": "cart.body.shoulder"},
    }
    move = {"move": "reach", "who": "arm", "piece": "lower", "end": "hand", "to": [120, 60]}
    scene = Scene.model_validate(
        {"format": 1, "panels": [{"name": "one", "seconds": 1}], "cast": cast, "moves": [move]}
    )
    found = expose("t", scene, {"cart": ARM, "arm": ARM}, Stage(1920, 1080, 400.0), Fraction(24), 2)
    assert found.sheet.reports == ()
    lower = next(p for p in found.sheet.rows[-1].placed if (p.who, p.piece) == ("arm", "lower"))
    hand = lower.matrix.apply(800, 50)
    assert hand == pytest.approx((30 - 2 * 60, 2 * 120), abs=1e-6)


@pytest.mark.parametrize("kind", [Reach, Slide, Hop, Walk, Roll])
def test_what_a_place_is_counted_from_is_said_for_those_who_ride_too(kind: type[Move]) -> None:
    assert "of a member that rides, mm from the pin it rides on" in (
        kind.model_fields["to"].description or ""
    )


def test_too_near_a_place_is_out_of_reach_too() -> None:
    assert motion((5, 0), {}).reports == ("stays 15.0 mm short of 5, 0: out of reach",)


def test_a_piece_turns_the_long_way_round_where_its_limits_ask_for_it() -> None:
    """90 degrees clockwise is 270 anticlockwise."""
    free = motion((100, -80), {}, bend="clockwise")
    assert free.travel["lower.angle"][-1] == pytest.approx(-90)
    bound = motion((100, -80), {}, figure(limits=[0, 300]), bend="clockwise")
    assert bound.travel["lower.angle"][-1] == pytest.approx(270)


@pytest.mark.parametrize(
    ("keys", "lower", "key", "remedy"),
    [
        ({"piece": "body"}, {}, "piece", "name the lower arm of a limb"),
        ({"piece": "lowre"}, {}, "piece", "did you mean lower?"),
        ({"end": "hnad"}, {}, "end", "did you mean hand?"),
        ({"end": "elbow"}, {}, "piece", "set its pins apart"),
        ({"to": [100, 80]}, {"limits": [-80, 80]}, "to", "turn it less, or widen its limits"),
    ],
    ids=str,
)
def test_a_reach_that_cannot_be_is_said_with_its_key_and_a_remedy(
    keys: dict[str, Any], lower: dict[str, Any], key: str, remedy: str
) -> None:
    with pytest.raises(MoveError) as caught:
        motion(**({"to": (50, 50), "pose": {}, "who": figure(**lower)} | keys))
    assert caught.value.key == key
    assert remedy in caught.value.remedy
