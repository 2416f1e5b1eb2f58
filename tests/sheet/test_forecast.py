"""The forecast tells what is wrong with scenes of which that is known, and nothing of those without a fault.

The scenes are made in ``tests/foreseen.py``; ``benchmarks/forecast.py`` measures all of them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from tests.foreseen import MAKERS, STAGE, alive, disc, known, made, strewn, things
from tests.uncovered_truth import open_by_drawing
from tests.warned import TOLD, warned

from splitpin.sheet.forecast import KINDS, forecast
from splitpin.sheet.forecast.holes import uncovered
from splitpin.sheet.forecast.known import Foreseen, Known
from splitpin.sheet.forecast.limits import Limits
from splitpin.sheet.forecast.outlines import hull

SAMPLE = 12


def test_every_kind_is_measured() -> None:
    assert list(MAKERS) == list(KINDS)


@pytest.mark.parametrize("kind", MAKERS)
def test_each_fault_is_told_with_its_exposure_and_what_to_do(kind: str) -> None:
    for n in range(SAMPLE):
        scene = made(kind, n, True)
        told = forecast(scene)
        assert {one.kind for one in told} == {kind}, n
        row = next(row for row in scene.sheet.rows if row.frame == told[0].frame)
        assert all((told[0].found, told[0].expected, told[0].remedy))
        if told[0].box is not None:
            left, bottom, right, top = told[0].box
            assert (left < right, bottom < top) == (True, True)
            x, y = STAGE.to_pixels(row.view).apply((left + right) / 2, (bottom + top) / 2)
            # What is told of is in the picture, with its middle or at least a part.
            assert -STAGE.width / 4 < x < STAGE.width * 5 / 4
            assert -STAGE.height / 4 < y < STAGE.height * 5 / 4


@pytest.mark.parametrize("kind", MAKERS)
def test_nothing_is_told_of_a_scene_without_a_fault(kind: str) -> None:
    for n in range(SAMPLE):
        assert forecast(made(kind, n, False)) == (), n


@pytest.mark.parametrize("kind", TOLD)
def test_what_a_check_warns_of_is_seen_as_surely(kind: str) -> None:
    assert all(warned(kind, n, True) for n in range(SAMPLE))
    assert not any(warned(kind, n, False) for n in range(SAMPLE))


@pytest.mark.parametrize("n", [0, 1, 2, 4, 5])
def test_the_holes_are_those_that_drawn_frames_have_pixel_by_pixel(n: int) -> None:
    scene = strewn(np.random.default_rng(n))
    drawn, ours = open_by_drawing(scene), uncovered(scene)
    assert drawn.half.any()
    assert not (drawn.surely & ~ours).any()
    assert not (ours & ~drawn.perhaps).any()


def test_the_holes_are_exactly_those_of_drawn_frames_where_edges_are_hard() -> None:
    for n in range(8):
        scene = made("holes", n, True)
        assert (uncovered(scene) == open_by_drawing(scene).half).all()


def test_a_hole_is_as_large_as_the_one_that_was_torn() -> None:
    """Geometry: of a hole of 16 by 12 mm a card that slides 10 mm to the right bares 10 by 12."""
    its = things()
    its.alphas["ground"] = its.alphas["ground"].copy()
    its.alphas["ground"][164:176, 272:288] = 0
    its.alphas["card"] = its.alphas["card"][:24, :32]
    scene = alive(2.0, card={"cutout": "card"})
    scene["moves"] += [{"move": "slide", "who": "card", "by": [10, 0], "seconds": 1.5}]
    told = only(known(scene, its), "holes")
    assert told.figures["hole_mm2"] == pytest.approx(120, abs=12)
    assert told.box == pytest.approx((-8, -6, 2, 6), abs=1.0)


def test_a_table_that_is_shown_on_purpose_is_no_hole() -> None:
    scene = alive(2.0, card={"cutout": "card"})
    del scene["background"]
    scene["moves"] += [{"move": "slide", "who": "card", "by": [30, 0], "seconds": 1.5}]
    assert kinds(known(scene, things())) == []


def test_a_background_too_small_for_a_pan_leaves_its_edge_in_the_picture() -> None:
    scene = alive(3.0)
    scene["moves"] += [{"move": "pan", "who": "view", "by": [100, 0], "seconds": 3.0}]
    told = only(known(scene, things()), "holes")
    assert told.frame >= 66
    assert told.box is not None
    assert told.box[0] == pytest.approx(280, abs=1.0)


def test_a_gap_is_as_wide_as_the_joints_of_the_character_say() -> None:
    """The wedge that a straight end leaves: half its angle times the square of the radius."""
    scene = made("gaps", 3, True)
    told = only(scene, "gaps")
    angle, area = float(told.figures["angle"]), float(told.figures["gap_mm2"])
    radius = 20 * 0.5  # half the width of the limb
    assert area == pytest.approx(np.radians(abs(angle)) / 2 * radius**2, rel=0.1)


def test_a_joint_behind_another_piece_is_not_told() -> None:
    scene = made("gaps", 3, True)
    document = scene.scene.model_dump(exclude_unset=True)
    limb = document["cast"]["limb"]
    document["cast"]["card"] = {"cutout": "card", "x": limb["x"], "y": limb["y"], "scale": 5.0}
    its = things()
    its.alphas.update(scene.alphas)
    its.mm.update({"upper": 0.5, "lower": 0.5})
    its.characters["limb"] = {"format": 1, "pieces": scene.figures["limb"].character.model_dump()["pieces"]}
    assert "gaps" not in kinds(known(document, its))


def test_a_pan_just_slower_or_quicker_than_strobing_is_let_pass() -> None:
    """0.1 in a frame is even, 0.25 in reads as a zip, of a field 12 in wide: published numbers."""
    assert panned(0.099 / 12) == []
    assert panned(0.105 / 12) == ["strobe"]
    assert panned(0.24 / 12) == ["strobe"]
    assert panned(0.255 / 12) == []


def panned(share: float) -> list[str]:
    steps = 12
    scene = alive(2.0) | {"view": {"width_mm": 200.0, "x": -60}}
    by = share * 200 * steps
    scene["cast"]["mote"] |= {"x": -60 + by, "y": 35}
    move = {"move": "pan", "who": "view", "by": [by, 0], "positions": steps, "on": 1, "ease": "even"}
    scene["moves"] += [move]
    return kinds(known(scene, things()))


def test_who_walks_on_a_ground_that_goes_by_slides_by_as_much() -> None:
    """Six positions a step: the foot that stands through one sees the ground go by for six of them."""
    scene = alive(2.5, cat={"character": "puppet", "x": -60, "y": -40})
    walk = {
        "move": "walk",
        "who": "cat",
        "by": [60, 0],
        "feet": ["left", "right"],
        "steps": 4,
        "positions": 24,
    }
    ground = {"move": "slide", "who": "background", "by": [24, 0], "positions": 24, "ease": "even"}
    scene["moves"] += [walk, ground]
    assert float(only(known(scene, things()), "feet").figures["slid_mm"]) == pytest.approx(6, abs=0.01)


def test_what_moves_out_of_the_picture_does_not_make_a_hold_alive() -> None:
    scene = alive(3.0, card={"cutout": "card"})
    scene["cast"]["mote"] |= {"x": 400}
    assert kinds(known(scene, things())) == ["still"]


def test_limits_are_settings() -> None:
    scene = made("still", 1, True)
    assert set(kinds(scene)) == {"still"}
    assert kinds(Known(**(vars_of(scene) | {"limits": Limits(hold_seconds=5.0)}))) == []


def test_held_exposures_do_not_shift_the_moves_that_are_made_of_jumps() -> None:
    scene = alive(4.0, card={"cutout": "card"})
    scene["panels"][0]["holds"] = [{"frame": 2, "longer": 12}]
    flutter = {"move": "flutter", "who": "card", "mm": 60.0, "start": 1.0, "seconds": 1.5}
    scene["moves"][0]["seconds"] = 3.5
    scene["moves"] += [flutter]
    assert kinds(known(scene, things())) == []


def test_the_hull_of_a_disc_is_as_wide_as_the_disc() -> None:
    around = hull(disc(40))
    assert np.ptp(around, axis=0).tolist() == [40.0, 40.0]
    assert hull(np.zeros((4, 5), np.uint8)).shape == (0, 2)


def test_a_scene_in_which_nothing_lies_is_told_of_nothing() -> None:
    document: dict[str, Any] = {"panels": [{"name": "one", "seconds": 3}]}
    assert forecast(known(document, things())) == ()


def only(scene: Known, kind: str) -> Foreseen:
    told = [one for one in forecast(scene) if one.kind == kind]
    assert len(told) == 1, told
    return told[0]


def kinds(scene: Known) -> list[str]:
    return [one.kind for one in forecast(scene)]


def vars_of(scene: Known) -> dict[str, Any]:
    return {name: getattr(scene, name) for name in Known.__dataclass_fields__}
