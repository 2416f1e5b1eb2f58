"""Channels written by hand."""

from __future__ import annotations

import pytest
from tests.strategies import WALKER, WALKER_DOCUMENT

from splitpin.character.channels import read_channels
from splitpin.character.pose import channels_of, flatten

KNOWN = channels_of(WALKER_DOCUMENT)


def test_tables_in_tables_are_channels() -> None:
    assert dict(flatten({"x": 1, "head": {"angle": 2, "shows": "cross"}})) == {
        "x": 1,
        "head.angle": 2,
        "head.shows": "cross",
    }


def test_good_values_are_read_and_whole_numbers_become_numbers() -> None:
    good, faults = read_channels({"x": 1, "head": {"shows": "cross"}, "flip": True}, KNOWN, WALKER, ())
    assert good == {"x": 1.0, "head.shows": "cross", "flip": True}
    assert isinstance(good["x"], float)
    assert not faults


@pytest.mark.parametrize(
    ("table", "remedy"),
    [
        ({"head": {"angel": 3}}, "did you mean head.angle?"),
        ({"head": {"shows": "crss"}}, "did you mean cross?"),
        ({"x": "3"}, "write a plain number, without quotes"),
        ({"x": True}, "write a plain number, without quotes"),
        ({"x": float("nan")}, "write a plain number, without quotes"),
        ({"flip": 1}, "write true or false, without quotes"),
        ({"scale": 0}, "to take a piece away, set hidden = true"),
        ({"x": [1]}, "write a plain number, without quotes"),
    ],
)
def test_a_bad_value_is_a_fault_with_a_remedy(table: dict[str, object], remedy: str) -> None:
    good, (fault,) = read_channels(table, KNOWN, WALKER, ("pose",))
    assert not good
    assert fault.remedy == remedy
    assert fault.path[0] == "pose"
