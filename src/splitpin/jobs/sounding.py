"""The sound of the scenes asked for, and what should be known of it."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import blake2b
from typing import NamedTuple

from splitpin.device.sound_shelf import ShelvedSound, SoundShelf
from splitpin.film.excerpt import Excerpt
from splitpin.film.soundtrack import soundtrack
from splitpin.folder.mistake import Mistake
from splitpin.jobs.hearing import warnings_of
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.shop import Shop
from splitpin.measure.rate import samples_of
from splitpin.sound.duck import Ducking
from splitpin.sound.mix import Mix, Voicing
from splitpin.sound.source import SoundError

SOUNDING = 1
"""Counts changes to how sound is mixed and brought to its level: raise it and everything is mixed again."""


class Sounding(NamedTuple):
    """A mix, and what it depends on."""

    mix: Mix
    told: str
    warnings: tuple[Mistake, ...]
    files: tuple[str, ...]
    """The sounds made ready that it is mixed from."""
    voicings: tuple[Voicing, ...]
    """All that is heard in the whole film."""
    lengths: Mapping[str, int]
    """How many samples each sound has that is there, by the name that cues use."""

    def key(self, coding: str) -> str:
        """A name for the mix in one form: 40 hexadecimal digits."""
        return blake2b(f"{SOUNDING} {self.told} {coding}".encode(), digest_size=20).hexdigest()

    @property
    def empty(self) -> bool:
        """Whether nothing is meant to be heard."""
        return self.told.startswith("()")


def sounding(shop: Shop) -> Sounding:
    """Read the sounds and put every cue in its place.

    Raises
    ------
    RefusedError
        When a sound that is there cannot be used.
    """
    folder, film = shop.ready.folder, shop.film
    cues = [*film.cues, *(s.cue for sheet in shop.ready.sheets for s in sheet.soundings)]
    shelf = SoundShelf(shop.made / "sounds")
    sources: dict[str, ShelvedSound] = {}
    mistakes: list[Mistake] = []
    for name in dict.fromkeys(cue.sound for cue in cues):
        path = folder.sound_path(name)
        try:
            if path.is_file():
                sources[name] = shelf.source(path, f"sounds/{name}")
        except SoundError as problem:
            mistakes.append(Mistake(problem.where, None, problem.found, problem.expected, problem.remedy))
    if mistakes:
        raise RefusedError(mistakes)
    rate = film.exact_rate
    ducking = Ducking(film.mix.duck_db, film.mix.attack, film.mix.release)
    whole = soundtrack(shop.ready.sheets, film.cues, rate, sources, ducking)
    spans = [(samples_of(a, rate), samples_of(b, rate)) for a, b in shop.ready.spans]
    heard = {v.source: sources[v.source].name for v in whole.voicings}
    dips = [tuple(ducking)] if ducking.db else []
    told = repr((tuple(whole.voicings), sorted(heard.items()), spans, *dips))[1:]
    mix = whole.mix if shop.ready.whole else Excerpt(whole.mix, spans)
    files = tuple(source.name for source in sources.values())
    # Of some scenes alone nobody needs to know what the others, and the sounds across them, come to.
    asked = [u for u in whole.unheard if shop.ready.whole or u.scene in shop.ready.scenes]
    lengths = {name: source.frames for name, source in sources.items()}
    return Sounding(mix, told, tuple(warnings_of(folder, asked)), files, whole.voicings, lengths)
