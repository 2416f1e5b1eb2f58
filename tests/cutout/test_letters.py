"""Words become cut-outs: to their size, evenly broken, the same each time."""

from __future__ import annotations

import tracemalloc
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFont

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.kerning import kerning
from splitpin.cutout.letters import broken, set_letters
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.cutout.mistake import CutError
from splitpin.device.stills import card_font

FONT = card_font()


def recipe(text: str, **said: object) -> LettersRecipe:
    return LettersRecipe.model_validate({"kind": "letters", "text": text, "ppi": 100.0, **said})


@given(st.floats(2, 30))
@settings(max_examples=20, deadline=None)
def test_capitals_are_as_high_as_asked(size: float) -> None:
    alpha = set_letters(recipe("H", size_mm=size), FONT).rgba[..., 3] / 255
    # A stem thinner than a pixel covers none wholly, however high it is.
    high = (alpha.max(axis=1) / alpha.max()).sum() * MM_PER_INCH / 100
    assert abs(high - size) < 0.35  # a pixel is 0.254 mm


@given(
    st.text("AVTáoßжλ., \n", min_size=1, max_size=60).filter(lambda t: bool(t.strip())),
    st.sampled_from([None, "#f4e9c8"]),
    st.sampled_from(["straight", "torn"]),
    st.integers(0, 3),
)
@settings(max_examples=25, deadline=None)
def test_the_same_recipe_gives_the_same_picture_and_every_letter_is_inside_it(
    text: str, paper: str | None, edge: str, seed: int
) -> None:
    made = recipe(text, size_mm=4.0, paper=paper, edge=edge, seed=seed, widest_mm=60.0)
    first, second = set_letters(made, FONT), set_letters(made, FONT)
    assert (first.rgba == second.rgba).all()
    assert first.missing == ""
    assert " ".join(first.lines).split() == text.split()
    if paper is None:
        ink = first.rgba[..., 3]
        assert not ink[0].any()
        assert not ink[-1].any()
        assert not ink[:, 0].any()
        assert not ink[:, -1].any()


def test_lines_are_broken_into_lines_of_much_the_same_width() -> None:
    text = "The cat who would not pay for a coffee that he never drank"
    lines = set_letters(recipe(text, size_mm=5.0, widest_mm=120.0), FONT).lines
    assert len(lines) >= 2
    assert max(map(len, lines)) - min(map(len, lines)) <= 10


class Counting(ImageFont.FreeTypeFont):
    """A face that counts the letters it measures."""

    measured = 0

    def getlength(self, text: Any, *more: Any, **said: Any) -> float:
        self.measured += len(text)
        return super().getlength(text, *more, **said)


def counting(size: int) -> Counting:
    return Counting(BytesIO(FONT), size, layout_engine=ImageFont.Layout.BASIC)


def as_many_as_fit(words: list[str], room: float) -> list[str]:
    """Lines, each measured as a whole after every word."""
    face, lines = counting(60), [words[0]]
    for word in words[1:]:
        longer = f"{lines[-1]} {word}"
        if face.getlength(longer) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


@given(
    st.lists(st.text("AVTaoWy.,L", min_size=1, max_size=7), min_size=1, max_size=30), st.floats(1.0, 1500.0)
)
@settings(max_examples=60, deadline=None)
def test_no_line_is_wider_than_its_room_and_there_are_no_more_than_need_be(
    words: list[str], room: float
) -> None:
    face = counting(60)
    lines = broken(" ".join(words), face, room)
    assert " ".join(lines).split() == words
    assert all(face.getlength(line) <= room or " " not in line for line in lines)
    assert len(lines) == len(as_many_as_fit(words, room))


@pytest.mark.parametrize("room", [300.0, 3000.0, 1e6])
def test_breaking_measures_each_word_once_however_many_there_are(room: float) -> None:
    face = counting(20)
    words = [f"{'abcdefg'[: n % 7 + 1]}{n}" for n in range(2000)]
    text = " ".join(words)
    broken(text, face, room)
    assert face.measured <= 2 * len(text)


def test_each_letter_is_looked_for_in_the_font_once_however_often_it_stands_there(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[str] = []

    def lacks(_: object, letter: str) -> bool:
        asked.append(letter)
        return letter == "b"

    monkeypatch.setattr("splitpin.cutout.letters._lacks", lacks)
    assert set_letters(recipe("ab ba b"), card_font()).missing == "b"
    assert asked == ["a", "b"]


def test_pairs_of_letters_are_kerned() -> None:
    def wide(text: str) -> int:
        return int(set_letters(recipe(text, size_mm=20.0), FONT).rgba.shape[1])

    assert wide("AVAVA") < wide("AAAVV") - 5


def test_kerning_is_the_font_s_own() -> None:
    # read with another engine (HarfBuzz through Pillow, size 1000): AV 1304.1875 against 684.078 + 684.078,
    # To 1052.734 against 1222.656
    closer = kerning(FONT)
    assert closer("A", "V") == pytest.approx(-0.064, abs=0.0005)
    assert closer("T", "o") == pytest.approx(-0.170, abs=0.0005)
    assert closer("H", "H") == 0
    assert kerning(b"nonsense")("A", "V") == 0


def test_letters_that_a_font_lacks_are_named() -> None:
    assert set_letters(recipe("漢A字漢"), FONT).missing == "漢字"
    assert set_letters(recipe("שלום"), FONT).backwards
    assert set_letters(recipe("Ελληνικά, Русский, Čeština — “œ”"), FONT).missing == ""


@pytest.mark.parametrize("mark", ["\u00ad", "\u200b", "\u200d", "\u2060", "\ufeff"])
def test_marks_that_only_tell_how_to_set_leave_no_gap(mark: str) -> None:
    plain, marked = (set_letters(recipe(t), FONT) for t in ("coffee", f"{mark}cof{mark}fee{mark}"))
    assert marked.lines == ("coffee",)
    assert (marked.rgba == plain.rgba).all()


def test_a_control_character_parts_words() -> None:
    assert set_letters(recipe("a\tcup"), FONT).lines == ("a cup",)


def test_a_torn_edge_is_clear_outside_lighter_at_its_rim_and_another_with_another_seed() -> None:
    torn = set_letters(recipe("I", paper="#806040", edge="torn", margin_mm=15.0), FONT).rgba
    assert not torn[0, :, 3].any()
    assert not torn[:, -1, 3].any()
    height, width = torn.shape[:2]
    # inward along a row until the paper begins, then a little further
    row = torn[height // 2]
    first = int(np.nonzero(row[:, 3] == 255)[0][0])
    assert row[first, :3].mean() > row[width // 4, :3].mean() + 30
    other = set_letters(recipe("I", paper="#806040", edge="torn", margin_mm=15.0, seed=1), FONT).rgba
    assert (other != torn).any()


@pytest.mark.parametrize("edge", ["straight", "torn"])
def test_paper_takes_little_more_memory_than_its_picture(edge: str) -> None:
    made = recipe("OPEN", size_mm=60.0, paper="#f4e9c8", edge=edge, margin_mm=120.0)
    tracemalloc.start()
    try:
        rgba = set_letters(made, FONT).rgba
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    pixels = rgba.shape[0] * rgba.shape[1]
    assert pixels > 2_000_000
    # The picture is 4 bytes a pixel, its ink and each of three kinds of unevenness 4; the rest is a strip.
    assert most < 40 * pixels


@pytest.mark.parametrize(
    ("said", "where"), [({"text": " \n "}, "text"), ({"text": "A", "size_mm": 0.001}, "size_mm")]
)
def test_what_cannot_be_set_is_refused(said: dict[str, object], where: str) -> None:
    with pytest.raises(CutError) as refused:
        set_letters(recipe("A").model_copy(update=said), FONT)
    assert refused.value.where == where


def test_what_is_no_font_is_refused() -> None:
    with pytest.raises(CutError, match="no font"):
        set_letters(recipe("A"), b"not a font")
