"""TIFF pages whose channels lie one after another: TIFF 6.0, PlanarConfiguration 2."""

from __future__ import annotations

from PIL import Image
from PIL.TiffImagePlugin import TiffImageFile

_BITS, _PLANES = 258, 284


def read_planes_deep(picture: Image.Image) -> None:
    """Let a page of 16 bits whose channels lie one after another be read as what it is.

    Where such planes are not packed the imaging library takes them for 8 bits, and shows half of the picture
    twice as wide; its other reader, the one for packed files, reads them right.

    Parameters
    ----------
    picture
        Opened, turned to its page, not loaded; any other picture is left as it is.
    """
    if not (isinstance(picture, TiffImageFile) and in_planes(picture) and 16 in sample_bits(picture)):
        return
    if picture.mode in ("RGB", "RGBA", "CMYK") and all(tile.codec_name == "raw" for tile in picture.tile):
        whole = (f"{picture.mode};16N", False, picture.tag_v2.offset)
        extents = (0, 0, *picture.size)
        picture.tile = [picture.tile[0]._replace(codec_name="libtiff", extents=extents, offset=0, args=whole)]
        picture.use_load_libtiff = True


def in_planes(picture: TiffImageFile) -> bool:
    """Whether the channels of a page lie one after another."""
    return bool(picture.tag_v2.get(_PLANES) == 2)


def sample_bits(picture: TiffImageFile) -> tuple[int, ...]:
    """The bits of each channel of a page."""
    bits = picture.tag_v2.get(_BITS, (1,))
    return bits if isinstance(bits, tuple) else (bits,)
