"""What is known of a found picture."""

from __future__ import annotations

from splitpin.measure.plain import Count, Name, Positive
from splitpin.measure.provenance import Provenance
from splitpin.picture.fit import Fit


class PictureDocument(Provenance):
    """``pictures/NAME.toml``: where the picture beside it comes from (jpg, png, tif, webp)."""

    ppi: Positive | None = None
    """How finely it was scanned, in pixels per inch of the original."""
    of: Name | None = None
    """The picture whose file holds this one too: a further page of a TIFF (a name in ``pictures/``)."""
    page: Count = 1
    """Which page of the file it is, counted from 1."""
    fit: Fit = Fit()
    """Steps that make the scan fit, done whenever the picture is used."""
