"""What effects can be told is read from their functions, checked, and good from end to end."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splitpin.sound.effects import KIT
from splitpin.sound.effects.parameters import Parameter, about, parameters_of, read_settings
from splitpin.sound.loudness import measured
from splitpin.sound.source import SoundError

SHORT = {"seconds": 1.0, "every": 0.2, "people": 20, "sheets": 8}
"""How far tests go where an end would only take long."""

ENDS = [
    (kind, {p.name: p.kind(end if p.name not in SHORT else min(end, SHORT[p.name]))})
    for kind, effect in KIT.items()
    if kind != "music-bed"
    for p in parameters_of(effect)
    for end in p.bounds[:2]
]


@pytest.mark.parametrize("kind", KIT)
def test_every_effect_says_what_it_is_and_what_it_can_be_told(kind: str) -> None:
    assert about(KIT[kind]).endswith(".")
    parameters = parameters_of(KIT[kind])
    assert parameters[0].name == "seed"
    for p in parameters:
        assert p.about.endswith(".")
        assert p.bounds.low <= p.otherwise <= p.bounds.high


@pytest.mark.parametrize(("kind", "told"), ENDS)
def test_every_parameter_is_good_to_its_ends(kind: str, told: dict[str, float]) -> None:
    sound = KIT[kind](**told)
    assert np.isfinite(sound).all()
    assert measured([sound]).true_peak == pytest.approx(-3, abs=0.01)


PARAMETERS = [(kind, p) for kind, effect in KIT.items() for p in parameters_of(effect)]


@settings(max_examples=60)
@given(st.sampled_from(PARAMETERS), st.floats(0, 1))
def test_what_is_within_bounds_is_read_as_it_was_written(one: tuple[str, Parameter], share: float) -> None:
    kind, p = one
    low, high, _ = p.bounds
    value = p.kind(low + share * (high - low))
    words = ("no", "yes")[value] if isinstance(value, bool) else repr(value)
    assert read_settings(kind, KIT[kind], {p.name: words}) == {p.name: value}


@pytest.mark.parametrize("words", ["", "loud", "nan", "inf", "-1", "1e9", "29", "401", "0x40"])
def test_what_is_no_value_within_bounds_is_refused_with_what_was_expected(words: str) -> None:
    with pytest.raises(SoundError, match="a number from 30 to 400 Hz"):
        read_settings("thud", KIT["thud"], {"hertz": words})


def test_a_setting_that_an_effect_does_not_have_is_refused_with_those_it_has() -> None:
    with pytest.raises(SoundError, match=r"one of seed, hertz; did you mean"):
        read_settings("thud", KIT["thud"], {"herz": "60"})
