"""Where the words of a transcript lie in a track.

The sounds that its letters stand for are laid along the track in order, each as long as it likes, so that
together they fit best what is heard (Viterbi; Rabiner 1989, from memory). Much about letters is not known and
need not be: the sorts of sound that a track tells apart are anchors enough between which the rest finds its
place.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.voice.activity import runs
from splitpin.voice.letters import Kind, Unit, units_of
from splitpin.voice.sounds import SOUNDS
from splitpin.voice.track import PER_SECOND, Track

SILENT, DROPPED = 0.7, 3.0
"""What it costs to leave out a sound that is often not said, and one that is, as minus logarithms. [T]"""

COUNTS = 0.6
"""How much a place counts of what it tells, since its neighbours tell nearly the same. [T]"""

NEVER = 1e-3
"""How sure of a sort of sound a track is at least, since it errs. [T]"""

ANY = -0.5
"""How well a sound of which nothing is known goes with whatever is heard. [T]"""

CONSONANTS = [sound != "vowel" for sound in SOUNDS]

NEAR = 5
"""Steps of 10 ms on either side of a letter in which its closure is looked for. [T]"""

HINT = 0.06
"""How sure of shut lips the sound must be for a letter to make it certain. [T]"""

UNWRITTEN = 0.5
"""What is left of the sureness of shut lips where no letter shuts them. [T]"""


class Word(NamedTuple):
    """One word and when it is said."""

    text: str
    """The word as it stands in the transcript."""
    start_s: float
    """Seconds from the start of the recording to the start of the word."""
    end_s: float
    """Seconds from the start of the recording to its end."""


def aligned(track: Track, text: str) -> tuple[Word, ...]:
    """Each word of a text with its place in the track; they do not overlap, and stay in order.

    Parameters
    ----------
    track
        What is heard of the recording.
    text
        What is said in it; words are parted by spaces. English spelling is known best.
    """
    words = text.split()
    units = units_of(words)
    spans = _spans(track, units)
    out: list[Word] = []
    at = 0
    for number, word in enumerate(words):
        own = [
            span for unit, span in zip(units, spans, strict=True) if unit.word == number and span is not None
        ]
        start, at = (max(at, own[0][0]), max(at, own[-1][1])) if own else (at, at)
        out.append(Word(word, start / PER_SECOND, at / PER_SECOND))
    return tuple(out)


def sharpened(track: Track, words: tuple[Word, ...]) -> Track:
    """The same track, its closures surer where letters of its words shut the lips, and less sure elsewhere.

    Parameters
    ----------
    track
        What is heard of the recording.
    words
        Its words, as :func:`aligned` found them.
    """
    units = units_of([word.text for word in words])
    labials = [
        span for unit, span in zip(units, _spans(track, units), strict=True) if unit.kind == "labial" and span
    ]
    if not units[1:]:
        return track
    closure = track.closure * UNWRITTEN
    for a, b in labials:
        lo, hi = max(0, a - NEAR), min(len(closure), b + NEAR)
        near = track.closure[lo:hi]
        if len(near) and near.max() >= HINT:
            best = lo + int(np.argmax(near))
            for start, end in runs(near >= near.max() / 2):
                if lo + start <= best < lo + end:
                    closure[lo + start : lo + end] = np.maximum(near[start:end], 0.9)
    return track._replace(closure=closure)


def _spans(track: Track, units: list[Unit]) -> list[tuple[int, int] | None]:
    """From which place to which each sound lasts; None for one that is left out."""
    count, places = len(units), len(track.speech)
    spoken = [i for i, unit in enumerate(units) if unit.kind != "pause"]
    if places < len(spoken) or not spoken or not track.speech.any():
        return _evenly(units, places)
    kinds = [unit.kind for unit in units]
    fit = _fits(track)
    usual = max(2.0, float((track.speech > 0).sum()) / len(spoken))
    length = np.array([{"vowel": 1.3, "any": 1.3, "pause": 4.0}.get(kind, 0.85) * usual for kind in kinds])
    stays, goes = np.log(1 - 1 / length), -np.log(length)
    drop = np.array([-SILENT if unit.silent else -DROPPED for unit in units])
    drop[[kind == "pause" for kind in kinds]] = 0.0
    rows = np.stack([fit[kind] for kind in kinds])
    score = np.full(count, -np.inf)
    score[0] = rows[0, 0]
    score[1] = rows[1, 0]
    came = np.zeros((places, count), np.int8)
    for i in range(1, places):
        ways = np.full((3, count), -np.inf)
        ways[0] = score + stays
        ways[1, 1:] = (score + goes)[:-1]
        ways[2, 2:] = (score + goes)[:-2] + drop[1:-1]
        came[i] = ways.argmax(axis=0)
        score = ways.max(axis=0) + rows[:, i]
    at = count - 1 if score[-1] >= score[-2] else count - 2
    spans: list[tuple[int, int] | None] = [None] * count
    end = places
    for i in range(places - 1, -1, -1):
        if i == 0 or came[i, at] > 0:
            spans[at] = (i, end)
            end, at = i, at - int(came[i, at])
    return spans


def _fits(track: Track) -> dict[Kind, NDArray[np.float64]]:
    """How well each kind of sound goes with what is heard at each place, as a logarithm."""
    silent = track.speech <= 0
    sure = np.column_stack([track.sounds, track.sounds[:, CONSONANTS].sum(axis=1)])
    heard = COUNTS * np.log(np.maximum(sure, NEVER))
    out: dict[Kind, NDArray[np.float64]] = dict(zip((*SOUNDS, "other"), heard.T, strict=True))
    out["any"] = np.full(len(silent), ANY)
    # A stop is silent for a while, and that is all of it that some recordings hold.
    out = {kind: np.where(silent, -1.0 if kind == "stop" else -3.0, fit) for kind, fit in out.items()}
    loud = float(np.quantile(track.level[~silent], 0.9))
    strong = np.clip((track.level - loud + 25) / 20, 0, 1)
    out["pause"] = np.where(silent, 0.5, -2.0 - 2.0 * strong)
    return out


def _evenly(units: list[Unit], places: int) -> list[tuple[int, int] | None]:
    """Spans where nothing can be heard: all of one length."""
    spoken = max(1, sum(unit.kind != "pause" for unit in units))
    out: list[tuple[int, int] | None] = []
    done = 0
    for unit in units:
        if unit.kind == "pause":
            out.append(None)
        else:
            out.append((done * places // spoken, (done + 1) * places // spoken))
            done += 1
    return out
