"""A mouth that speaks."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from tests.motion.samples import read
from tests.strategies import WALKER

from splitpin.character.pose import channels_of
from splitpin.motion.move import Before, Motion, Span
from splitpin.voice.mouth import SHAPES, Mouth, Reading, joined

RATE = Fraction(24)
mouths = st.lists(
    st.one_of(
        st.just(("shut", 0.0)),
        st.tuples(st.sampled_from([shape for shape in SHAPES if shape != "shut"]), st.floats(0.1, 1)),
    ),
    min_size=1,
    max_size=20,
)


def reading(*shapes: tuple[str, float], on: int = 2, gestures: tuple[int, ...] = ()) -> Reading:
    """One mouth an exposure."""
    each = tuple(Mouth(k * on, on, shape, opening) for k, (shape, opening) in enumerate(shapes))  # type: ignore[arg-type]
    return Reading(RATE, on, joined(each), gestures)


def spoken(said: Reading | None, count: int, **keys: Any) -> Motion:
    """What a walker's mouth does."""
    move = read({"move": "speak", "sound": "a.wav"} | keys)
    return move.motion(Span(10, count * 2, 2), Before(channels_of(WALKER.character), WALKER, said), 0)


@given(shapes=mouths)
def test_a_chin_is_pulled_down_as_far_as_the_mouth_is_open_and_ends_shut(
    shapes: list[tuple[str, float]],
) -> None:
    down = spoken(reading(*shapes), len(shapes) + 1, drop=8.0).disturb["jaw.y"]
    assert list(down) == [*(0.0 - 8.0 * opening for _, opening in shapes), 0.0]


@given(shapes=mouths)
def test_of_a_set_that_lacks_mouths_the_nearest_shows(shapes: list[tuple[str, float]]) -> None:
    shows = {"shut": "plain", "open": "cross"}
    shown = spoken(reading(*shapes), len(shapes) + 1, piece="head", shows=shows).travel["head.shows"]
    assert list(shown) == [*("plain" if s == "shut" else "cross" for s, _ in shapes), "plain"]


def test_a_chin_may_be_turned_about_its_pin() -> None:
    turned = spoken(reading(("open", 0.5), ("open", 1.0)), 3, turn=-20).disturb["jaw.angle"]
    assert turned == (-10.0, -20.0, 0.0)


def test_each_opening_each_shutting_and_each_gesture_is_an_event() -> None:
    said = reading(("shut", 0), ("small", 0.2), ("open", 1), ("shut", 0), ("round", 0.5), gestures=(0, 7))
    assert spoken(said, 6).events == (
        ("start", 0), ("gesture", 0), ("open", 1), ("shut", 3), ("gesture", 3), ("open", 4), ("shut", 5),
        ("end", 5),
    )  # fmt: skip


def test_a_mouth_without_its_sound_stays_shut() -> None:
    motion = spoken(None, 4)
    assert motion.disturb == {"jaw.y": (0.0, 0.0, 0.0, 0.0)}
    assert motion.events == (("start", 0), ("end", 3))


def test_what_is_heard_after_its_time_is_up_is_not_mouthed() -> None:
    assert spoken(reading(*[("open", 1.0)] * 9), 3, drop=1).disturb["jaw.y"] == (-1.0, -1.0, 0.0)
