"""What an effect can be told: read from its function, so that nothing is written twice."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from typing import NamedTuple, get_args, get_type_hints

from splitpin.measure.likely import likely
from splitpin.sound.effects.craft import Bounds
from splitpin.sound.source import Sound, SoundError

Effect = Callable[..., Sound]
Setting = int | float | bool

SEEDS = Bounds(0, 2**31 - 1)
YES, NO = ("yes", "true", "on", "1"), ("no", "false", "off", "0")


class Parameter(NamedTuple):
    """One thing that an effect can be told."""

    name: str
    kind: type[Setting]
    """``int``, ``float`` or ``bool``."""
    otherwise: Setting
    """What it is when nothing is said."""
    bounds: Bounds
    """From where to where it goes; 0 to 1 for what is yes or no."""
    about: str
    """What it does, in words."""

    @property
    def expected(self) -> str:
        """What may be said, in words."""
        if self.kind is bool:
            return "yes or no"
        low, high = (f"{value:g}" if abs(value) < 1e6 else str(value) for value in self.bounds[:2])
        number = "a whole number" if self.kind is int else "a number"
        return f"{number} from {low} to {high} {self.bounds.unit}".rstrip()


def about(effect: Effect) -> str:
    """What an effect sounds like, in a sentence or two."""
    return " ".join((inspect.getdoc(effect) or "").split("\n\n")[0].split())


def parameters_of(effect: Effect) -> tuple[Parameter, ...]:
    """Everything an effect can be told by a single number or a yes or no; its seed comes first.

    Parameters
    ----------
    effect
        A function of the kit.
    """
    hints = get_type_hints(effect, include_extras=True)
    told = _told(inspect.getdoc(effect) or "")
    found = []
    for name, parameter in inspect.signature(effect).parameters.items():
        hint = hints[name]
        kind, bounds = (*get_args(hint), None)[:2] if get_args(hint) else (hint, None)
        if name == "seed":
            bounds = SEEDS
        if kind is bool:
            bounds = Bounds(0, 1)
        if kind in (int, float, bool) and isinstance(bounds, Bounds):
            found.append(Parameter(name, kind, parameter.default, bounds, told[name]))
    return tuple(found)


def read_settings(kind: str, effect: Effect, said: Mapping[str, str]) -> dict[str, Setting]:
    """What was said to an effect, as values.

    Parameters
    ----------
    kind
        The effect's name.
    effect
        Its function.
    said
        Words by the name of the parameter.

    Raises
    ------
    SoundError
        When the effect knows no such parameter, or the words are no value within its bounds.
    """
    known = {p.name: p for p in parameters_of(effect)}
    values: dict[str, Setting] = {}
    for name, words in said.items():
        if name not in known:
            raise SoundError(kind, f"the setting {name!r}", f"one of {', '.join(known)}", likely(name, known))
        value = _read(known[name], words.strip())
        if value is None:
            raise SoundError(kind, f"{name} = {words!r}", known[name].expected, "see: splitpin effect --list")
        values[name] = value
    return values


def _read(parameter: Parameter, words: str) -> Setting | None:
    if parameter.kind is bool:
        said = words.lower()
        return True if said in YES else False if said in NO else None
    try:
        value = int(words) if parameter.kind is int else float(words)
    except ValueError:
        return None
    low, high, _ = parameter.bounds
    return value if low <= value <= high else None


def _told(doc: str) -> dict[str, str]:
    """The words of each parameter in a docstring of the numpy form."""
    section = re.search(r"^Parameters\n-+\n(.*?)(?=^\w+\n-+\n|\Z)", doc, re.DOTALL | re.MULTILINE)
    told: dict[str, str] = {}
    if section is not None:
        for names, words in re.findall(r"^(\S.*)\n((?:[ ]+.*\n?)+)", section[1], re.MULTILINE):
            told |= dict.fromkeys(names.split(", "), " ".join(words.split()))
    return told
