"""Pictures of exposures as PNG or TIFF, drawn once for all outlets that show them as pictures."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Literal

from splitpin.device.pictures import encode_png
from splitpin.device.tiff_writer import encode_tiff
from splitpin.film.segments import Segment
from splitpin.jobs.shop import Shop

PictureForm = Literal["png", "tiff"]
CODING = "png 1"
CODINGS: dict[PictureForm, str] = {"png": CODING, "tiff": "tiff 1"}
"""What the pictures of a form are kept by."""
ENCODE = {"png": encode_png, "tiff": encode_tiff}


def draw_pictures(shop: Shop, key: str, segment: Segment, form: PictureForm = "png") -> None:
    """Draw a segment's exposures and keep each as a picture."""
    with shop.store.keep_pictures(key) as folder:
        before: Path | None = None
        for i, held in enumerate(shop.rolled(segment)):
            file = folder / picture_name(i, form)
            if before is not None and not held.changed:
                _same_file(before, file)
            else:
                file.write_bytes(ENCODE[form](held.rgb))
            before = file


def picture_name(i: int, form: PictureForm = "png") -> str:
    """What the picture of a segment's exposure is called, counted from 0."""
    return f"{i:04d}.{form}"


def _same_file(old: Path, new: Path) -> None:
    # A picture held on is one file with several names, where the disk can do that.
    try:
        new.hardlink_to(old)
    except (OSError, NotImplementedError):
        shutil.copyfile(old, new)
