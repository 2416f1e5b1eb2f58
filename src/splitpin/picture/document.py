"""What is known of a found picture."""

from __future__ import annotations

from splitpin.measure.plain import Positive
from splitpin.measure.provenance import Provenance


class PictureDocument(Provenance):
    """``pictures/NAME.toml``: where the picture beside it comes from (jpg, png, tif, webp)."""

    ppi: Positive | None = None
    """How finely it was scanned, in pixels per inch of the original."""
