"""What is known of a found sound, and of the voice in it."""

from __future__ import annotations

from splitpin.measure.plain import Text
from splitpin.sound.document import SoundDocument
from splitpin.voice.overrule import Overrule
from splitpin.voice.settings import ReadingSettings


class VoiceDocument(SoundDocument):
    """``sounds/NAME.toml``: where the sound beside it comes from, and what is said in it.

    It is called as the sound is: ``clink.toml`` for ``clink.wav``, or ``clink.wav.toml``, which tells two
    sounds of one name and several endings apart.
    """

    words: Text = ""
    """Of a voice: what is said, as it is heard; the sheet tells it exposure by exposure."""
    reading: ReadingSettings = ReadingSettings()
    """Of a voice: how it becomes mouths."""
    overrules: list[Overrule] = []
    """Of a voice: mouths set by hand. ``splitpin read --overrule`` writes them."""
