"""When things happen in a scene."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from tests.sheet.test_expose import exposed, scene, slide

from splitpin.measure.rate import parse_rate
from splitpin.scene.scene import Panel
from splitpin.sheet.timing import MOST_FRAMES, time_moves, time_panels


def test_a_panel_of_less_than_half_a_frame_is_a_mistake() -> None:
    panels = [{"name": "one", "seconds": 0.001}, {"name": "two", "seconds": 1}]
    (fault,) = exposed(panels=panels).faults
    assert fault.path == ("panels", 0, "seconds")
    assert fault.found == "0.001 seconds, which is not one frame"
    assert fault.expected == "at least 0.042 seconds, one frame"


@pytest.mark.parametrize("rate", ["12", "24", "24000/1001", "30"])
def test_a_panel_of_half_a_frame_is_one_frame(rate: str) -> None:
    """Halves go up."""
    half = float(1 / parse_rate(rate) / 2) + 1e-6
    timing, faults = time_panels([Panel(name="one", seconds=half)], parse_rate(rate), 2)
    assert (timing.frames, faults) == (1, [])


def test_a_scene_longer_than_anyone_means_is_a_mistake_and_is_not_written_out() -> None:
    panels = [Panel(name="a", seconds=1), Panel(name="b", frames=1_000_000), Panel(name="c", seconds=36_000)]
    timing, faults = time_panels(panels, Fraction(24), 2)
    assert [fault.path for fault in faults] == [("panels", 1)]
    assert timing.frames == MOST_FRAMES + 1  # every panel has a frame
    assert "216000" in faults[0].found
    assert "2.5 hours" in faults[0].expected


@pytest.mark.parametrize(
    ("keys", "key"),
    [
        ({"positions": 1_000_000}, "positions"),
        ({"positions": None, "seconds": 36_000}, "seconds"),
        ({"positions": 1000, "on": 240}, "positions"),
    ],
)
def test_a_move_longer_than_anyone_means_is_a_mistake_and_is_not_worked_out(
    keys: dict[str, Any], key: str
) -> None:
    document = {k: v for k, v in (slide() | keys).items() if v is not None}
    timing, _ = time_panels(scene().panels, Fraction(24), 2)
    spans, faults = time_moves(scene(moves=[document]), timing)
    assert spans == {}
    assert [fault.path for fault in faults] == [("moves", 0, key)]


def test_what_a_move_would_do_after_the_end_of_the_scene_is_not_laid() -> None:
    """Its values take no room; how far it gets in time is as if they did."""
    found = exposed(moves=[slide(positions=36_000, to=[36_000, 0])])
    assert found.faults == ()
    assert len(found.sheet.rows) == 18
    assert [row.poses["coin"]["x"] for row in found.sheet.rows] == pytest.approx(range(1, 19))
    assert found.sheet.reports == ("slide of coin runs 71964 frames past the end of the scene",)


@pytest.mark.parametrize("backwards", [False, True])
def test_a_long_chain_of_moves_is_timed_whatever_order_it_is_written_in(backwards: bool) -> None:
    count = 5000
    moves = [slide(name=f"m{i}", positions=1) | ({"after": f"m{i - 1}"} if i else {}) for i in range(count)]
    written = list(reversed(moves)) if backwards else moves
    timing, _ = time_panels([Panel(name="one", seconds=600)], Fraction(24), 2)
    spans, faults = time_moves(scene(moves=written), timing)
    assert faults == []
    starts = [spans[i].start for i in range(count)]
    assert starts == [2 * i for i in (reversed(range(count)) if backwards else range(count))]


def test_what_comes_after_a_move_with_a_mistake_is_not_blamed_for_it() -> None:
    moves = [
        slide(name="a", panel="three"),
        slide(name="b", after="a"),
        slide(name="c", after="b"),
    ]
    assert [fault.path for fault in exposed(moves=moves).faults] == [("moves", 0, "panel")]


def test_moves_of_one_name_cannot_be_waited_for() -> None:
    moves = [slide(name="a"), slide(name="a", panel="two"), slide(name="b", after="a")]
    (fault,) = exposed(moves=moves).faults
    assert fault.path == ("moves", 2, "after")
    assert "2 moves are called 'a'" in fault.found
