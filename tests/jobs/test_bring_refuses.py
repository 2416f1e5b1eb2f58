"""Broken, cut off, disguised and monstrous pictures are refused in words that say what to do."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from tests.halftone import photo
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import Mistake
from splitpin.jobs.bring import bring
from splitpin.jobs.papers import Told
from splitpin.jobs.ready import RefusedError

KINDS: dict[str, tuple[str, dict[str, Any]]] = {
    "a.jpg": ("JPEG", {}),
    "progressive.jpg": ("JPEG", {"progressive": True}),
    "a.png": ("PNG", {}),
    "a.tif": ("TIFF", {}),
    "lzw.tif": ("TIFF", {"compression": "tiff_lzw"}),
    "jpeg.tif": ("TIFF", {"compression": "jpeg"}),
    "a.webp": ("WEBP", {"quality": 80}),
    "lossless.webp": ("WEBP", {"lossless": True}),
}
HEADS = {
    "a.jpg": b"\xff\xd8\xff\xe0\0\x10JFIF\0",
    "a.png": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
    "a.tif": b"II*\0\x08\0\0\0",
    "a.webp": b"RIFF\x10\0\0\0WEBPVP8 ",
}
# What decoders say of themselves, and nobody but their authors understands.
FOREIGN = ("decoder", "Errno", "codec", "buffer", "Error", "IFD", "bytes not", "identify", "BytesIO", "<")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "film")


@cache
def saved(name: str) -> bytes:
    kind, how = KINDS[name]
    file = io.BytesIO()
    Image.fromarray(photo("chelsea")).crop((100, 50, 220, 130)).save(file, kind, **how)
    return file.getvalue()


def refused(root: Path, file: Path, data: bytes) -> Mistake:
    """The one mistake that a file is refused with; nothing may be written."""
    file.write_bytes(data)
    before = sorted(p.name for p in (root / "pictures").iterdir())
    with pytest.raises(RefusedError) as error:
        bring(root, [file], Told())
    assert sorted(p.name for p in (root / "pictures").iterdir()) == before
    (mistake,) = error.value.mistakes
    assert mistake.file == str(file)
    assert mistake.expected
    assert mistake.remedy
    for word in FOREIGN:
        assert word not in mistake.found
    return mistake


@pytest.mark.parametrize("name", KINDS)
@pytest.mark.parametrize("part", [0.02, 0.1, 0.3, 0.5, 0.75, 0.9, 0.98])
def test_a_picture_cut_off_anywhere_is_refused_in_our_words(
    root: Path, tmp_path: Path, name: str, part: float
) -> None:
    data = saved(name)
    mistake = refused(root, tmp_path / name, data[: round(len(data) * part)])
    assert any(words in mistake.found for words in ("breaks off", "damaged", "not a picture"))


@pytest.mark.parametrize("name", ["a.tif", "lzw.tif", "a.webp", "lossless.webp", "a.png"])
def test_a_missing_last_part_is_called_that(root: Path, tmp_path: Path, name: str) -> None:
    assert "breaks off" in refused(root, tmp_path / name, saved(name)[:-40]).found


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.sampled_from(sorted(HEADS)), noise=st.binary(max_size=200), head=st.booleans())
def test_any_bytes_are_refused_in_our_words(
    root: Path, tmp_path: Path, name: str, noise: bytes, head: bool
) -> None:
    refused(root, tmp_path / name, HEADS[name] + noise if head else noise)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.sampled_from(sorted(KINDS)), where=st.floats(0, 1), noise=st.binary(min_size=1, max_size=30))
def test_a_picture_with_a_bad_place_is_taken_or_refused_in_our_words(
    root: Path, tmp_path: Path, name: str, where: float, noise: bytes
) -> None:
    data = bytearray(saved(name))
    at = int(where * (len(data) - len(noise)))
    data[at : at + len(noise)] = noise
    (tmp_path / name).write_bytes(data)
    try:
        bring(root, [tmp_path / name], Told())
    except RefusedError:
        refused(root, tmp_path / name, bytes(data))


@pytest.mark.parametrize("name", HEADS)
def test_an_empty_file_is_refused(root: Path, tmp_path: Path, name: str) -> None:
    assert refused(root, tmp_path / name, b"").remedy


@pytest.mark.parametrize("true", HEADS)
@pytest.mark.parametrize("said", HEADS)
def test_a_wrong_ending_is_told_with_the_right_one(root: Path, tmp_path: Path, true: str, said: str) -> None:
    if true == said:
        return
    mistake = refused(root, tmp_path / said, saved(true))
    assert f"ends in {Path(said).suffix}" in mistake.found
    assert f"rename it to {true}" in mistake.remedy


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"GIF89a" + bytes(40), "GIF"),
        (b"\0\0\0\x18ftypheic" + bytes(40), "HEIC"),
        (b"%PDF-1.7" + bytes(40), "PDF"),
        (b"<!DOCTYPE html>" + bytes(40), "web page"),
        (b"II+\0\x08\0\0\0" + bytes(40), "BigTIFF"),
    ],
)
def test_what_is_no_picture_of_ours_is_called_what_it_is(
    root: Path, tmp_path: Path, data: bytes, what: str
) -> None:
    assert what in refused(root, tmp_path / "a.tif", data).found


def test_fractions_are_refused_with_a_way_out(root: Path, tmp_path: Path) -> None:
    file = io.BytesIO()
    Image.fromarray(np.zeros((4, 4), np.float32)).save(file, "TIFF")
    assert "16 bits" in refused(root, tmp_path / "a.tif", file.getvalue()).remedy


def png_bomb() -> bytes:
    def chunk(tag: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + tag + data + struct.pack(">I", zlib.crc32(tag + data))

    # PNG, third edition, 11.2.1: width, height, depth, grey
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 1, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes(99))) + chunk(b"IEND", b"")


def jpeg_bomb() -> bytes:
    # ITU-T T.81, B.2.2: SOF0 with precision, height, width; the entropy-coded data are a few bytes
    data = bytearray(saved("a.jpg"))
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", 65_000, 65_000)
    return bytes(data)


def lossy_webp_bomb() -> bytes:
    # RFC 6386, 9.1: fourteen bits of width and of height after the start code 9D 01 2A
    data = bytearray(saved("a.webp"))
    at = data.index(b"\x9d\x01\x2a") + 3
    data[at : at + 4] = struct.pack("<HH", 16_383, 16_383)
    return bytes(data)


def lossless_webp_bomb() -> bytes:
    # RFC 9649, 3.4: after the signature 2F, fourteen bits of width less one and of height less one
    data = bytearray(saved("lossless.webp"))
    bits = int.from_bytes(data[21:25], "little") >> 28 << 28 | 16_382 << 14 | 16_382
    data[21:25] = bits.to_bytes(4, "little")
    return bytes(data)


def extended_webp_bomb() -> bytes:
    # RFC 9649, 2.7: canvas of 2^24 pixels a side at most
    chunk = b"VP8X" + struct.pack("<I", 10) + bytes(4) + b"\xff\xff\xff" * 2
    return b"RIFF" + struct.pack("<I", 4 + len(chunk)) + b"WEBP" + chunk


def tiff(pages: list[tuple[int, int]], order: str = "<") -> bytes:
    """A TIFF 6.0 of pages of one bit a pixel, each with one strip of eight bytes that says far too little."""
    data = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(order + "I", 16) + bytes(8)
    for i, (width, height) in enumerate(pages):
        entries = [
            (256, width),
            (257, height),
            (258, 1),
            (259, 1),
            (262, 1),
            (273, 8),
            (278, height),
            (279, 8),
        ]
        data += struct.pack(order + "H", len(entries))
        for tag, value in entries:
            data += struct.pack(order + "HHII", tag, 4, 1, value)
        data += struct.pack(order + "I", len(data) + 4 if i + 1 < len(pages) else 0)
    return data


BOMBS: dict[str, Callable[[], bytes]] = {
    "a.png": png_bomb,
    "a.jpg": jpeg_bomb,
    "lossy.webp": lossy_webp_bomb,
    "lossless.webp": lossless_webp_bomb,
    "extended.webp": extended_webp_bomb,
    "little.tif": lambda: tiff([(60_000, 60_000)]),
    "big.tif": lambda: tiff([(60_000, 60_000)], ">"),
    "later.tif": lambda: tiff([(8, 8), (60_000, 60_000)]),
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_before_anything_of_it_is_decoded(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    data = BOMBS[name]()
    decoded: list[str] = []
    monkeypatch.setattr(Image, "open", lambda *_, **__: decoded.append("open"))
    mistake = refused(root, tmp_path / name, data)
    assert "120 million" in mistake.expected
    assert mistake.remedy == "make it smaller"
    assert decoded == []


def test_a_small_canvas_does_not_hide_a_large_picture(root: Path, tmp_path: Path) -> None:
    inner = lossless_webp_bomb()[12:]
    chunk = b"VP8X" + struct.pack("<I", 10) + bytes(4) + (9).to_bytes(3, "little") * 2
    whole = b"WEBP" + chunk + inner
    refused(root, tmp_path / "a.webp", b"RIFF" + struct.pack("<I", len(whole)) + whole)


def test_directories_in_a_ring_end(root: Path, tmp_path: Path) -> None:
    data = bytearray(tiff([(8, 8)]))
    data[-4:] = struct.pack("<I", 16)
    (tmp_path / "ring.tif").write_bytes(data)
    assert [b.page for b in bring(root, [tmp_path / "ring.tif"], Told())] == [1]


def test_too_many_pages_are_refused(root: Path, tmp_path: Path) -> None:
    assert "500 pages" in refused(root, tmp_path / "a.tif", tiff([(8, 8)] * 501)).found
