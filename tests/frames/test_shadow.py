"""The shadow that a piece throws, from the paper's thickness and the lamp's place."""

from __future__ import annotations

from math import cos, radians, sin, tan

import numpy as np
import pytest
from tests.pictures import Real, light_of, piece

from splitpin.frames.canvas import Canvas
from splitpin.frames.kept import Kept
from splitpin.frames.look import PaperLook
from splitpin.frames.pyramid import Pyramid
from splitpin.frames.shadow import ROOM, Shadows, softened
from splitpin.measure.affine import stretch, turn
from splitpin.measure.table import Stage, View

STAGE = Stage(200, 160, 100.0)
WHITE = Pyramid.of(np.full((20, 20, 4), 255, np.uint8))
SQUARE = piece("white", stretch(0.5, -0.5)._replace(e=-5.0, f=5.0))


def darkness(look: PaperLook, view: View | None = None) -> Real:
    canvas = Canvas(STAGE, {"white": WHITE}, look, "#ffffff")
    canvas.draw((SQUARE,), view or STAGE.whole())
    return np.asarray(1 - light_of(canvas.rgb[..., 0]))


def middle(dark: Real) -> tuple[float, float]:
    ys, xs = np.mgrid[: dark.shape[0], : dark.shape[1]] + 0.5
    return float((dark * xs).sum() / dark.sum()), float((dark * ys).sum() / dark.sum())


@pytest.mark.parametrize(("angle", "lamp_from", "lift"), [(45, 135, 17), (30, 135, 12), (60, 10, 20)])
def test_a_shadow_falls_at_lift_over_tangent_away_from_the_lamp(
    angle: float, lamp_from: float, lift: float
) -> None:
    """Plane trigonometry: offset = lift / tan(lamp's elevation). The lift is so high that it lies clear."""
    look = PaperLook(
        shadows=True, thickness_mm=lift, lamp_angle=angle, lamp_from=lamp_from, depth=1.0, lamp_width_mm=10.0
    )
    x, y = middle(darkness(look))
    away = lift / tan(radians(angle)) * 2  # two pixels a millimetre
    expected = (100 - away * cos(radians(lamp_from)), 80 + away * sin(radians(lamp_from)))
    assert (x, y) == pytest.approx(expected, abs=0.1)


def test_a_shadow_turns_with_the_table_not_with_the_piece() -> None:
    look = PaperLook(shadows=True, thickness_mm=15.0, depth=1.0, lamp_width_mm=10.0)
    shadows = Shadows({"white": WHITE}, look)
    turned = SQUARE.matrix.then(turn(90))
    moved = shadows.matrix(turned)
    assert (moved.e - turned.e, moved.f - turned.f) == pytest.approx(look.offset(15.0))
    tilted = middle(darkness(look, View(0, 0, 100, 90)))
    level = middle(darkness(look))
    dx, dy = level[0] - 100, level[1] - 80
    assert (tilted[0] - 100, tilted[1] - 80) == pytest.approx((-dy, dx), abs=0.1)


def test_the_soft_edge_is_as_wide_as_the_penumbra() -> None:
    """S·t/(D - t), similar triangles: a lamp 100 mm wide at 1000 mm, lift 10 mm: 1.0101 mm (calculated)."""
    look = PaperLook(shadows=True, lamp_width_mm=100.0, lamp_distance_mm=1000.0)
    assert look.penumbra(10.0) == pytest.approx(1.0101, abs=1e-4)
    edge = np.repeat([[0] * 20 + [255] * 20], 40, axis=0).astype(np.uint8)
    ramp = softened(edge, 6.5)[20, :32] / 255
    assert ramp.sum() == pytest.approx(12, abs=1e-5)
    assert np.count_nonzero(np.diff(ramp)) == 7
    assert np.diff(ramp).max() == pytest.approx(1 / 6.5, abs=1e-5)


def test_depth_says_how_much_light_the_shadow_takes() -> None:
    look = PaperLook(shadows=True, thickness_mm=17.0, depth=0.4, lamp_width_mm=10.0)
    assert darkness(look).max() == pytest.approx(0.4, abs=0.005)


def test_a_shadow_is_made_once_and_again_only_for_another_softness() -> None:
    shadows = Shadows({"white": WHITE}, PaperLook(shadows=True, thickness_mm=15.0))
    assert shadows.of("white", 2.0) is shadows.of("white", 2.0)
    sizes = {shadows.blur(stretch(0.02 + 0.0001 * i)) for i in range(200)}
    assert len(sizes) <= 3


def test_without_shadows_nothing_is_made_for_them() -> None:
    plain, shadowed = (Canvas(STAGE, {"white": WHITE}, PaperLook(shadows=s)) for s in (False, True))
    for canvas in (plain, shadowed):
        canvas.draw((SQUARE,), STAGE.whole())
    assert plain.work.pieces == 1
    assert shadowed.work.pieces == 2


def test_all_who_are_told_where_shadows_are_kept_share_them_and_nobody_else_does() -> None:
    look = PaperLook(shadows=True)
    darker = look.model_copy(update={"depth": look.depth / 2})
    kept, pictures = Kept(ROOM), {"white": WHITE}
    first, second, other = (Shadows(pictures, look, k) for k in (kept, kept, None))
    assert first.of("white", 2.0) is second.of("white", 2.0)
    assert first.of("white", 4.0) is not first.of("white", 2.0)
    assert Shadows(pictures, darker, kept).of("white", 2.0) is not first.of("white", 2.0)
    assert other.of("white", 2.0) is not first.of("white", 2.0)


def test_a_piece_that_grows_keeps_no_more_shadows_than_there_is_room_for() -> None:
    """A new one has no levels yet, so that what is kept may pass the limit by those of one shadow."""
    look = PaperLook(shadows=True, thickness_mm=15.0)
    frames, rooms = [], []
    for limit in (ROOM, 20_000):
        kept = Kept(limit)
        canvas = Canvas(STAGE, {"white": WHITE}, look, shadows=kept)
        for i in range(60):
            size = stretch(0.05 * 1.1**i)
            canvas.draw((piece("white", size),), STAGE.whole())
            frames.append(canvas.rgb.copy())
        rooms.append(kept.room)
    assert rooms[0] > 80_000
    assert rooms[1] < 40_000
    assert np.array_equal(frames[:60], frames[60:])
