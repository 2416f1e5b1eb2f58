"""Read and write pictures."""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from splitpin.device.beside import beside
from splitpin.device.tiff_planes import read_planes_deep
from splitpin.folder.pictures import MOST_PIXELS

HEADER = 33
"""Bytes of a PNG's signature and header."""
KINDS = ("PNG", "JPEG", "TIFF", "WEBP")

Rgba = NDArray[np.uint8]
Rgb = NDArray[np.uint8]


class PictureError(Exception):
    """A picture that cannot be read: what was found, what was expected, what to do."""

    def __init__(
        self,
        found: str,
        expected: str = "a whole picture",
        remedy: str = "copy it again, or open it in a picture program and save it anew",
    ) -> None:
        super().__init__(found)
        self.found, self.expected, self.remedy = found, expected, remedy


def too_large(width: int, height: int) -> PictureError:
    """A picture of more pixels than a film folder allows."""
    most = f"at most {MOST_PIXELS // 1_000_000} million pixels"
    return PictureError(f"a picture of {width} × {height} pixels", most, "make it smaller")


def undecoded(problem: Exception) -> PictureError:
    """What a decoder stumbled over, in words for the person whose picture it is."""
    if isinstance(problem, OSError) and problem.strerror:
        return PictureError(
            f"it cannot be read ({problem.strerror})", remedy="look whether it is there and may be read"
        )
    if isinstance(problem, MemoryError):
        return PictureError("it takes more memory than there is", "a smaller picture", "make it smaller")
    if isinstance(problem, UnidentifiedImageError):
        return PictureError("not a picture that can be read")
    if isinstance(problem, EOFError) or "truncated" in str(problem):
        return PictureError("it breaks off: its last part is missing")
    return PictureError("it is damaged, or coded in a way that cannot be read here")


DECODING = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    TypeError,
    LookupError,
    ArithmeticError,
    MemoryError,
    struct.error,
    zlib.error,
    Image.DecompressionBombError,
)
"""Whatever decoders raise over files that are not as they should be."""


def read_picture(source: Path | bytes) -> Rgba:
    """A picture's pixels.

    Parameters
    ----------
    source
        A PNG (8 or 16 bits, grey, palette or colour, with or without transparency), JPEG, TIFF or WebP file,
        or all that it holds; a camera's note of how it was held is obeyed.

    Returns
    -------
    ndarray
        uint8 (height, width, 4): sRGB and straight alpha.

    Raises
    ------
    PictureError
        When it is missing, of another kind, broken, or larger than the folder allows.
    """
    with _upright(source) as picture:
        return _pixels(picture)


def prove_picture(source: Path | bytes) -> None:
    """Decode a picture as :func:`read_picture` does, and make nothing of it.

    Raises
    ------
    PictureError
        When :func:`read_picture` would.
    """
    with _upright(source):
        pass


@contextmanager
def _upright(source: Path | bytes) -> Iterator[Image.Image]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # odd metadata is no matter; size is checked below
            file = io.BytesIO(source) if isinstance(source, bytes) else source
            with Image.open(file, formats=KINDS) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    raise too_large(picture.width, picture.height)
                read_planes_deep(picture)
                picture.load()
                ImageOps.exif_transpose(picture, in_place=True)
                yield picture
    except PictureError:
        raise
    except DECODING as problem:
        raise undecoded(problem) from problem


def _pixels(picture: Image.Image) -> Rgba:
    if picture.mode.startswith("I"):
        # 16-bit grey: the imaging library would clip it instead of scaling it.
        wide = np.asarray(picture).astype(np.int64)
        grey = np.clip((wide * 255 + 32767) // 65535, 0, 255).astype(np.uint8)
        out = np.full((*grey.shape, 4), 255, np.uint8)
        out[..., :3] = grey[..., None]
        return out
    return np.array(picture.convert("RGBA"), np.uint8)


def write_png(path: Path, picture: Rgb | Rgba, level: int = 1) -> None:
    """Write a PNG, whole or not at all.

    Parameters
    ----------
    path
        Where it goes.
    picture
        uint8 (height, width, 3 or 4), sRGB.
    level
        How hard it is packed, 0..9: 1 is fast.
    """
    with beside(path) as part:
        part.write_bytes(encode_png(picture, level))


def encode_png(picture: Rgb | Rgba, level: int = 1, ppi: float | None = None) -> bytes:
    """The bytes of a PNG; the same pixels give the same bytes. With ``ppi`` it says its size on paper."""
    order = cv2.COLOR_RGB2BGR if picture.shape[2] == 3 else cv2.COLOR_RGBA2BGRA
    done, data = cv2.imencode(".png", cv2.cvtColor(picture, order), [cv2.IMWRITE_PNG_COMPRESSION, level])
    if not done:
        raise PictureError("the picture could not be packed as PNG")
    whole = data.tobytes()
    if ppi is None:
        return whole
    # The chunk of physical size stands between header and pixels (PNG specification 11.3.4.3).
    body = b"pHYs" + struct.pack(">IIB", *(round(ppi / 0.0254),) * 2, 1)
    chunk = struct.pack(">I", 9) + body + struct.pack(">I", zlib.crc32(body))
    return whole[:HEADER] + chunk + whole[HEADER:]
