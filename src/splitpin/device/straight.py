"""Decode pictures with all they have: 16 bits a channel, and how clear each pixel is."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps
from PIL.TiffImagePlugin import TiffImageFile

from splitpin.device.found import converted, opened_found
from splitpin.device.pictures import PictureError
from splitpin.device.tiff_planes import in_planes, sample_bits

Pixels = NDArray[np.uint8] | NDArray[np.uint16]

_BITS_AT = 24
"""Where a PNG tells its bits a channel (PNG specification 11.2.2)."""
_ORIENTATION = 274


class Straight(NamedTuple):
    """A picture, decoded with its alpha."""

    rgb: Pixels
    """uint8 or uint16 (height, width, 3), sRGB, straight: not laid on white."""
    alpha: Pixels | None
    """Of the same depth; None where every pixel is opaque by its kind."""
    notes: tuple[str, ...]
    """What could not be kept."""


def read_straight(path: Path, page: int = 1) -> Straight:
    """Decode one picture, losing nothing where that can be.

    Sixteen bits are kept of PNG and TIFF files in grey or RGB, channels side by side, that are held upright
    and have no colour profile; of others the eight bits that :func:`splitpin.device.found.read_found` gives,
    and a note says so.

    Parameters
    ----------
    path, page
        As :func:`splitpin.device.found.read_found` takes them.

    Raises
    ------
    PictureError
        When it cannot be read.
    """
    with opened_found(path, page) as picture:
        deep = _is_deep(path, picture)
        turned = picture.getexif().get(_ORIENTATION, 1) != 1
        coloured = any(picture.info.get(key) is not None for key in ("icc_profile", "transparency"))
        if deep and not turned and not coloured and (whole := _deep(path, page, picture)) is not None:
            return whole
        profile = picture.info.get("icc_profile")
        picture.load()
        notes: list[str] = []
        colour, alpha = converted(ImageOps.exif_transpose(picture), profile, notes)
    if deep:
        notes.append("of its 16 bits a channel 8 are kept")
    return Straight(
        np.array(colour, np.uint8), None if alpha is None else np.array(alpha, np.uint8), tuple(notes)
    )


def encode_straight(rgb: Pixels, alpha: Pixels | None) -> bytes:
    """The bytes of a PNG of 8 or 16 bits a channel, with its alpha where there is one."""
    planes = [rgb[..., ::-1]] if alpha is None else [rgb[..., ::-1], alpha]
    done, data = cv2.imencode(".png", np.dstack(planes), [cv2.IMWRITE_PNG_COMPRESSION, 6])
    if not done:
        raise PictureError("the picture could not be packed as PNG")
    return data.tobytes()


def _is_deep(path: Path, picture: Image.Image) -> bool:
    if picture.format == "PNG":
        with path.open("rb") as file:
            return file.read(_BITS_AT + 1)[_BITS_AT:] == b"\x10"
    return isinstance(picture, TiffImageFile) and 16 in sample_bits(picture)


def _deep(path: Path, page: int, picture: Image.Image) -> Straight | None:
    """All 16 bits; None where the file is of a kind whose samples would not come back as they are."""
    if isinstance(picture, TiffImageFile):
        tags = picture.tag_v2
        grey_or_rgb = tags.get(262) in (1, 2)  # TIFF 6.0: black is zero, RGB
        straight = tuple(tags.get(338, ())) in ((), (2,))  # TIFF 6.0: unassociated alpha
        if not (grey_or_rgb and straight) or in_planes(picture):
            return None
    data = np.frombuffer(path.read_bytes(), np.uint8)
    if picture.format == "PNG":
        whole = cv2.imdecode(data, cv2.IMREAD_UNCHANGED)
    else:
        done, pages = cv2.imdecodemulti(data, cv2.IMREAD_UNCHANGED, range=(page - 1, page))
        whole = pages[0] if done and pages else None
    if whole is None or whole.dtype != np.uint16 or whole.shape[:2] != (picture.height, picture.width):
        return None
    if whole.ndim == 2:
        whole = whole[..., None]
    channels = whole.shape[2]
    if channels not in (1, 3, 4):
        return None
    rgb = np.repeat(whole, 3, axis=2) if channels == 1 else whole[..., 2::-1]
    alpha = np.ascontiguousarray(whole[..., 3], np.uint16) if channels == 4 else None
    return Straight(np.ascontiguousarray(rgb, np.uint16), alpha, ())
