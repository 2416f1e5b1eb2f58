"""Splitting at joints: nothing changes at rest, and no gap opens while a joint turns."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.pictures import Real, reference

from splitpin.character.character import faults_of
from splitpin.character.figure import Figure, assemble
from splitpin.character.jointed import jointed
from splitpin.character.place import place
from splitpin.cutout.coverage import coverage
from splitpin.cutout.curves import fit_closed, flatten
from splitpin.cutout.cut import edges
from splitpin.cutout.cutout import Cutout
from splitpin.cutout.ink import ink
from splitpin.cutout.mistake import CutError
from splitpin.cutout.split import Inked, Parts, remade, split
from splitpin.cutout.split_recipe import SplitRecipe
from splitpin.frames.canvas import draw_row
from splitpin.frames.pyramid import Pyramid
from splitpin.measure.table import Stage
from splitpin.sheet.sheet import Row

Rgba = NDArray[np.uint8]
Lines = list[list[tuple[float, float]]]
PAPER = (255, 0, 255)
STAGE = Stage(220, 200, 220.0)
"""One pixel is one millimetre."""


def textured(alpha: NDArray[np.uint8], seed: int = 0) -> Rgba:
    """Grey and green stripes and grain: nothing like the paper."""
    ys, xs = np.indices(alpha.shape)
    grain = np.random.default_rng(seed).integers(0, 40, alpha.shape)
    grey = 90 + 60 * ((xs + 2 * ys) // 9 % 2) + grain
    return np.dstack([grey // 2, grey, grey // 3, alpha]).astype(np.uint8)


def limb(half: float = 22.0) -> Rgba:
    """A straight limb, 150 long, in a picture of 170 by 100; its axis is the row 50."""
    corners = np.array([(10, 50 - half), (160, 50 - half), (160, 50 + half), (10, 50 + half)], float)
    return textured(np.rint(coverage([corners], 170, 100) * 255).astype(np.uint8))


def figure_with_two_arms() -> Rgba:
    corners = [(20, 40), (60, 20), (110, 30), (165, 60), (160, 85), (112, 70), (115, 120), (150, 160),
               (130, 170), (95, 140), (60, 150), (30, 140)]  # fmt: skip
    line = np.array(corners, float)
    dense = np.concatenate([np.linspace(a, b, 20, endpoint=False)
                            for a, b in zip(line, np.roll(line, -1, axis=0), strict=True)])  # fmt: skip
    loop = flatten(fit_closed(dense, 3.0), 0.05)
    return textured(np.rint(coverage([loop], 180, 180) * 255).astype(np.uint8))


TWO: Lines = [[(120, 20), (118, 92)], [(88, 165), (135, 115)]]


def figure_of(found: Parts) -> tuple[Figure, dict[str, Pyramid]]:
    character = jointed(found, {p.name: p.name for p in found.parts}, 90)
    assert faults_of(character) == []
    cutouts = {p.name: Cutout(p.name, p.box[2], p.box[3], 1.0) for p in found.parts}
    return assemble("whole", character, cutouts), {p.name: Pyramid.of(p.rgba) for p in found.parts}


def at_home(found: Parts) -> dict[str, float | str | bool]:
    """Where the root must lie for each pixel of the cut-out to fall on a pixel of the frame."""
    x, y, w, h = found.parts[0].box
    return {"x": 20 + x + w / 2 - 110, "y": 100 - (10 + y + h / 2)}


def drawn(found: Parts, **angles: float) -> NDArray[np.uint8]:
    figure, pictures = figure_of(found)
    pose = at_home(found) | {f"{name}.angle": angle for name, angle in angles.items()}
    return draw_row(Row(0, 1, place(figure, pose), STAGE.whole(), ""), STAGE, pictures, None, "#ff00ff")


def alone(rgba: Rgba) -> NDArray[np.uint8]:
    """The cut-out by itself, in the same place."""
    frame = np.full((200, 220, 3), PAPER, np.float64)
    height, width = rgba.shape[:2]
    alpha = rgba[..., 3:] / 255
    part = frame[10 : 10 + height, 20 : 20 + width]

    def light(v: Real) -> Real:
        v = v / 255
        return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)

    mixed = light(rgba[..., :3].astype(float)) * alpha + light(part) * (1 - alpha)
    signal = np.where(mixed <= 0.0031308, mixed * 12.92, 1.055 * mixed ** (1 / 2.4) - 0.055)
    part[:] = signal * 255
    return np.rint(frame).astype(np.uint8)


def shows_paper(frame: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Where more than a trace of paper shows; no texture here has so much red and blue."""
    return np.asarray((frame[..., 0] > 140) | (frame[..., 2] > 120))


@pytest.mark.parametrize("under", [(), ("arm",), ("arm", "leg")])
def test_at_rest_the_pieces_look_as_the_cutout_did(under: tuple[str, ...]) -> None:
    rgba = figure_with_two_arms()
    found = split(rgba, TWO, ["body", "arm", "leg"], under)
    difference = np.abs(drawn(found).astype(int) - alone(rgba))
    assert difference.max() <= 1
    assert {p.name: p.holder for p in found.parts} == {"body": None, "arm": "body", "leg": "body"}
    assert all((found.order.index(p) < found.order.index("body")) == (p in under) for p in ("arm", "leg"))


@given(st.floats(-0.6, 0.6), st.floats(60, 100), st.booleans())
@settings(max_examples=4, deadline=None)
def test_no_gap_opens_in_the_joint_over_its_whole_range(slant: float, x: float, below: bool) -> None:
    rgba = limb()
    line = [(x - 40 * slant, 10.0), (x + 40 * slant, 90.0)]
    found = split(rgba, [line], ["body", "arm"], ["arm"] if below else [])
    arm = found.parts[1]
    assert arm.pin is not None
    px, py = arm.pin
    ys, xs = np.indices((200, 220)) + 0.5
    dx, dy = xs - (px + 20), ys - (py + 10)
    for angle in range(-90, 91, 15):
        paper = shows_paper(drawn(found, arm=float(angle)))
        t = radians(angle if arm.holder == "body" else -angle)
        c, s = np.cos(t), np.sin(t)
        # The overlap, as it lies at rest and as it is turned with the arm; y is down here.
        for u, v in ((dx, dy), (c * dx - s * dy, s * dx + c * dy)):
            inside = (np.hypot(u, v) < arm.radius - 1) & (np.abs(v + py - 50) < 22 - 3)
            assert not (paper & inside).any(), f"turned by {angle}"


def test_a_limb_cut_straight_across_keeps_a_round_joint() -> None:
    found = split(limb(), [[(80, 10), (80, 90)]], ["body", "arm"])
    ys, xs = np.indices((200, 220)) + 0.5
    disc = np.hypot(xs - 100, ys - 60) < 22 - 3.5
    for angle in range(-90, 91, 10):
        assert not (shows_paper(drawn(found, arm=float(angle))) & disc).any()


def test_without_the_overlap_a_gap_would_have_opened() -> None:
    found = split(limb(), [[(80, 10), (80, 90)]], ["body", "arm"])
    bare = []
    for part, keep in zip(found.parts, (slice(None, 80), slice(80, None)), strict=True):
        rgba, (left, _, width, _) = part.rgba.copy(), part.box
        columns = np.arange(left, left + width)
        rgba[:, ~np.isin(columns, np.arange(170)[keep]), 3] = 0
        bare.append(part._replace(rgba=rgba))
    ys, xs = np.indices((200, 220)) + 0.5
    disc = np.hypot(xs - 100, ys - 60) < 18
    assert (shows_paper(drawn(Parts(tuple(bare), found.order), arm=60.0)) & disc).sum() > 50


@pytest.mark.parametrize("angle", [0.0, 37.0, -80.0])
def test_the_turned_pieces_are_what_a_compositor_in_float64_draws(angle: float) -> None:
    found = split(limb(), [[(80, 10), (80, 90)]], ["body", "arm"])
    figure, _ = figure_of(found)
    placed = place(figure, at_home(found) | {"arm.angle": angle})
    exact = reference(placed, {p.name: p.rgba for p in found.parts}, STAGE, STAGE.whole(), 255)
    ys, xs = np.indices((200, 220)) + 0.5
    disc = np.hypot(xs - 100, ys - 60) < 22 - 3.5
    assert exact[disc].max() < 225  # white paper is 255; the brightest of the texture is 190


def face() -> Rgba:
    """A round face, 120 wide, in a picture of 140 by 140."""
    t = np.linspace(0, 2 * np.pi, 200, endpoint=False)
    disc = np.stack([70 + 60 * np.cos(t), 70 + 60 * np.sin(t)], axis=1)
    return textured(np.rint(coverage([disc], 140, 140) * 255).astype(np.uint8))


MOUTH: Lines = [[(0, 84), (70, 96), (140, 90)]]


def beside_the_mouth(away: float) -> NDArray[np.float64]:
    """How far each row of the frame lies below the line of the mouth, pixels, where it is more than this."""
    ys, xs = np.indices((200, 220)) + 0.5
    below = ys - 10 - np.interp(xs - 20, *np.transpose(MOUTH[0]))
    return np.where(np.abs(below) > away, below, np.nan)


def test_a_jaw_at_rest_changes_nothing_but_a_fine_line_along_the_mouth() -> None:
    rgba = face()
    found = split(rgba, MOUTH, ["head", "jaw"], drop=["jaw"])
    difference = np.abs(drawn(found).astype(int) - alone(rgba)).max(axis=-1)
    assert difference[~np.isnan(beside_the_mouth(3))].max() <= 1
    assert found.order == ("jaw", "head")


@pytest.mark.parametrize("mm", [6.0, 15.0, 30.0])
def test_a_dropped_jaw_opens_on_black_and_leaves_nothing_of_the_face_above_it(mm: float) -> None:
    found = split(face(), MOUTH, ["head", "jaw"], drop=["jaw"])
    figure, pictures = figure_of(found)
    pose = at_home(found) | {"jaw.y": -mm}
    frame = draw_row(Row(0, 1, place(figure, pose), STAGE.whole(), ""), STAGE, pictures, None, "#ff00ff")
    below = beside_the_mouth(0)
    columns = np.abs(np.indices((200, 220))[1] - 90) < 45
    gap = columns & (below > 2) & (below < mm - 2)
    assert gap.any()
    assert frame[gap].max() <= 40  # black paper: neither the face nor the magenta table


def test_nothing_of_the_head_hangs_below_the_line_of_a_jaw_that_drops() -> None:
    found = split(face(), MOUTH, ["head", "jaw"], drop=["jaw"])
    head = next(p for p in found.parts if p.name == "head")
    ys, xs = np.nonzero(head.rgba[..., 3])
    line = np.interp(xs + 0.5 + head.box[0], *np.transpose(MOUTH[0]))
    assert (ys + head.box[1] - line).max() < 3


def test_what_is_grown_is_the_pieces_own_texture() -> None:
    rgba = limb()
    rgba[:, :80, :3] = (200, 60, 20)
    rgba[:, 80:, :3] = (20, 60, 200)
    found = split(rgba, [[(80, 10), (80, 90)]], ["arm", "body"])
    lower = next(p for p in found.parts if p.name == found.order[0])
    seen = lower.rgba[lower.rgba[..., 3] == 255][:, :3]
    own = (200, 60, 20) if lower.box[0] < 20 else (20, 60, 200)
    core = np.abs(seen.astype(int) - own).max(axis=1) <= 2
    assert core.mean() > 0.97  # but for the pixels on the line itself


def test_the_pin_is_the_middle_of_the_cut() -> None:
    arm = split(limb(), [[(80, 10), (80, 90)]], ["body", "arm"]).parts[1]
    assert arm.pin == pytest.approx((80, 50), abs=0.5)
    assert arm.radius == pytest.approx(23, abs=1)


def bust() -> Rgba:
    """A head on a neck 20 wide, from row 60 to 100, over shoulders that spread to either side from there."""
    corners = [(65, 10), (115, 10), (115, 60), (100, 60), (100, 100), (150, 118), (150, 170), (30, 170),
               (30, 118), (80, 100), (80, 60), (65, 60)]  # fmt: skip
    return textured(np.rint(coverage([np.array(corners, float)], 180, 180) * 255).astype(np.uint8))


@settings(max_examples=12, deadline=None)
@given(st.floats(104, 107), st.floats(-2, 2))
def test_a_line_across_the_top_of_the_shoulders_moves_to_the_neck(row: float, slant: float) -> None:
    rgba = bust()
    found = split(rgba, [[(45, row - slant), (135, row + slant)]], ["body", "head"])
    head = next(p for p in found.parts if p.name == "head")
    assert head.pin is not None
    assert abs(head.pin[0] - 90) < 2
    assert 96 < head.pin[1] < row - 1
    # The neck is 20 wide, so its round is 10 and a pixel; a line as drawn would be 30 wide and more.
    assert head.radius < 14
    for angle in (-40, 40):
        turned = drawn(found, head=angle)
        body = alone(rgba)[125:]
        assert (np.abs(turned[125:].astype(int) - body) <= 2).all(), "the head carried off some of the body"


@pytest.mark.parametrize("drop", [[], ["jaw"]])
def test_a_line_stays_where_it_is_drawn_on_a_limb_that_tapers_and_for_a_jaw(drop: list[str]) -> None:
    corners = np.array([(10, 10), (160, 30), (160, 70), (10, 90)], float)
    taper = textured(np.rint(coverage([corners], 170, 100) * 255).astype(np.uint8))
    whole = bust() if drop else taper
    line = [(45.0, 105.0), (135.0, 105.0)] if drop else [(60.0, 0.0), (60.0, 100.0)]
    found = split(whole, [line], ["rest", "jaw"], drop=drop)
    pin = found.parts[1].pin
    assert pin is not None
    assert pin[1 if drop else 0] == line[0][1 if drop else 0]


@settings(max_examples=12, deadline=None)
@given(st.floats(20, 80), st.floats(-3, 3))
def test_a_line_across_what_runs_to_a_tip_stays_where_it_is_drawn(high: float, off: float) -> None:
    corners = np.array([(90, 90 - high), (170, 90), (90, 90 + high), (10, 90)], float)
    found = split(textured(np.rint(coverage([corners], 180, 180) * 255).astype(np.uint8)),
                  [[(5, 90 + off), (175, 90 + off)]], ["lower", "upper"])  # fmt: skip
    assert found.moved == ()
    pin = found.parts[1].pin
    assert pin is not None
    assert abs(pin[1] - 90 - off) < 0.01


def test_a_line_that_moves_moves_little_and_is_told_and_stays_when_that_is_said() -> None:
    lines: Lines = [[(45, 106), (135, 106)]]
    found = split(bust(), lines, ["body", "head"])
    ((line, (right, down)),) = found.moved
    assert line == 0
    assert right == 0
    assert -9 < down < 0
    drawn_pin = split(bust(), lines, ["body", "head"], as_drawn=True)
    assert drawn_pin.moved == ()
    assert drawn_pin.parts[1].pin == pytest.approx((90, 106), abs=0.2)


def inked_face(mm: float = 3.0) -> Rgba:
    """The face with its edge blackened, a millimetre a pixel."""
    return ink(face(), mm, 1.0)


@pytest.mark.parametrize("inked", [None, Inked(3.0, 25.4)])
def test_paper_that_is_grown_ends_in_a_smooth_line_within_the_outline(inked: Inked | None) -> None:
    found = split(face(), [[(60, 0), (66, 140)]], ["right", "left"], inked=inked)
    lower = next(p for p in found.parts if p.name == found.order[0])
    assert lower.name == "right"
    loop = max(edges(lower.rgba[..., 3]), key=len) + lower.box[:2]
    far = np.hypot(*(loop - 70).T)
    grown = loop[:, 0] < 55
    assert grown.sum() > 10
    # The face has a radius of 60; its grown part lies a pixel and a half within.
    assert np.abs(far[grown] - 58.5).max() < 0.5


def test_paper_that_is_grown_has_ink_along_its_edge_as_the_rest_and_none_in_its_middle() -> None:
    rgba = inked_face()
    line: Lines = [[(60, 0), (66, 140)]]
    found = split(rgba, line, ["right", "left"], inked=Inked(3.0, 25.4))
    assert np.abs(drawn(found).astype(int) - alone(rgba)).max() <= 1  # at rest nothing of it shows
    lower = next(p for p in found.parts if p.name == found.order[0])
    ys, xs = np.nonzero(lower.rgba[..., 3] == 255)
    light = lower.rgba[ys, xs, :3].max(axis=1)
    x, y = xs + lower.box[0] + 0.5, ys + lower.box[1] + 0.5
    deep = 58.5 - np.hypot(x - 70, y - 70)
    grown = x < 52
    assert light[grown & (deep < 1.5)].max() < 40
    assert light[grown & (deep > 6)].min() > 60


def test_ink_and_lines_as_drawn_are_made_again() -> None:
    rgba, line = inked_face(), [(60.0, 0.0), (66.0, 140.0)]
    first = split(rgba, [line], ["right", "left"], as_drawn=True, inked=Inked(3.0, 25.4))
    for part in first.parts:
        recipe = SplitRecipe(kind="split", cutout="face", piece=part.name, lines=[line], as_drawn=True,
                             names=["right", "left"], ink_mm=3.0, ink_ppi=25.4)  # fmt: skip
        assert (remade(rgba, recipe).rgba == part.rgba).all()


def test_a_chain_of_joints_hangs_each_on_the_one_before() -> None:
    lines: Lines = [[(70, 10), (70, 90)], [(120, 10), (120, 90)]]
    found = split(limb(10.0), lines, ["upper", "lower", "hand"])
    assert {p.name: p.holder for p in found.parts} in (
        {"upper": None, "lower": "upper", "hand": "lower"},
        {"upper": None, "lower": "upper", "hand": "upper"},
    )


@pytest.mark.parametrize("drop", [[], ["arm"]])
def test_a_recipe_makes_the_same_piece_again(drop: list[str]) -> None:
    rgba = limb()
    line = [(80.0, 10.0), (86.0, 90.0)]
    first = split(rgba, [line], ["body", "arm"], seed=5, drop=drop)
    for part in first.parts:
        recipe = SplitRecipe(kind="split", cutout="limb", piece=part.name, lines=[line],
                             names=["body", "arm"], drop=drop, seed=5)  # fmt: skip
        again = remade(rgba, recipe)
        assert (again.rgba == part.rgba).all()
        assert again.box == part.box


def ring() -> Rgba:
    t = np.linspace(0, 2 * np.pi, 200, endpoint=False)
    loops = [np.stack([85 + r * np.cos(t), 50 + r * np.sin(s * t)], axis=1) for r, s in ((45, 1), (20, -1))]
    return textured(np.rint(coverage(loops, 170, 100) * 255).astype(np.uint8))


@pytest.mark.parametrize(
    ("rgba", "lines", "said"),
    [
        (limb(), [[(5, 5), (165, 5)]], "misses the piece"),
        (limb(), [[(80, 10), (80, 50)]], "an end inside the piece"),
        (limb(), [[(80, 50), (80, 90)]], "an end inside the piece"),
        (limb(), [[(80, 10), (80, 90), (120, 90), (120, 10)]], "crosses the piece 2 times"),
        (limb(), [[(60, 10), (100, 90)], [(100, 10), (60, 90)]], "meets line 1"),
        (limb(), [[(80, 10), (80, 60), (60, 60), (60, 40), (100, 40), (100, 90)]], "crosses itself"),
        (limb(), [[(80, 10)]], "1 points"),
        (limb(), [[(80, 10), (80, 10)]], "points"),
        (limb(), [[(80, -5000), (80, 90)]], "far outside"),
        (limb(), [[(80, float("nan")), (80, 90)]], "far outside"),
        (limb(), [], "names|lines"),
        (ring(), [[(85, -3), (85, 50)]], "leaves the piece in one"),
        (ring(), [[(85, -3), (85, 50)], [(85, 50), (85, 103)]], "leave the piece in one|pieces"),
        (np.zeros((20, 20, 4), np.uint8), [[(0, 10), (20, 10)]], "not transparent"),
    ],
)
def test_lines_that_part_nothing_are_refused(rgba: Rgba, lines: Lines, said: str) -> None:
    with pytest.raises(CutError, match=said):
        split(rgba, lines, [f"piece{k}" for k in range(len(lines) + 1)])


@pytest.mark.parametrize(
    ("names", "under", "said"),
    [
        (["a"], [], "1 for 1 line"),
        (["a", "b", "c"], [], "3 for 1 line"),
        (["a", "a"], [], "'a' twice"),
        (["a", "b"], ["c"], "'c'"),
        (["a", "b"], ["a"], "'a'"),
    ],
)
def test_names_that_do_not_fit_are_refused(names: list[str], under: list[str], said: str) -> None:
    with pytest.raises(CutError, match=said):
        split(limb(), [[(80, 10), (80, 90)]], names, under)


def test_only_a_piece_that_hangs_on_another_can_drop() -> None:
    with pytest.raises(CutError, match="'body'"):
        split(limb(), [[(80, 10), (80, 90)]], ["body", "arm"], drop=["body"])


def test_a_tiny_piece_can_be_split() -> None:
    found = split(textured(np.full((4, 8), 255, np.uint8)), [[(4, -1), (4, 5)]], ["a", "b"])
    assert [p.rgba.shape[1] >= 3 for p in found.parts] == [True, True]
