"""Find the weights by which splitpin tells sounds apart, and write them into ``voice/``.

Run: ``python benchmarks/voice_fit.py lips`` for ``lips_weights.py`` (are the lips shut?), or ``sounds`` for
``sounds_weights.py`` (what sort of sound is it?); a few minutes each, with espeak-ng, flite and pocketsphinx.
Voices and LibriVox sentences that are not named here take no part: ``benchmarks/voice.py`` tells how the
weights do on those. Every sentence is heard as it is, and faster or slower, duller or brighter, and with some
noise, so that the nets do not learn one throat and one microphone.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from textwrap import fill, indent
from typing import Any

import numpy as np
import soxr
from numpy.typing import NDArray
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).parents[1]))
from tests.spoken import LABIAL, PAUSE, SENTENCES, Spoken, espeak, flite, librivox

from splitpin.voice.lips import features_of
from splitpin.voice.sounds import SOUNDS
from splitpin.voice.spectrum import SHORT, mono_of, spectra_of

SCALE = 64
LIPS_HIDDEN, SOUNDS_HIDDEN = 20, 32
LIPS_DECAY, SOUNDS_DECAY = 120.0, 50.0
LIBRIVOX_COUNTS = 4.0
"""A place of LibriVox, the only voice that is nobody's model, counts for so many of the others."""

TUNED_ESPEAK = (
    ("en", 175), ("en-us+f3", 150), ("en-us", 190), ("en+m7", 165), ("en-us+f2", 170),
    ("en-gb-scotland+f4", 160),
)  # fmt: skip
TUNED_FLITE = ("rms", "slt", "kal16")
TUNED_LIBRIVOX = ("0870", "0920")

PHONES = {
    "labial": "m p b",
    "hiss": "s z S Z tS dZ sh zh ch jh",
    "breath": "f v T D h th dh hh",
    "stop": "t d k g t# t2 ?",
    "nasal": "n N n- ng",
    "glide": "l r w j r- w# ; y",
    "vowel": "iy ih eh ae aa ao uh uw ah er ax ow ay ey aw oy "
    "I V a @ E i: 3 @2 oU aI a# u: 0 eI aU I2 i U O: 3: aa A@ O2 e@ O@ I# aI2 o@ i@3 A: OI aI@ U@",
}
"""How flite, pocketsphinx and espeak-ng write the phones of each sort; what is not here takes no part."""

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
    phones = tuple(p._replace(start=p.start / speed, end=p.end / speed) for p in spoken.phones)
    return spoken._replace(sound=sound.astype(np.float32), phones=phones)


Asked = tuple[NDArray[np.float32], NDArray[np.float32]]
"""Features of places, and what is true of them: one column for each answer."""


def lips(spoken: Spoken) -> Asked:
    """Features of each place outside pauses, and whether the lips are shut there."""
    features = features_of(spectra_of(mono_of(spoken.sound), SHORT)).astype(np.float32)
    shut, said = np.zeros((len(features), 1), np.float32), np.ones(len(features), bool)
    for phone in spoken.phones:
        span = slice(round(phone.start * 100), round(phone.end * 100))
        if phone.kind == LABIAL:
            shut[span] = 1
        elif phone.kind == PAUSE:
            said[span] = False
    return features[said], shut[said]


def sounds(spoken: Spoken) -> Asked:
    """Features of each place of which the sort of sound is known, and which it is."""
    sorts = {label: sort for sort, labels in PHONES.items() for label in labels.split()}
    features = features_of(spectra_of(mono_of(spoken.sound), SHORT)).astype(np.float32)
    sort_of = np.full(len(features), -1)
    for phone in spoken.phones:
        sort = sorts.get(phone.label)
        # What follows the closure of a p or b in the truth of espeak-ng bears its label no more.
        known = sort in SOUNDS and (sort != "labial" or phone.kind == LABIAL)
        sort_of[round(phone.start * 100) : round(phone.end * 100)] = SOUNDS.index(sort) if known else -1
    return features[sort_of >= 0], np.eye(len(SOUNDS), dtype=np.float32)[sort_of[sort_of >= 0]]


def fitted(
    X: NDArray[np.float32], Y: NDArray[np.float32], w: NDArray[np.float32], h: int, decay: float
) -> tuple[Any, ...]:
    """Weights, biases, output weights and output biases of the net with ``h`` hidden cells."""
    rng = np.random.default_rng(1)
    d, k = X.shape[1], Y.shape[1]
    bias = -2.0 if k == 1 else 0.0
    start = [rng.normal(0, 0.1, d * h), np.zeros(h), rng.normal(0, 0.3, h * k), np.full(k, bias)]

    def parts(t: NDArray[np.float64]) -> tuple[NDArray[np.float32], ...]:
        A, a, B, b = np.split(t.astype(np.float32), np.cumsum([d * h, h, h * k]))
        return A.reshape(d, h), a, B.reshape(h, k), b

    def loss(t: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        A, a, B, b = parts(t)
        H = np.tanh(X @ A + a)
        z = H @ B + b
        # One answer is weighed against none, several against each other.
        all_ = np.logaddexp(0, z) if k == 1 else np.logaddexp.reduce(z, axis=1, keepdims=True)
        g = w[:, None] * (np.exp(z - all_) - Y)
        gH = (g @ B.T) * (1 - H * H)
        value = float((w * (all_[:, 0] - (Y * z).sum(axis=1))).sum(dtype=np.float64))
        value += decay / 2 * float((A**2).sum() + (B**2).sum())
        slope = [(X.T @ gH + decay * A).ravel(), gH.sum(axis=0), (H.T @ g + decay * B).ravel(), g.sum(axis=0)]
        return value, np.concatenate(slope).astype(np.float64)

    return parts(
        minimize(loss, np.concatenate(start), jac=True, method="L-BFGS-B", options={"maxiter": 220}).x
    )


def row(numbers: list[int]) -> str:
    """Numbers in brackets, on as many lines as they need."""
    text = f"({', '.join(map(str, numbers))})"
    return text if len(text) < 100 else fill(text, 100, subsequent_indent=" ")


def table(name: str, numbers: list[list[int]]) -> str:
    """A table of several rows."""
    return f"{name} = (\n" + "".join(indent(f"{row(one)},\n", "    ") for one in numbers) + ")\n"


def written(which: str, tables: tuple[Any, ...]) -> str:
    """The module that holds the weights."""
    A, a, B, b = (np.round(numbers * SCALE).astype(int).tolist() for numbers in tables)
    if which == "lips":
        output = (
            f'OUTPUT = {row([cell for (cell,) in B] + b)}\n"""One for each hidden cell, and the bias."""\n'
        )
    else:
        output = (
            table("OUTPUT", B) + '"""One row for each hidden cell, one column for each sort of sound."""\n\n'
            f"OUTPUT_BIASES = {row(b)}\n"
            '"""One for each sort of sound."""\n'
        )
    return (
        f'"""Weights of the net in ``{which}.py``, found and written by ``benchmarks/voice_fit.py``."""\n\n'
        f"SCALE = {SCALE}\n"
        '"""All numbers here are so many times too large, to be whole."""\n\n'
        "# fmt: off\n"
        + table("WEIGHTS", A)
        + '"""One row for each feature, one column for each hidden cell."""\n\n'
        f"BIASES = {row(a)}\n"
        '"""One for each hidden cell."""\n\n' + output + "# fmt: on\n"
    )


def heard(
    asked: Callable[[Spoken], Asked], changes: int, rng: np.random.Generator
) -> tuple[NDArray[np.float32], ...]:
    """Features, answers and how much it counts of every place of every sentence, as it is and changed."""
    parts = [
        (*asked(version), counts)
        for one, counts in voices()
        for version in (one, *(changed(one, rng) for _ in range(changes)))
    ]
    print(f"{sum(len(p[1]) for p in parts)} places of {len(parts)} sentences")
    w = np.concatenate([np.full(len(p[1]), p[2], np.float32) for p in parts])
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts]), w


def main(which: str) -> None:
    rng = np.random.default_rng(0)
    if which == "lips":
        X, Y, w = heard(lips, 3, rng)
        keep = (Y[:, 0] > 0) | (rng.random(len(Y)) < 0.3)
        w[Y[:, 0] == 0] /= 0.3
        tables = fitted(X[keep], Y[keep], w[keep], LIPS_HIDDEN, LIPS_DECAY)
    else:
        X, Y, w = heard(sounds, 2, rng)
        share = Y.mean(axis=0)
        w = w * np.sqrt(share).mean() / np.sqrt(Y @ share)
        keep = rng.random(len(Y)) < 0.4
        tables = fitted(X[keep], Y[keep], w[keep], SOUNDS_HIDDEN, SOUNDS_DECAY)
    path = Path(__file__).parents[1] / f"src/splitpin/voice/{which}_weights.py"
    path.write_text(written(which, tables), encoding="utf-8")


if __name__ == "__main__":
    if sys.argv[1:] not in (["lips"], ["sounds"]):
        sys.exit(__doc__)
    main(sys.argv[1])
