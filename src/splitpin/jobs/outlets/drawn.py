"""Pictures of exposures as PNG, drawn once for all outlets that show them as pictures."""

from __future__ import annotations

import shutil
from pathlib import Path

from splitpin.device.pictures import encode_png
from splitpin.film.segments import Segment
from splitpin.jobs.shop import Shop

CODING = "png 1"


def draw_pictures(shop: Shop, key: str, segment: Segment) -> None:
    """Draw a segment's exposures and keep each as a PNG."""
    with shop.store.keep_pictures(key) as folder:
        before: Path | None = None
        for i, held in enumerate(shop.rolled(segment)):
            file = folder / picture_name(i)
            if before is not None and not held.changed:
                _same_file(before, file)
            else:
                file.write_bytes(encode_png(held.rgb))
            before = file


def picture_name(i: int) -> str:
    """What the picture of a segment's exposure is called, counted from 0."""
    return f"{i:04d}.png"


def _same_file(old: Path, new: Path) -> None:
    # A picture held on is one file with several names, where the disk can do that.
    try:
        new.hardlink_to(old)
    except (OSError, NotImplementedError):
        shutil.copyfile(old, new)
