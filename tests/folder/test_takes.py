"""Takes are named by the first frame of their exposure; the highest number counts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.folder.takes import Take, best, file_name, read_name


@given(st.integers(0, 999_999), st.integers(1, 9999), st.sampled_from([".png", ".jpg", ".TIF"]))
def test_a_name_written_is_read_again(frame: int, number: int, ending: str) -> None:
    name = file_name(frame, number, ending)
    assert read_name("010-wall", name) == Take(frame, number, f"takes/010-wall/{name}")


@pytest.mark.parametrize(
    "name", ["34.png", "000034-1.png", "000034-02.png", "000034.txt", "000034", "x000034.png", "٠٠٠٠٣٤.png"]
)
def test_other_names_are_not_takes(name: str) -> None:
    assert read_name("010-wall", name) is None


def test_the_highest_number_counts() -> None:
    takes = [Take(4, 10, "c"), Take(4, 2, "b"), Take(0, 1, "a")]
    assert best(takes) == {0: Take(0, 1, "a"), 4: Take(4, 10, "c")}
