"""Which picture an exposure shows."""

from __future__ import annotations

import pytest

from splitpin.frames.best import Best, best


@pytest.mark.parametrize(
    ("shot", "pieces", "drawing", "expected"),
    [
        (True, True, True, Best("shot", 8)),
        (True, False, False, Best("shot", 8)),
        (False, True, True, Best("drawn")),
        (False, True, False, Best("drawn")),
        (False, False, True, Best("board")),
        (False, False, False, Best("card")),
    ],
)
def test_shot_goes_over_drawn_over_board_over_card(
    shot: bool, pieces: bool, drawing: bool, expected: Best
) -> None:
    shots = {2, 8} if shot else {2, 10}
    assert best(8, shots, pieces, drawing) == expected
