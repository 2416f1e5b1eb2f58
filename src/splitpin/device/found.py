"""Decode found pictures: whatever coding, depth or colours they come in, as sRGB."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps

from splitpin.device.pictures import DECODING, KINDS, PictureError, too_large, undecoded
from splitpin.device.tiff_planes import read_planes_deep
from splitpin.folder.pictures import MOST_PIXELS
from splitpin.folder.tiff import MOST_PAGES

Rgb = NDArray[np.uint8]

UNTOLD = (0.0, 1.0, 72.0, 96.0)
"""Pixels per inch that programs write when they know of none."""
CLEAR = (
    "it is clear in places: they lie on white when it is fitted or cut, and stay clear when it is mended; "
    "the file itself is kept as it is"
)
"""What becomes of transparency."""
_SPACES = {"RGB ": "RGB", "GRAY": "L", "CMYK": "CMYK", "Lab ": "LAB"}


class FoundPicture(NamedTuple):
    """A found picture, decoded."""

    rgb: Rgb
    """uint8 (height, width, 3), sRGB; what was transparent lies on white."""
    ppi: float | None
    """Pixels per inch that the file tells of; None when it tells of none that could be a scan's."""
    pages: int
    """How many pages the file has; 1 unless it is a TIFF."""
    notes: tuple[str, ...]
    """What a person should know of the colours."""


def read_found(path: Path, page: int = 1) -> FoundPicture:
    """Decode one picture.

    Parameters
    ----------
    path
        JPEG, PNG, WebP or TIFF; grey, RGB, CMYK, Lab or palette, 8 or 16 bits a channel. A colour profile in
        the file is obeyed, and so is a camera's note of how it was held.
    page
        Of a TIFF, counted from 1.

    Raises
    ------
    PictureError
        When it is missing, of another kind, broken, or larger than a film folder allows.
    """
    with opened_found(path, page) as picture:
        pages = _pages(picture)
        ppi = _ppi(picture)
        profile = picture.info.get("icc_profile")
        picture.load()
        upright = ImageOps.exif_transpose(picture)
        notes: list[str] = []
        if picture.format != "TIFF" and getattr(picture, "n_frames", 1) > 1:
            notes.append("it moves: its first picture is used")
        rgb = _srgb(upright, profile, notes)
        return FoundPicture(rgb, ppi, pages, tuple(notes))


@contextmanager
def opened_found(path: Path, page: int = 1) -> Iterator[Image.Image]:
    """A picture turned to one of its pages, to be decoded; the parameters are those of :func:`read_found`.

    Raises
    ------
    PictureError
        When :func:`read_found` would, in what is done with it too.
    """
    with _open(path) as picture:
        pages = _pages(picture)
        if not 1 <= page <= pages:
            raise PictureError(
                f"it has {pages} page{'s' if pages > 1 else ''}, no page {page}",
                "a page that is there",
                "look at `page` in its document",
            )
        if page > 1:
            picture.seek(page - 1)
        _bounded(picture)
        read_planes_deep(picture)
        yield picture


def ppi_of(path: Path, page: int = 1) -> float | None:
    """Pixels per inch that a picture's file tells of, as in :class:`FoundPicture`; nothing is decoded."""
    with opened_found(path, page) as picture:
        return _ppi(picture)


def pages_of(path: Path) -> int:
    """How many pages a picture's file has."""
    with _open(path) as picture:
        return _pages(picture)


@contextmanager
def _open(path: Path) -> Iterator[Image.Image]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # odd metadata is no matter; size is checked below
            with Image.open(path, formats=KINDS) as picture:
                _bounded(picture)
                yield picture
    except PictureError:
        raise
    except DECODING as problem:
        raise undecoded(problem) from problem


def _bounded(picture: Image.Image) -> None:
    if picture.width * picture.height > MOST_PIXELS:
        raise too_large(picture.width, picture.height)


def _pages(picture: Image.Image) -> int:
    if picture.format != "TIFF":
        return 1
    count = int(getattr(picture, "n_frames", 1))
    if count > MOST_PAGES:
        raise PictureError(f"{count} pages", f"at most {MOST_PAGES}", "split the file")
    return count


def _ppi(picture: Image.Image) -> float | None:
    told = picture.info.get("dpi")
    if told is None:
        exif = picture.getexif()
        # Exif 2.32, 4.6.4: resolution unit 2 is the inch, 3 the centimetre; numbers, not text, are meant
        inches = {2: 1.0, 3: 2.54}.get(int(exif.get(296, 2) or 2))
        told = (exif.get(282), exif.get(283))
        if inches is None or not all(told):
            return None
        told = tuple(float(v or 0) * inches for v in told)
    try:
        x, y = (float(v) for v in told)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not (np.isfinite(x) and np.isfinite(y)) or x > 50_000 or abs(x - y) > 0.01 * max(x, y, 1.0):
        return None
    # PNG counts pixels to the metre: 600 ppi come back as 599.999
    ppi = float(round(x)) if abs(x - round(x)) < 0.02 else round(x, 2)
    return None if ppi in UNTOLD or ppi < 10 else ppi


def _srgb(picture: Image.Image, profile: bytes | None, notes: list[str]) -> Rgb:
    colour, alpha = converted(picture, profile, notes)
    if alpha is not None:
        if alpha.getextrema() != (255, 255):
            notes.append(CLEAR)
        paper = Image.new("RGB", colour.size, (255, 255, 255))
        paper.paste(colour, mask=alpha)
        colour = paper
    return np.array(colour, np.uint8)


def converted(
    picture: Image.Image, profile: bytes | None, notes: list[str]
) -> tuple[Image.Image, Image.Image | None]:
    """A loaded picture's colours as sRGB, 8 bits, and its alpha where it has one.

    Parameters
    ----------
    picture
        Of any mode.
    profile
        Its colour profile.
    notes
        What a person should know of the colours is put here.
    """
    if picture.mode == "F":
        raise PictureError(
            "its samples are fractions",
            "tones of 8 or 16 bits",
            "open it in a picture program and save it in 16 bits",
        )
    if picture.mode.startswith("I"):
        picture = _grey(picture)
    if picture.mode in ("P", "PA"):
        picture = picture.convert("RGBA" if "transparency" in picture.info or picture.mode == "PA" else "RGB")
    if picture.mode in ("RGB", "L", "1") and picture.info.get("transparency") is not None:
        picture = picture.convert("RGBA")
    alpha = picture.getchannel("A") if picture.mode in ("RGBA", "LA", "RGBa", "La") else None
    if alpha is not None:
        picture = picture.convert("L" if picture.mode.upper() == "LA" else "RGB")
    return _converted(picture, profile, notes), alpha


def _grey(picture: Image.Image) -> Image.Image:
    # the imaging library would clip 16-bit grey instead of scaling it
    wide = np.asarray(picture).astype(np.int64)
    most = 65535 if picture.mode != "I" or wide.max(initial=0) <= 65535 else int(wide.max())
    return Image.fromarray(np.clip((wide * 255 + most // 2) // most, 0, 255).astype(np.uint8))


def _converted(picture: Image.Image, profile: bytes | None, notes: list[str]) -> Image.Image:
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            space = source.profile.xcolor_space
            wanted = _SPACES.get(space)
            if (wanted == "L" and picture.mode in ("1", "L")) or wanted == picture.mode:
                given = picture.convert(wanted) if picture.mode != wanted else picture
                done = ImageCms.profileToProfile(
                    given,
                    source,
                    ImageCms.createProfile("sRGB"),
                    renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
                    outputMode="RGB",
                    flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
                )
                if done is not None:
                    return done
            notes.append(f"its colour profile is for {space.strip()}, not for these colours: left aside")
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError) as problem:
            notes.append(f"its colour profile cannot be used ({problem}): left aside")
    if picture.mode == "LAB":
        lab = ImageCms.profileToProfile(
            picture, ImageCms.createProfile("LAB"), ImageCms.createProfile("sRGB"), outputMode="RGB"
        )
        if lab is not None:
            return lab
    if picture.mode == "CMYK" and not profile:
        notes.append("inks without a colour profile: its colours are a guess")
    return picture.convert("RGB")
