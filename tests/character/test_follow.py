"""A hand pulls a piece, and what it hangs on follows."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.character.character import Character, Piece
from splitpin.character.figure import Figure, assemble
from splitpin.character.follow import chain_of, follow
from splitpin.character.place import joints
from splitpin.character.reach import reach
from splitpin.cutout.cutout import Cutout

UPPER, LOWER = 100.0, 80.0


def arm(limits: tuple[float, float] | None = None) -> Figure:
    """A body with an upper and a lower arm, all along the x axis, in millimetres."""
    paper = {name: Cutout(name, int(long) + 1, 10, 1.0) for name, long in
             (("body", 50.0), ("upper", UPPER), ("lower", LOWER))}  # fmt: skip
    pieces = {
        "body": Piece(cutout="body", pin="middle", pins={"middle": (25, 5), "shoulder": (25, 5)}),
        "upper": Piece(cutout="upper", on="body.shoulder", pin="in",
                       pins={"in": (0, 5), "out": (UPPER, 5)}),
        "lower": Piece(cutout="lower", on="upper.out", pin="in", pins={"in": (0, 5), "hand": (LOWER, 5)},
                       limits=limits),
    }  # fmt: skip
    return assemble("arm", Character(format=1, pieces=pieces), paper)


def hand_of(figure: Figure, pose: dict[str, float | bool | str]) -> tuple[float, float]:
    axes, showing = joints(figure, pose)["lower"]
    return axes.apply(*showing.hooks["hand"])


def test_the_chain_ends_before_the_root() -> None:
    assert chain_of(arm(), "lower") == ("lower", "upper")
    assert chain_of(arm(), "body") == ()


@given(
    away=st.floats(0.15, 0.999),
    towards=st.floats(-170, 170),
    flip=st.booleans(),
    turned=st.floats(-180, 180),
)
def test_within_reach_the_hand_keeps_what_it_holds(
    away: float, towards: float, flip: bool, turned: float
) -> None:
    figure = arm()
    pose: dict[str, float | bool | str] = {"lower.angle": 40.0, "flip": flip, "angle": turned}
    far = 20.5 + (UPPER + LOWER - 21) * away
    to = far * cos(radians(towards)), far * sin(radians(towards))
    done = follow(figure, pose, "lower", hand_of(figure, pose), to)
    assert done.short_by < 0.01
    assert hand_of(figure, {**pose, **done.values}) == pytest.approx(to, abs=0.011)


def test_two_links_end_as_the_triangle_has_it() -> None:
    """The same as the law of cosines says, on the side to which the arm is bent already."""
    figure = arm()
    pose: dict[str, float | bool | str] = {"lower.angle": 30.0}
    done = follow(figure, pose, "lower", hand_of(figure, pose), (120, 60))
    known = reach(UPPER, LOWER, 120, 60)
    assert done.values["upper.angle"] == pytest.approx(known.first, abs=1e-3)
    assert done.values["lower.angle"] == pytest.approx(known.second, abs=1e-3)


def test_out_of_reach_it_is_pointed_at() -> None:
    figure = arm()
    pose: dict[str, float | bool | str] = {"lower.angle": 30.0}
    done = follow(figure, pose, "lower", hand_of(figure, pose), (0, 400))
    assert done.short_by == pytest.approx(400 - UPPER - LOWER, abs=0.5)
    x, y = hand_of(figure, {**pose, **done.values})
    assert hypot(x, y - (UPPER + LOWER)) < 5


def test_limits_hold_and_the_other_pin_does_what_it_can() -> None:
    figure = arm((-20.0, 20.0))
    pose: dict[str, float | bool | str] = {"lower.angle": 10.0}
    done = follow(figure, pose, "lower", hand_of(figure, pose), (0, 60))
    assert done.values["lower.angle"] == pytest.approx(20.0)
    x, y = hand_of(figure, {**pose, **done.values})
    assert x == pytest.approx(0, abs=0.5)
    assert y > 0


def test_a_pull_does_not_depend_on_the_way_the_hand_took() -> None:
    figure = arm()
    pose: dict[str, float | bool | str] = {"lower.angle": 30.0}
    grip = hand_of(figure, pose)
    follow(figure, pose, "lower", grip, (-60, -90))
    assert follow(figure, pose, "lower", grip, (90, 70)) == follow(figure, pose, "lower", grip, (90, 70))
