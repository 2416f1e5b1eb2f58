"""Where the words of a transcript lie in a track."""

from __future__ import annotations

from typing import NamedTuple

from splitpin.voice.track import PER_SECOND, Track


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
        What is said in it, in any alphabet; words are parted by spaces.
    """
    words = text.split()
    places = [i for i, sure in enumerate(track.speech) if sure >= 0.5] or [0]
    bounds = [round(k * (len(places) - 1) / max(len(words), 1)) for k in range(len(words) + 1)]
    return tuple(
        Word(word, places[a] / PER_SECOND, places[b] / PER_SECOND)
        for word, a, b in zip(words, bounds, bounds[1:], strict=False)
    )


def sharpened(track: Track, words: tuple[Word, ...]) -> Track:
    """The same track, its closures made surer where the letters of its words say that the lips shut.

    Parameters
    ----------
    track
        What is heard of the recording.
    words
        Its words, as :func:`aligned` found them.
    """
    return track if not words else track._replace(closure=track.closure)
