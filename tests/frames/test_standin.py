"""Stand-ins: cards with words, and pictures fitted into the frame."""

from __future__ import annotations

from io import BytesIO
from unicodedata import category, normalize

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import ImageFont
from tests.pictures import light_of, noise

from splitpin.device.stills import card_font
from splitpin.frames import standin
from splitpin.frames.standin import PAPER, fit
from splitpin.measure.table import Stage

STAGE = Stage(320, 180, 400.0)
FONT = card_font()
unicode = st.text(st.characters(codec=None), max_size=60)


def card(stage: Stage, title: str, *lines: str) -> NDArray[np.uint8]:
    return standin.card(stage, title, *lines, font=FONT)


@given(unicode, st.lists(unicode, max_size=3))
@settings(max_examples=40)
def test_a_card_takes_any_words(title: str, lines: list[str]) -> None:
    assert card(STAGE, title, *lines).shape == (180, 320, 3)


@pytest.mark.parametrize("size", [(16, 16), (16, 2000), (2000, 16), (64, 36)])
def test_a_card_takes_any_frame(size: tuple[int, int]) -> None:
    frame = card(Stage(*size, 400.0), "A title", "and words below it", "word " * 300)
    assert frame.shape == (size[1], size[0], 3)


def ink(frame: NDArray[np.uint8]) -> NDArray[np.bool_]:
    return np.asarray(frame.max(axis=2) < 100)


def test_more_words_are_set_smaller_and_stay_on_the_card() -> None:
    few, many = ink(card(STAGE, "Exact Change")), ink(card(STAGE, "Exact Change", "coins roll " * 60))
    assert 0 < few.sum() < many.sum()
    for frame in (few, many):
        assert not frame[:15].any()
        assert not frame[-15:].any()
        assert not frame[:, :15].any()
        assert not frame[:, -15:].any()


def test_a_long_word_is_broken() -> None:
    marks = ink(card(STAGE, "m" * 200))
    assert marks.any()
    assert not marks[:, :15].any()
    assert not marks[:, -15:].any()


def test_a_card_is_paper_with_the_same_words_the_same_bits() -> None:
    frame = card(STAGE, "Words", "more")
    paper = [int(PAPER[i : i + 2], 16) for i in (1, 3, 5)]
    assert frame[20, 160].tolist() == paper
    assert (frame == card(STAGE, "Words", "more")).all()


def test_bytes_that_are_no_font_are_refused() -> None:
    with pytest.raises(ValueError, match="not a font"):
        standin.card(STAGE, "Words", font=b"nothing of the kind")


def test_the_font_has_the_letters_of_europe() -> None:
    """Latin with every accent, Greek (also of old) and Cyrillic: blocks of Unicode 15, chapter 7."""
    face = ImageFont.truetype(BytesIO(FONT), 24)
    lacking = bytes(face.getmask("\U0010ffff"))
    blocks = [(0x20, 0x250), (0x370, 0x526), (0x1E00, 0x1EFC), (0x1F00, 0x2000)]
    letters = [chr(n) for start, end in blocks for n in range(start, end) if category(chr(n))[0] == "L"]
    assert [hex(ord(c)) for c in letters if bytes(face.getmask(c)) == lacking] == []


@given(st.text("áçñőůŷāжйїґάώαβ ", min_size=1, max_size=20))
@settings(max_examples=20)
def test_an_accent_is_set_on_its_letter_however_it_was_typed(words: str) -> None:
    assert (card(STAGE, normalize("NFD", words)) == card(STAGE, normalize("NFC", words))).all()


@pytest.mark.parametrize("size", [(320, 180), (180, 180), (180, 320)])
def test_the_last_of_many_words_is_still_on_the_card(size: tuple[int, int]) -> None:
    stage = Stage(*size, 400.0)
    many = "coins roll along the wall " * 8
    assert (card(stage, "Words", many, "Mrow") != card(stage, "Words", many, "Meow")).any()


def test_words_that_nobody_reads_end_with_an_ellipsis() -> None:
    wide = Stage(640, 360, 400.0)
    assert (card(wide, "", "m" * 1000) != card(wide, "", "m" * 1001)).any()


def test_a_picture_of_the_frames_size_comes_back_as_it_is() -> None:
    picture = noise(320, 180, 1, opaque=True)
    assert (fit(picture, STAGE) == picture[..., :3]).all()
    assert (fit(picture[..., :3], STAGE) == picture[..., :3]).all()
    assert (fit(np.ascontiguousarray(picture[..., 0]), STAGE) == picture[..., :1]).all()


@pytest.mark.parametrize("size", [(1, 1), (1, 999), (999, 1), (100, 100), (4000, 500), (777, 1234)])
def test_a_picture_of_any_shape_lies_in_the_middle_as_large_as_fits(size: tuple[int, int]) -> None:
    frame = fit(np.zeros((size[1], size[0], 3), np.uint8), STAGE, "#ffffff")
    # Eight bits cannot tell the light beside a thin line to better than a twentieth of what the line takes.
    scale = min(320 / size[0], 180 / size[1])
    dark = 1 - light_of(frame[..., 0])
    assert dark.sum() == pytest.approx(size[0] * size[1] * scale**2, rel=0.05)
    assert (frame == frame[:, ::-1]).all()
    assert (frame == frame[::-1]).all()


def test_an_eight_thousand_pixel_picture_is_fitted_in_linear_light() -> None:
    """Black and white lines, equally wide, are half the light: 188 (IEC 61966-2-1: 187.5)."""
    lines = np.zeros((4320, 7680, 3), np.uint8)
    lines[:, ::2] = 255
    frame = fit(lines, STAGE)
    assert np.abs(frame[:, 10:-10].astype(int) - 188).max() <= 1


@pytest.mark.parametrize(
    "bad", [np.zeros((0, 5, 3), np.uint8), np.zeros((5, 5, 2), np.uint8), np.zeros((5, 5))]
)
def test_what_is_no_picture_is_refused(bad: NDArray[np.uint8]) -> None:
    with pytest.raises(ValueError, match="expected"):
        fit(bad, STAGE)
