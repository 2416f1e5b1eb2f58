"""What is known of a found sound."""

from __future__ import annotations

from splitpin.measure.provenance import Provenance


class SoundDocument(Provenance):
    """``sounds/NAME.wav.toml`` or ``sounds/NAME.toml``: where the sound beside it comes from."""
