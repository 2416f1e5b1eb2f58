"""What an exposure shows, and what its card says."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from splitpin.film.exposures import exposures
from splitpin.measure.table import Stage
from splitpin.scene.scene import Panel, Scene
from splitpin.sheet.sheet import Row, Sheet


def words(**said: Any) -> tuple[str, ...]:
    panel = Panel(name="opening", frames=2, **said)
    row = Row(0, 2, (), Stage(16, 16, 1.0).whole(), "opening")
    sheet = Sheet("010-wall", Fraction(24), 2, "#ffffff", (row,), (), (), (("opening", 0, 2),))
    [shown] = exposures(sheet, Scene(format=1, panels=(panel,)), {})
    assert shown.kind == "card"
    return tuple(word for word in shown.words if word)


@pytest.mark.parametrize(
    ("said", "seen"),
    [
        ({}, ("opening",)),
        ({"action": "A cat."}, ("opening", "A cat.")),
        ({"says": "Mrow?"}, ("opening", "“Mrow?”")),
        ({"says": "Mrow?", "speaker": "cat"}, ("opening", "cat: “Mrow?”")),
        ({"speaker": "cat"}, ("opening",)),
        (
            {"action": "A cat.", "says": "Mrow?", "speaker": "cat", "sound": "clink"},
            ("opening", "A cat.", "cat: “Mrow?”", "clink"),
        ),
    ],
)
def test_a_card_says_what_happens_who_speaks_and_what_is_heard(
    said: dict[str, str], seen: tuple[str, ...]
) -> None:
    assert words(**said) == seen
