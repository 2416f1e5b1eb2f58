"""Find the weights by which splitpin tells shut lips, and write them to ``voice/lips_weights.py``.

Run: ``python benchmarks/voice_fit.py`` (a few minutes; needs espeak-ng, flite and pocketsphinx). Voices and
LibriVox sentences that are not named here take no part: ``benchmarks/voice.py`` tells how the weights do on
those. Every sentence is heard as it is, and faster or slower, duller or brighter, and with some noise, so
that the net does not learn one throat and one microphone.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import soxr
from numpy.typing import NDArray
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.spoken import LABIAL, PAUSE, SENTENCES, Phone, Spoken, espeak, flite, librivox

from splitpin.voice.lips import features_of
from splitpin.voice.spectrum import SHORT, mono_of, spectra_of

SCALE = 64
HIDDEN = 20
DECAY = 30.0
LIBRIVOX_COUNTS = 4.0
"""A place of LibriVox, the only voice that is nobody's model, counts for so many of the others."""

TUNED_ESPEAK = (
    ("en", 175), ("en-us+f3", 150), ("en-us", 190), ("en+m7", 165), ("en-us+f2", 170),
    ("en-gb-scotland+f4", 160),
)  # fmt: skip
TUNED_FLITE = ("rms", "slt", "kal16")
TUNED_LIBRIVOX = ("0870", "0920")

MORE_SENTENCES = (
    "Compare the number on the map with the name above the bridge.",
    "Nobody remembers who painted the dining room green.",
    "Ten men and a goat went down to the garden gate.",
    "The captain of the ship complained about the bad weather.",
    "I think the tide is turning, and the wind is dying down.",
    "Mum and Pam may come by the afternoon bus.",
    "An engine needs oil, air, and a good deal of attention.",
    "Perhaps a spoonful of honey will improve the apple pie.",
    "Do you like dogs, or do you like kittens and geese?",
    "A lamb jumped into the pond, and climbed out dripping.",
    "Lucky numbers are seldom lucky twice in a row.",
    "The judge did not agree, and neither did the king.",
    "Open the cupboard, and bring me a cup and some milk.",
    "Every winter we go skating on the narrow canal.",
    "Her temper was worse than a bear with a broken thumb.",
    "Nine thin candles burned all night long in the hall.",
    "The drummer missed a beat, but the trumpets kept playing.",
    "Look at that, the donkey is eating the gardener's hat.",
    "Somebody must have bought the empty shop at the corner.",
    "We sang a song, danced till dawn, and then drank tea.",
    "Pick up the broom, and sweep the crumbs from the steps.",
    "A young lion lay in the long yellow grass.",
    "Remember to post my letter before the bank shuts.",
    "What a thing to do, running through town without your shoes.",
)
"""Sentences for this alone, besides those that are judged by other voices."""


def voices() -> Iterator[tuple[Spoken, float]]:
    """Everything that is listened to, with how much a place of it counts."""
    for text in SENTENCES + MORE_SENTENCES:
        for voice in TUNED_ESPEAK:
            yield espeak(text, *voice), 1.0
        for name in TUNED_FLITE:
            yield flite(text, name), 1.0
    for spoken in librivox():
        if spoken.name in TUNED_LIBRIVOX:
            for _ in range(3):
                yield spoken, LIBRIVOX_COUNTS


def changed(spoken: Spoken, rng: np.random.Generator) -> Spoken:
    """The same sentence at another speed (the throat with it), with another colour and some noise."""
    speed = float(rng.uniform(0.85, 1.18))
    sound = soxr.resample(spoken.sound, 48_000, 48_000 / speed)
    tilt = float(rng.uniform(-0.4, 0.4))
    sound = sound + tilt * np.concatenate([[0.0], sound[:-1]])
    level = np.sqrt(np.quantile(np.square(sound), 0.9)) * 10 ** (-rng.uniform(25, 60) / 20)
    sound = sound + level * rng.normal(size=len(sound))
    phones = tuple(Phone(p.kind, p.start / speed, p.end / speed) for p in spoken.phones)
    return spoken._replace(sound=sound.astype(np.float32), phones=phones)


def places(spoken: Spoken) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Features of each place outside pauses, and whether the lips are shut there."""
    features = features_of(spectra_of(mono_of(spoken.sound), SHORT)).astype(np.float32)
    shut, said = np.zeros(len(features), np.float32), np.ones(len(features), bool)
    for phone in spoken.phones:
        span = slice(round(phone.start * 100), round(phone.end * 100))
        if phone.kind == LABIAL:
            shut[span] = 1
        elif phone.kind == PAUSE:
            said[span] = False
    return features[said], shut[said]


def fitted(X: NDArray[np.float32], y: NDArray[np.float32], w: NDArray[np.float32]) -> tuple[Any, Any, Any]:
    """Weights, biases and output weights (the last is the output's bias) of the net."""
    rng = np.random.default_rng(1)
    d, h = X.shape[1], HIDDEN
    start = np.concatenate([rng.normal(0, 0.1, d * h), np.zeros(h), rng.normal(0, 0.3, h), [-2.0]])

    def loss(t: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        A, a, B, b = t[: d * h].reshape(d, h), t[d * h : -h - 1], t[-h - 1 : -1], t[-1]
        H = np.tanh(X @ A.astype(np.float32) + a.astype(np.float32))
        z = H @ B.astype(np.float32) + np.float32(b)
        g = w * (1 / (1 + np.exp(-z)) - y)
        gH = np.outer(g, B.astype(np.float32)) * (1 - H * H)
        value = float((w * (np.logaddexp(0, z) - y * z)).sum(dtype=np.float64))
        value += DECAY / 2 * float((A**2).sum() + (B**2).sum())
        slope = [(X.T @ gH + DECAY * A).ravel(), gH.sum(axis=0), H.T @ g + DECAY * B, [g.sum()]]
        return value, np.concatenate(slope).astype(np.float64)

    t = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 220}).x
    return t[: d * h].reshape(d, h), t[d * h : -h - 1], t[-h - 1 :]


def half(numbers: list[int]) -> str:
    """A line of a table."""
    return "".join(f"{number}, " for number in numbers).rstrip()


def written(tables: tuple[Any, Any, Any]) -> str:
    """The module that holds the weights."""
    A, a, B = (np.round(table * SCALE).astype(int).tolist() for table in tables)
    middle = len(B) // 2
    rows = "\n".join("    (" + ", ".join(map(str, row)) + ")," for row in A)
    return (
        '"""Weights of the net in ``lips.py``, found and written by ``benchmarks/voice_fit.py``."""\n\n'
        f"SCALE = {SCALE}\n"
        '"""All numbers here are so many times too large, to be whole."""\n\n'
        "# fmt: off\n"
        f"WEIGHTS = (\n{rows}\n)\n"
        '"""One row for each feature, one column for each hidden cell."""\n\n'
        f"BIASES = ({', '.join(map(str, a))})\n"
        '"""One for each hidden cell."""\n\n'
        f"OUTPUT = (\n    {half(B[:middle])}\n    {half(B[middle:])}\n)\n"
        '"""One for each hidden cell, and the bias."""\n'
        "# fmt: on\n"
    )


def main() -> None:
    rng = np.random.default_rng(0)
    heard = [(version, counts) for one, counts in voices() for version in (one, changed(one, rng))]
    parts = [(*places(spoken), counts) for spoken, counts in heard]
    X = np.concatenate([p[0] for p in parts])
    y = np.concatenate([p[1] for p in parts])
    w = np.concatenate([np.full(len(p[1]), p[2], np.float32) for p in parts])
    keep = (y > 0) | (rng.random(len(y)) < 0.5)
    w[y == 0] *= 2
    print(f"{len(y)} places of {len(parts)} sentences, {y.mean():.3f} of them with shut lips")
    path = Path(__file__).parents[1] / "src/splitpin/voice/lips_weights.py"
    path.write_text(written(fitted(X[keep], y[keep], w[keep])), encoding="utf-8")


if __name__ == "__main__":
    main()
