"""place() is the only kinematics: its laws over random poses."""

from __future__ import annotations

from math import hypot, isclose

from hypothesis import given
from hypothesis import strategies as st
from tests.strategies import CUTOUTS, WALKER, angles, places, poses, sizes

from splitpin.character.character import Character
from splitpin.character.figure import assemble, lone
from splitpin.character.place import Placed, joints, pin_frame, place
from splitpin.measure.affine import Affine, move, stretch, turn

Pose = dict[str, float | bool | str]


def by_piece(placed: tuple[Placed, ...]) -> dict[str, Placed]:
    return {p.piece: p for p in placed}


def near(a: tuple[float, ...], b: tuple[float, ...], within: float = 1e-7) -> bool:
    return all(isclose(p, q, rel_tol=within, abs_tol=within) for p, q in zip(a, b, strict=True))


def test_a_lone_cutout_lies_with_its_middle_at_its_place_at_true_size() -> None:
    (coin,) = place(lone("coin", CUTOUTS["disc"]), {"x": 30.0, "y": -7.0}, who="coin")
    assert coin.matrix.apply(50, 50) == (30, -7)
    assert coin.matrix.apply(0, 0) == (20, 3)  # its top left corner: 100 pixels are 20 mm, and up is up
    assert (coin.who, coin.piece, coin.cutout) == ("coin", "piece", "disc")


@given(pose=poses(shifted=False))
def test_every_piece_lies_pin_on_pin(pose: Pose) -> None:
    placed = by_piece(place(WALKER, pose))
    shown = joints(WALKER, pose)
    for name, piece in WALKER.character.pieces.items():
        if piece.on is not None:
            holder, pin = piece.on.split(".")
            spot = shown[holder].axes.apply(*shown[holder].showing.hooks[pin])
            assert near(placed[name].pin, spot)


@given(pose=poses())
def test_the_matrix_takes_the_own_pin_of_the_shown_cutout_to_the_pin_on_the_table(pose: Pose) -> None:
    head = by_piece(place(WALKER, pose))["head"]
    pin = (20, 150) if pose["head.shows"] == "cross" else (15, 18)
    assert head.cutout == ("slip" if pose["head.shows"] == "cross" else "scrap")
    assert near(head.matrix.apply(*pin), head.pin)


@given(pose=poses(), x=places, y=places, angle=angles, size=sizes)
def test_a_figure_on_a_ride_lies_as_on_the_table_carried_along(
    pose: Pose, x: float, y: float, angle: float, size: float
) -> None:
    base = stretch(size).then(turn(angle)).then(move(x, y))
    for still, carried in zip(place(WALKER, pose), place(WALKER, pose, base), strict=True):
        assert near(carried.matrix, still.matrix.then(base), 1e-6)
        assert near(carried.pin, base.apply(*still.pin), 1e-6)


@given(pose=poses(), x=places, y=places, angle=angles)
def test_moving_and_turning_the_root_keeps_all_distances(
    pose: Pose, x: float, y: float, angle: float
) -> None:
    def gaps(placed: tuple[Placed, ...]) -> tuple[float, ...]:
        return tuple(hypot(a.pin[0] - b.pin[0], a.pin[1] - b.pin[1]) for a in placed for b in placed)

    assert near(gaps(place(WALKER, pose)), gaps(place(WALKER, pose | {"x": x, "y": y, "angle": angle})), 1e-6)


@given(pose=poses(), by=sizes)
def test_scale_multiplies_everything_about_the_root_pin(pose: Pose, by: float) -> None:
    root = (float(pose["x"]), float(pose["y"]))
    larger = place(WALKER, pose | {"scale": float(pose["scale"]) * by})
    for small, large in zip(place(WALKER, pose), larger, strict=True):
        wanted = (root[0] + (small.pin[0] - root[0]) * by, root[1] + (small.pin[1] - root[1]) * by)
        assert near(large.pin, wanted, 1e-6)
        assert isclose(large.matrix.determinant, small.matrix.determinant * by * by, rel_tol=1e-9)


@given(pose=poses())
def test_a_flipped_figure_is_its_mirror_image_about_the_upright_through_its_root(pose: Pose) -> None:
    pose = pose | {"angle": 0.0}
    for left, right in zip(
        place(WALKER, pose | {"flip": False}), place(WALKER, pose | {"flip": True}), strict=True
    ):
        assert near((left.pin[0] + right.pin[0], left.pin[1]), (2 * float(pose["x"]), right.pin[1]))
        assert isclose(left.matrix.determinant, -right.matrix.determinant, rel_tol=1e-9)


@given(pose=poses())
def test_pieces_come_in_the_stacking_order_of_the_character(pose: Pose) -> None:
    assert [p.piece for p in place(WALKER, pose)] == WALKER.character.order


@given(pose=poses())
def test_a_hidden_piece_is_gone_and_what_hangs_on_it_stays(pose: Pose) -> None:
    whole = by_piece(place(WALKER, pose))
    rest = by_piece(place(WALKER, pose | {"head.hidden": True}))
    assert "head" not in rest
    assert rest["jaw"] == whole["jaw"]
    assert place(WALKER, pose | {"hidden": True}) == ()


@given(pose=poses(), dx=st.floats(-30, 30), dy=st.floats(-30, 30))
def test_a_shift_off_the_pin_runs_along_the_axes_of_the_holder(pose: Pose, dx: float, dy: float) -> None:
    pose = pose | {"jaw.x": 0.0, "jaw.y": 0.0}
    rest = by_piece(place(WALKER, pose))["jaw"].pin
    shifted = by_piece(place(WALKER, pose | {"jaw.x": dx, "jaw.y": dy}))["jaw"].pin
    a, b, c, d, _, _ = joints(WALKER, pose)["head"].axes
    assert near((shifted[0] - rest[0], shifted[1] - rest[1]), Affine(a, b, c, d).apply(dx, dy), 1e-6)


@given(pose=poses(), by=st.floats(-20, 20))
def test_turning_a_piece_leaves_its_pin_and_turns_what_hangs_on_it(pose: Pose, by: float) -> None:
    pose = pose | {"flip": False}
    before = by_piece(place(WALKER, pose))
    after = by_piece(place(WALKER, pose | {"head.angle": float(pose["head.angle"]) + by}))
    assert near(before["head"].pin, after["head"].pin)
    turned = (after["jaw"].angle - before["jaw"].angle - by + 180) % 360 - 180
    assert isclose(turned, 0, abs_tol=1e-6)
    assert before["left"] == after["left"]


@given(pose=poses())
def test_a_rider_is_carried_by_the_pin_it_rides_on(pose: Pose) -> None:
    frame = pin_frame(WALKER, pose, "body", "neck")
    assert near((frame.e, frame.f), by_piece(place(WALKER, pose))["head"].pin)


def test_levels_of_a_piece_and_its_figure_add() -> None:
    placed = by_piece(place(WALKER, {"level": 2.0, "head.level": 0.5}))
    assert (placed["head"].level, placed["jaw"].level) == (2.5, 2.0)


def test_a_character_hangs_together_whatever_the_order_its_pieces_are_written_in() -> None:
    pieces = dict(reversed(list(WALKER.character.pieces.items())))
    again = assemble("walker", Character(format=1, pieces=pieces, order=WALKER.character.order), CUTOUTS)
    assert place(again, {}) == place(WALKER, {})
