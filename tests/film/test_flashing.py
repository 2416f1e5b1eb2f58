"""Screening for flashes against the published rules.

Sources: WCAG 2.2 SC 2.3.1 and its definitions; ITU-R BT.1702-3; verdicts of the sequences at 30 frames a
second from the public test media jbjord/pse-test-media (BSD-3).
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray

from splitpin.film.flashing import Kind, Seen, Verdict, advice, grid, screened
from splitpin.measure.light import luminance

ROWS, COLUMNS = 36, 64
Picture = NDArray[np.uint8]


def levels(text: str) -> list[int]:
    """``64,109x5`` as 64, 109, 109, 109, 109, 109."""
    found: list[int] = []
    for part in text.split(","):
        level, _, count = part.partition("x")
        found += [int(level)] * int(count or 1)
    return found


def full(colour: int | tuple[int, int, int]) -> Picture:
    return np.full((ROWS, COLUMNS, 3), colour, np.uint8)


def film(pictures: list[Picture], rate: int | Fraction = 30) -> Verdict:
    frames = [Seen(picture, n / Fraction(rate)) for n, picture in enumerate(pictures)]
    return screened(frames, len(pictures) / Fraction(rate))


def greys(values: list[int], rate: int | Fraction = 30) -> Verdict:
    return film([full(value) for value in values], rate)


def kinds(verdict: Verdict) -> set[Kind]:
    return {span.kind for span in verdict.spans}


@pytest.mark.parametrize(
    ("sequence", "passes"),
    [
        ("64,109,64,109,64,109,64,109x25", False),
        ("64,108,64,108,64,108,64,108x25", True),
        ("64,109,64,109,64,109,64x26", True),
        ("64,109x5,64x5,109x5,64x5,109x4,64x5,109x4", False),
        ("64,109x5,64x5,109x5,64x5,109x5,64x5,109x3", True),
        ("64,109,139,64x8,139,109,64x8,109,139,109,64x6,109,139,64x2", False),
        (",".join(["108", "138"] * 15), False),
        (",".join(["108", "136"] * 15), True),
    ],
)
def test_public_sequences_of_greys_have_their_verdicts(sequence: str, passes: bool) -> None:
    assert greys(levels(sequence)).passed is passes


@pytest.mark.parametrize(
    ("rate", "hold", "passes"),
    [
        (24, 4, True),
        (25, 4, False),
        (24, 3, False),
        (24, 2, False),
        (25, 5, True),
        (30, 5, True),
        (30, 4, False),
    ],
)
def test_a_whole_picture_that_alternates_passes_from_so_many_frames_on(
    rate: int, hold: int, passes: bool
) -> None:
    assert greys([255 * (n // hold % 2) for n in range(4 * rate)], rate).passed is passes


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ((101, 34, 34), (9, 63, 63), {"red"}),
        ((255, 0, 0), (128, 128, 128), {"red"}),
        ((255, 0, 0), (255, 128, 0), {"general"}),
    ],
)
def test_pairs_with_a_saturated_red(
    one: tuple[int, int, int], other: tuple[int, int, int], expected: set[Kind]
) -> None:
    assert kinds(film([full((one, other)[n % 2]) for n in range(30)])) == expected


def level_of(light: float) -> int:
    """The grey whose luminance is nearest."""
    return int(np.argmin(np.abs(luminance(np.arange(256)[:, None].repeat(3, 1) / 255) - light)))


def patch(share: float, level: int, under: int = 60) -> Picture:
    """A patch that takes that share of one field, in a corner of the picture."""
    wide, high = round(COLUMNS / 3), round(ROWS / 3)
    picture = full(under)
    flat = picture[:high, :wide].reshape(-1, 3).copy()
    flat[: round(share * wide * high)] = level
    picture[:high, :wide] = flat.reshape(high, wide, 3)
    return picture


RATES = [24, 25, 30]


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("base", [0.05, 0.3, 0.6])
@pytest.mark.parametrize(("change", "passes"), [(0.09, True), (0.11, False)])
def test_from_a_tenth_of_full_luminance_on(rate: int, base: float, change: float, passes: bool) -> None:
    assert greys([level_of(base), level_of(base + change)] * rate, rate).passed is passes


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(("darker", "passes"), [(0.79, False), (0.81, True)])
def test_only_where_the_darker_is_below_four_fifths(rate: int, darker: float, passes: bool) -> None:
    assert greys([level_of(darker), 255] * rate, rate).passed is passes


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("low", [0, 100])
@pytest.mark.parametrize(("share", "passes"), [(0.24, True), (0.26, False)])
def test_from_a_quarter_of_a_field_on(rate: int, low: int, share: float, passes: bool) -> None:
    pictures = [patch(share, (low, 255)[n % 2], low) for n in range(2 * rate)]
    assert film(pictures, rate).passed is passes


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(("share", "passes"), [(0.22, True), (0.28, False)])
def test_small_areas_that_are_scattered_add_up(rate: int, share: float, passes: bool) -> None:
    # Every field has the same share: its cells are numbered through a pattern that repeats 21 by 12 cells.
    order = np.random.default_rng(7).permutation(21 * 12).reshape(12, 21)
    chosen = np.tile(order < round(share * 21 * 12), (3, 4))[:ROWS, :COLUMNS]
    pictures = [
        np.where(chosen, 255 * (n % 2), 0).astype(np.uint8)[..., None].repeat(3, 2) for n in range(2 * rate)
    ]
    assert film(pictures, rate).passed is passes


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(("changes", "passes"), [(6, True), (7, False)])
@pytest.mark.parametrize("hold", [1, 2])
def test_the_seventh_change_is_one_too_many(rate: int, changes: int, hold: int, passes: bool) -> None:
    values = [255 * (min(n // hold, changes) % 2) for n in range(3 * rate)]
    assert greys(values, rate).passed is passes


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(("frames_short", "passes"), [(0, True), (1, False)])
def test_the_seventh_change_a_whole_second_after_the_first_passes(
    rate: int, frames_short: int, passes: bool
) -> None:
    turns = [round(n * rate / 6) for n in range(7)]
    turns[6] = rate - frames_short
    values = [255 * (sum(n - 1 >= turn for turn in turns) % 2) for n in range(3 * rate)]
    assert greys(values, rate).passed is passes


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize(
    ("red", "expected"), [((255, 0, 0), {"red"}), ((120, 20, 20), {"red"}), ((150, 85, 85), set())]
)
def test_red_counts_from_four_fifths_of_the_light_on(
    rate: int, red: tuple[int, int, int], expected: set[Kind]
) -> None:
    same = level_of(float(luminance(np.array(red) / 255)))
    assert kinds(film([full((red, (same,) * 3)[n % 2]) for n in range(2 * rate)], rate)) == expected


def texture(seed: int) -> NDArray[np.float64]:
    """Bricks and grass of a kind: strong edges of every size."""
    random = np.random.default_rng(seed)
    wall = np.zeros((240, 600))
    for size in (3, 8, 20, 50):
        wall += np.kron(random.random((240 // size + 1, 600 // size + 1)), np.ones((size, size)))[:240, :600]
    return np.asarray((wall - wall.min()) / (wall.max() - wall.min()))


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("step", [0.5, 1.0, 2.0])
def test_a_pan_over_strong_edges_is_no_flash(seed: int, step: float) -> None:
    wall, rows, columns = texture(seed), 120, 213
    pictures = []
    for n in range(96):
        at = int(step * (n // 2) * 2)
        pictures.append(np.rint(wall[20 : 20 + rows, at : at + columns, None] * [255] * 3).astype(np.uint8))
    assert film(pictures, 24).passed


@pytest.mark.parametrize("seed", range(4))
def test_noise_and_a_trembling_camera_are_no_flash(seed: int) -> None:
    random = np.random.default_rng(seed)
    wall = texture(seed)
    pictures = []
    for _ in range(72):
        y, x = random.integers(0, 4, 2)
        grain = random.normal(0, 6, (120, 213, 1))
        pictures.append(
            np.clip(wall[y : y + 120, x : x + 213, None] * 255 + grain, 0, 255).repeat(3, 2).astype(np.uint8)
        )
    assert film(pictures, 24).passed


@pytest.mark.parametrize("rate", RATES)
def test_slow_fades_and_single_cuts_are_no_flash(rate: int) -> None:
    fade = [round(127.5 - 127.5 * np.cos(2 * np.pi * n / rate)) for n in range(4 * rate)]
    cuts = [(40, 220, 90, 250)[n // rate % 4] for n in range(4 * rate)]
    assert greys(fade, rate).passed
    assert greys(cuts, rate).passed


def test_a_rise_and_fall_over_several_frames_is_one_change_each() -> None:
    ramp = [0, 60, 120, 180, 255, 180, 120, 60]
    verdict = greys(ramp * 8, 30)
    assert not verdict.passed
    assert max(verdict.flashes["general"]) in (7, 8)


def test_a_span_says_where_it_begins_ends_and_is_worst() -> None:
    verdict = greys([90] * 30 + [0, 255] * 15 + [90] * 60)
    (span,) = verdict.spans
    assert (span.kind, span.first, span.last) == ("general", 30, 60)
    assert (span.start, span.end) == (Fraction(1), Fraction(61, 30))
    assert span.share == 1.0
    assert 36 <= span.worst <= 60
    assert verdict.flashes["general"].shape == (120,)


def test_two_spans_a_second_and_more_apart_stay_two() -> None:
    verdict = greys([0, 255] * 8 + [90] * 60 + [0, 255] * 8 + [90] * 60)
    assert [span.first for span in verdict.spans] == [1, 77]


def test_time_counts_and_not_frames() -> None:
    """At 23.976 frames a second on fours the seventh change comes after 1.001 s."""
    assert greys([255 * (n // 4 % 2) for n in range(96)], Fraction(24000, 1001)).passed
    times = [Fraction(n, 24) if n < 24 else Fraction(1) + Fraction(n - 24, 60) for n in range(80)]
    frames = [Seen(full(255 * (n // 4 % 2)), time) for n, time in enumerate(times)]
    assert not screened(frames, times[-1]).passed


def test_advice_is_given_where_something_was_found() -> None:
    assert advice(greys([0] * 10), Fraction(24)) == ()
    assert "4 frames" in advice(greys([0, 255] * 24, 24), Fraction(24))[0]
    assert "5 frames" in advice(greys([0, 255] * 24, 25), Fraction(25))[0]


def test_cells_of_pictures_of_any_size() -> None:
    assert grid(1920, 1080) == (320, 180)
    assert grid(64, 36) == (64, 36)
    assert grid(1, 1) == (1, 1)
    one = [Seen(np.full((1, 1, 3), 255 * (n % 2), np.uint8), Fraction(n, 24)) for n in range(24)]
    assert not screened(one, Fraction(1)).passed
    assert screened([], Fraction(0)).passed
