"""Pieces are pinned otherwise, and whatever is not meant stays where it lies."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.character.character import Character, Piece, Replacement, faults_of
from splitpin.character.figure import assemble
from splitpin.character.pinning import PinError, added, begun, hung, laid, pinned, replaced, without
from splitpin.character.place import place
from splitpin.cutout.cutout import Cutout

CUTOUTS = {
    "torso": Cutout("torso", 200, 300, 0.2),
    "arm": Cutout("arm", 60, 160, 0.25),
    "hand": Cutout("hand", 50, 50, 0.3),
    "fist": Cutout("fist", 100, 40, 0.3),
}
FIGURE = Character(
    format=1,
    pieces={
        "body": Piece(cutout="torso", pin="seat", pins={"seat": (100, 280), "shoulder": (30, 60)}, angle=3),
        "arm": Piece(
            cutout="arm", on="body.shoulder", pin="top", pins={"top": (30, 20), "wrist": (31, 150)}, angle=70,
            scale=1.2, limits=(-10, 40),
        ),
        "hand": Piece(cutout="hand", on="arm.wrist", angle=-12),
        "badge": Piece(cutout="fist", on="body.seat"),
    },
    order=["arm", "body", "hand", "badge"],
)  # fmt: skip
places = st.tuples(st.floats(-80, 80), st.floats(-80, 80))


def lying(character: Character) -> dict[str, tuple[float, ...]]:
    """Each piece's matrix at rest, about the place of the root's own picture."""
    return {one.piece: tuple(one.matrix) for one in place(assemble("x", character, CUTOUTS), {})}


def same(a: Character, b: Character, but: tuple[str, ...] = ()) -> None:
    assert faults_of(b) == []
    before, after = lying(a), lying(b)
    for piece in before.keys() & after.keys() - set(but):
        assert after[piece] == pytest.approx(before[piece], abs=2e-3), piece


def test_a_piece_hung_on_another_stays_where_it_lies() -> None:
    found = hung(FIGURE, CUTOUTS, "hand", "body")
    assert found.pieces["hand"].on == "body.hand"
    same(FIGURE, found)
    again = hung(found, CUTOUTS, "hand", "arm")
    same(FIGURE, again)
    # Back on the body it takes the pin that it left there.
    assert hung(again, CUTOUTS, "hand", "body").pieces["body"].pins.keys() == found.pieces["body"].pins.keys()


@given(places)
def test_a_pin_goes_through_the_place_that_was_clicked_and_the_piece_stays(at: tuple[float, float]) -> None:
    found = pinned(FIGURE, CUTOUTS, "arm", at)
    same(FIGURE, found)
    figure = assemble("x", found, CUTOUTS)
    turned = {one.piece: one for one in place(figure, {"arm.angle": 33.0})}
    assert turned["arm"].pin == pytest.approx(at, abs=2e-3)


@given(places)
def test_a_piece_laid_elsewhere_takes_what_hangs_on_it_along(at: tuple[float, float]) -> None:
    found = laid(FIGURE, CUTOUTS, "arm", at)
    same(FIGURE, found, but=("arm", "hand"))
    before, after = lying(FIGURE), lying(found)
    by = [tuple(a - b for a, b in zip(after[p], before[p], strict=True)) for p in ("arm", "hand")]
    assert by[0] == pytest.approx(by[1], abs=2e-3)
    pins = {one.piece: one.pin for one in place(assemble("x", found, CUTOUTS), {})}
    assert pins["arm"] == pytest.approx(at, abs=2e-3)


def test_laying_a_piece_that_hangs_on_its_holders_own_pin_leaves_the_holder_alone() -> None:
    found = laid(FIGURE, CUTOUTS, "badge", (10, 10))
    same(FIGURE, found, but=("badge",))
    assert found.pieces["badge"].on == "body.badge"


def test_what_hung_on_a_piece_that_is_taken_away_hangs_on_its_holder() -> None:
    found = without(FIGURE, CUTOUTS, "arm")
    same(FIGURE, found)
    assert found.order == ["body", "hand", "badge"]
    assert found.pieces["hand"].on == "body.hand"


def test_a_new_piece_lies_with_its_middle_where_it_was_laid_and_on_top() -> None:
    found = added(FIGURE, CUTOUTS, "hat", "hand", (5, 40))
    same(FIGURE, found)
    top = place(assemble("x", found, CUTOUTS), {})[-1]
    assert top.piece == "hat"
    assert top.matrix.apply(25, 25) == pytest.approx((5, 40), abs=2e-3)


def test_a_replacement_has_its_pins_as_far_across_and_down() -> None:
    found = replaced(FIGURE, CUTOUTS, "arm", "fist", "fist")
    same(FIGURE, found)
    arm = found.pieces["arm"]
    assert arm.shows == "arm"
    assert arm.set["arm"] == Replacement(cutout="arm")
    assert arm.set["fist"].pins["top"] == pytest.approx((50, 5))


def test_a_figure_begins_with_two_cutouts() -> None:
    found = begun({"body": "torso", "arm": "arm", "hand": "hand"}, CUTOUTS, "Somebody")
    assert faults_of(found) == []
    assert [one.piece for one in place(assemble("x", found, CUTOUTS), {})] == ["body", "arm", "hand"]


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (lambda: begun({"body": "torso"}, CUTOUTS), "1 pieces"),
        (lambda: added(FIGURE, CUTOUTS, "arm", "arm", (0, 0)), "second piece"),
        (lambda: laid(FIGURE, CUTOUTS, "body", (0, 0)), "carries all others"),
        (lambda: without(FIGURE, CUTOUTS, "body"), "carries all others"),
        (lambda: hung(FIGURE, CUTOUTS, "body", "arm"), "carries all others"),
        (lambda: hung(FIGURE, CUTOUTS, "arm", "hand"), "hangs on 'arm' itself"),
        (lambda: hung(FIGURE, CUTOUTS, "leg", "arm"), "no piece 'leg'"),
        (lambda: replaced(replaced(FIGURE, CUTOUTS, "arm", "fist", "fist"), CUTOUTS, "arm", "fist", "hand"),
         "second 'fist'"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words(action: object, words: str) -> None:
    with pytest.raises(PinError, match=words):
        action()  # type: ignore[operator]
