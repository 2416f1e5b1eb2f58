"""Make an effect from the kit: as a file, or as a sound of a film with its papers."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from splitpin.device.soundfile_writer import write_wav
from splitpin.folder.mistake import FolderError
from splitpin.jobs.output import refuse_output
from splitpin.jobs.own_sound import free_name, keep_sound, refuse_no_film, refuse_taken
from splitpin.measure.likely import likely
from splitpin.measure.provenance import CALCULATED
from splitpin.sound.effects import KIT
from splitpin.sound.effects.parameters import Parameter, about, parameters_of, read_settings
from splitpin.sound.source import SAMPLING, Sound

LICENCE = "CC0-1.0"
"""What the kit makes is everybody's."""


class Kind(NamedTuple):
    """One effect of the kit."""

    name: str
    about: str
    parameters: tuple[Parameter, ...]


class Effect(NamedTuple):
    """An effect that was made."""

    file: Path
    seconds: float


def kit() -> tuple[Kind, ...]:
    """Every effect there is, and what each can be told."""
    return tuple(Kind(name, about(effect), parameters_of(effect)) for name, effect in KIT.items())


def write_effect(kind: str, said: Mapping[str, str], file: Path, *, again: bool = False) -> Effect:
    """Make an effect as a 24-bit WAV file.

    Parameters
    ----------
    kind
        Its name in the kit.
    said
        What it is told, words by the name of the parameter.
    file
        Where it goes.
    again
        Write over a file of that name.

    Raises
    ------
    FolderError
        When there is no such effect, or nothing may be written there.
    SoundError
        When it cannot be told that.
    """
    refuse_output(file, (".wav",), again=again)
    sound, _ = _made(kind, said)
    write_wav(file, [sound])
    return Effect(file, len(sound) / SAMPLING)


def keep_effect(kind: str, said: Mapping[str, str], root: Path, name: str | None = None) -> Effect:
    """Make an effect and put it into a film, with where it comes from.

    Parameters
    ----------
    kind, said
        As in :func:`write_effect`.
    root
        The film folder.
    name
        What it is called there; its kind, numbered where that is taken, when left out.

    Raises
    ------
    FolderError
        When there is no such effect, no film folder, or a sound of that name already.
    SoundError
        When it cannot be told that.
    """
    refuse_no_film(root)
    if name is not None:
        refuse_taken(root, name)
    sound, values = _made(kind, said)
    told = "".join(f", {key} {value}" for key, value in values.items())
    file = keep_sound(
        root, name or free_name(root, kind), [sound],
        source=f"{CALCULATED}: splitpin effect {kind}{told}", licence=LICENCE,
    )  # fmt: skip
    return Effect(root / "sounds" / file, len(sound) / SAMPLING)


def _made(kind: str, said: Mapping[str, str]) -> tuple[Sound, Mapping[str, object]]:
    if kind not in KIT:
        raise FolderError(
            "effect", f"no effect is called {kind!r}", f"one of {', '.join(KIT)}", likely(kind, KIT)
        )
    values = read_settings(kind, KIT[kind], said)
    return KIT[kind](**values), values
