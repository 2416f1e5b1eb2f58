"""How well mouths read from a voice fit what is said, against truth that nobody here made.

Run: ``python benchmarks/voice.py``. Needs espeak-ng, flite, pocketsphinx and Debian's pocketsphinx-testdata;
what is missing is left out and said. Each set is read from its sound alone, with its transcript, in noise,
and by a plain gate on loudness; on twos at 24. Sets marked *held* took no part in fitting weights
(other sentences of the reader of the held LibriVox ones did), but their figures were seen while the threshold
of closures was chosen. The columns are defined in ``tests/mouth_scores.py``; *words* is the share of words
that start within 0.1 s of the truth. The targets:
recalled >= .85, pauses >= .95, false <= .10, onsets >= .90, rank >= .60. All are met
with words; by sound alone flite kal16 has .115 false, and the held flite awb .826 recalled, .855 onsets.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.mouth_scores import HEADER, ON, RATE, scored
from tests.spoken import FLITE_VOICES, SENTENCES, VOICES, Spoken, UnavailableError, espeak, flite, librivox

from splitpin.voice.align import aligned, sharpened
from splitpin.voice.mouth import Reading, joined
from splitpin.voice.read import read, track_of
from splitpin.voice.track import Track


def loudness_gate(track: Track) -> Reading:
    """The plain mouth: shut below 25 dB under the loud places, and wider the louder it is above."""
    loud = float(np.quantile(track.level, 0.95))
    plain = read(track, RATE, ON)
    out = []
    for mouth in plain.exposures():
        lo, hi = round(mouth.frame / 24 * 100), round((mouth.frame + ON) / 24 * 100)
        level = float(track.level[lo:hi].mean()) if lo < len(track.level) else -120.0
        opening = round(max(0.0, min(1.0, (level - loud + 25) / 25)), 1)
        out.append(mouth._replace(shape="open" if opening > 0 else "shut", opening=opening))
    return plain._replace(mouths=joined(tuple(out)))


def sets() -> dict[str, Callable[[], list[Spoken]]]:
    """Everything that is read, by name."""
    out: dict[str, Callable[[], list[Spoken]]] = {
        "librivox": lambda: [s for s in librivox() if s.name in ("0870", "0920")],
        "librivox, held": lambda: [s for s in librivox() if s.name not in ("0870", "0920")],
    }
    for voice in VOICES:
        held = ", held" if voice == VOICES[2] else ""
        out[f"espeak {voice[0]}{held}"] = lambda voice=voice: [espeak(t, *voice) for t in SENTENCES]  # type: ignore[misc]
    for name in FLITE_VOICES:
        held = ", held" if name == "awb" else ""
        out[f"flite {name}{held}"] = lambda name=name: [flite(t, name) for t in SENTENCES]  # type: ignore[misc]
    return out


def noisy(spoken: Spoken, decibels: float = 25.0) -> Spoken:
    """The same sentence in a room with noise so far under its loud places."""
    loud = float(np.sqrt(np.quantile(np.square(spoken.sound), 0.95)))
    noise = np.random.default_rng(0).normal(size=len(spoken.sound)) * loud * 10 ** (-decibels / 20)
    return spoken._replace(sound=(spoken.sound + noise).astype(np.float32))


def words_found(sentences: list[Spoken], tracks: list[Track]) -> str:
    """The share of words whose start is found within 0.1 s."""
    hits = []
    for spoken, track in zip(sentences, tracks, strict=True):
        found = aligned(track, " ".join(text for text, _, _ in spoken.words))
        hits += [abs(w.start_s - start) <= 0.1 for w, (_, start, _) in zip(found, spoken.words, strict=True)]
    return f"{np.mean(hits):9.3f}" if hits else ""


def main() -> None:
    print(f"{'':42}{HEADER}    words")
    seconds = heard = 0.0
    track_of(np.zeros(48_000, np.float32))
    for name, sentences_of in sets().items():
        try:
            sentences = sentences_of()
        except UnavailableError as missing:
            print(f"{name}: left out, {missing}")
            continue
        begun = process_time()
        tracks = [track_of(s.sound) for s in sentences]
        alone = [read(t, RATE, ON) for t in tracks]
        seconds += process_time() - begun
        heard += sum(len(s.sound) for s in sentences) / 48_000
        written = [
            read(sharpened(t, aligned(t, s.text)), RATE, ON) for s, t in zip(sentences, tracks, strict=True)
        ]
        in_noise = [read(track_of(noisy(s).sound), RATE, ON) for s in sentences]
        rows = {
            "sound alone": alone,
            "with words": written,
            "noise at -25 dB": in_noise,
            "loudness gate": [loudness_gate(t) for t in tracks],
        }
        for kind, readings in rows.items():
            line = str(scored(zip(sentences, readings, strict=True)))
            found = words_found(sentences, tracks) if kind == "with words" else ""
            print(f"{name:24}{kind:18}{line}{found}")
    print(f"listened {heard / max(seconds, 1e-9):.0f} times as fast as it is heard")


if __name__ == "__main__":
    main()
