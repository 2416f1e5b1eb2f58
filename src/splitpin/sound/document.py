"""What is known of a found sound."""

from __future__ import annotations

from splitpin.measure.provenance import Provenance


class SoundDocument(Provenance):
    """``sounds/NAME.toml``: where the sound beside it comes from.

    It is called as the sound is: ``clink.toml`` for ``clink.wav``, or ``clink.wav.toml``, which tells two
    sounds of one name and several endings apart.
    """
