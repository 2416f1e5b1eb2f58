"""A kit of effects, made from numbers.

Comes in: a seed and a few parameters. Goes out: float32 ``(n, 2)`` at 48 kHz with a true peak of -3 dBFS. The
same seed gives the same sound.
"""

from __future__ import annotations

from collections.abc import Callable

from splitpin.sound.effects.air import pop, rustle, shuffle, whoosh
from splitpin.sound.effects.contacts import applause, clink, coin_roll, scrape, slap, tap, thud, tick
from splitpin.sound.effects.music import music_bed
from splitpin.sound.effects.tuned import boing, plink, plinks, slide_whistle
from splitpin.sound.effects.voices import burp, hum, mrow, squeak
from splitpin.sound.source import Sound

KIT: dict[str, Callable[..., Sound]] = {
    "applause": applause,
    "boing": boing,
    "burp": burp,
    "clink": clink,
    "coin-roll": coin_roll,
    "hum": hum,
    "mrow": mrow,
    "music-bed": music_bed,
    "plink": plink,
    "plinks": plinks,
    "pop": pop,
    "rustle": rustle,
    "scrape": scrape,
    "shuffle": shuffle,
    "slap": slap,
    "slide-whistle": slide_whistle,
    "squeak": squeak,
    "tap": tap,
    "thud": thud,
    "tick": tick,
    "whoosh": whoosh,
}
"""Every effect by name, as it comes without a word; each takes a seed and parameters of its own."""

__all__ = [
    "KIT",
    "applause",
    "boing",
    "burp",
    "clink",
    "coin_roll",
    "hum",
    "mrow",
    "music_bed",
    "plink",
    "plinks",
    "pop",
    "rustle",
    "scrape",
    "shuffle",
    "slap",
    "slide_whistle",
    "squeak",
    "tap",
    "thud",
    "tick",
    "whoosh",
]
