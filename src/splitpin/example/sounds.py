"""The film's sounds, from the kit of effects: seeds and pitches that suit a cup, a cat and old coins."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import soundfile

from splitpin.measure.provenance import CALCULATED
from splitpin.sound.effects import (
    burp,
    clink,
    coin_roll,
    mrow,
    music_bed,
    plink,
    pop,
    rustle,
    scrape,
    slap,
    slide_whistle,
    squeak,
    tap,
    thud,
    tick,
    whoosh,
)
from splitpin.sound.source import SAMPLING, Sound

BEATS_A_MINUTE = 120.0
"""Half a second a beat: the coins hop to it."""

NOTES = (783.99, 880.0, 987.77, 1174.66, 1318.51)
"""What the coins sing as they land: G5 A5 B5 D6 E6 in equal temperament, Hz."""


def air(seed: int = 0, seconds: int = 6) -> Sound:
    """A garden in which nothing happens: soft wind that goes round without a seam. Silence would be a fault.

    Noise put together from sines that all end where they began (an inverse Fourier transform), most of it
    about 300 Hz, swelling once in its time.
    """
    chance = np.random.default_rng(seed)
    n = seconds * SAMPLING
    hertz = np.fft.rfftfreq(n, 1 / SAMPLING)
    loud = np.exp(-((np.log2(np.maximum(hertz, 1.0) / 300.0) / 1.1) ** 2))
    turns = chance.uniform(0, 2 * np.pi, (2, len(hertz)))
    wind = np.fft.irfft(loud * np.exp(1j * turns), n)
    swell = 1 + 0.4 * np.sin(2 * np.pi * np.arange(n) / n)
    wind = wind * swell
    return np.ascontiguousarray((0.5 * wind / np.abs(wind).max()).T, dtype=np.float32)


SOUNDS: dict[str, Callable[[], Sound]] = {
    "air": air,
    "burp": burp,
    "clink": clink,
    "mrow": partial(mrow, seconds=0.95),
    "music": partial(music_bed, tempo=BEATS_A_MINUTE),
    "pop": pop,
    "rattle": partial(clink, seed=5, hertz=3_400.0, bounces=7),
    "roll": partial(coin_roll, seconds=1.2),
    "rustle": partial(rustle, seconds=0.7),
    "scrape": partial(scrape, seconds=1.3),
    "slap": slap,
    "squeak": partial(squeak, hertz=1_250.0),
    "tap": tap,
    "thud": partial(thud, hertz=110.0),
    "tick": tick,
    "whistle": partial(slide_whistle, seconds=0.9),
    "whoosh": partial(whoosh, seconds=0.8),
}
SOUNDS |= {f"plink-{k + 1}": partial(plink, seed=k, hertz=note) for k, note in enumerate(NOTES)}
"""Every sound of the film by name."""

SAID = {"mrow": "Mrow?"}
"""What is said in those that are voices."""


def write_sound(folder: Path, name: str) -> None:
    """Make one sound and write it into ``sounds/`` with where it comes from."""
    file = folder / "sounds" / f"{name}.flac"
    soundfile.write(file, SOUNDS[name](), SAMPLING, format="FLAC", subtype="PCM_16")
    lines = [
        "format = 1",
        f'source = "{CALCULATED}: splitpin.sound.effects"',
        'licence = "CC0-1.0"',
    ]
    lines += [f'words = "{SAID[name]}"'] if name in SAID else []
    file.with_suffix(".toml").write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
