"""Exposures are shared out whole, and nothing is lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from splitpin.motion.spacing import blend, ends_of, ratio, share, through

weights = st.lists(st.floats(0.1, 20), min_size=1, max_size=20)


@given(count=st.integers(1, 500), weights=weights, least=st.integers(0, 2))
def test_parts_add_up_exactly_and_each_has_its_least(count: int, weights: list[float], least: int) -> None:
    parts = share(count, weights, least)
    assert sum(parts) == count
    assert min(parts) >= (least if count >= least * len(weights) else 0)


@given(count=st.integers(1, 500), weights=weights)
def test_no_part_is_a_whole_exposure_off_its_due(count: int, weights: list[float]) -> None:
    for part, weight in zip(share(count, weights), weights, strict=True):
        assert abs(part - count * weight / sum(weights)) < 1 + 1e-6


@given(counts=st.lists(st.integers(0, 9), min_size=1, max_size=9), data=st.data())
def test_values_reach_each_point_exactly_at_the_end_of_its_part(
    counts: list[int], data: st.DataObject
) -> None:
    points = data.draw(st.lists(st.floats(-100, 100), min_size=len(counts) + 1, max_size=len(counts) + 1))
    values = through(points, counts, ["slow-in-out"] * len(counts))
    assert len(values) == sum(counts)
    for count, end, point in zip(counts, ends_of(counts), points[1:], strict=True):
        assert not count or values[end] == point


def test_a_blend_ends_exactly_and_a_ratio_has_equal_ratios() -> None:
    assert blend(0.1, 0.3, [1.0]) == [0.3]
    assert ratio(1.0, 8.0, [1 / 3, 2 / 3, 1.0])[2] == 8.0
    assert [round(size, 9) for size in ratio(1.0, 8.0, [1 / 3, 2 / 3, 1.0])] == [2, 4, 8]
