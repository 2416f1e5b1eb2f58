"""A recorded voice with all that is known of it, for whoever shows its mouth."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from splitpin.measure.rate import exact
from splitpin.sound.source import SAMPLING
from splitpin.voice.align import Word, aligned, sharpened
from splitpin.voice.document import VoiceDocument
from splitpin.voice.mouth import Reading
from splitpin.voice.overrule import Overrule, overruled
from splitpin.voice.read import read
from splitpin.voice.settings import ReadingSettings
from splitpin.voice.track import Track


class Speech(NamedTuple):
    """One recorded voice."""

    track: Track
    """What is heard of it."""
    words: tuple[Word, ...] = ()
    """What is said in it, and when; nothing where nobody has written it down."""
    settings: ReadingSettings = ReadingSettings()
    """The rules by which it is read."""
    overrules: tuple[Overrule, ...] = ()
    """The mouths set by hand."""

    @property
    def seconds(self) -> Fraction:
        """How long it is."""
        return Fraction(self.track.samples, SAMPLING)

    def reading(self, rate: Fraction, on: int, start: Fraction = Fraction(0)) -> Reading:
        """One mouth for each exposure, those set by hand included; see :func:`splitpin.voice.read.read`."""
        return overruled(read(self.track, rate, on, self.settings, start), self.overrules, start)

    def word_at(self, start: Fraction, end: Fraction) -> str:
        """What is said in a part of it: words that begin there, or ``–`` while one goes on.

        Parameters
        ----------
        start, end
            Seconds after the start of the recording.
        """
        begun = [word.text for word in self.words if start <= exact(word.start_s) < end]
        if begun:
            return " ".join(begun)
        return "–" if any(word.start_s < start < word.end_s for word in self.words) else ""


def speech_of(track: Track, document: VoiceDocument | None = None) -> Speech:
    """A voice, and what its document says of it.

    Parameters
    ----------
    track
        What is heard of it.
    document
        Its papers, where it has some.
    """
    if document is None:
        return Speech(track)
    words = aligned(track, document.words) if document.words.strip() else ()
    return Speech(sharpened(track, words), words, document.reading, tuple(document.overrules))
