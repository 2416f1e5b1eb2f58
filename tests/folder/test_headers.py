"""Sizes read from headers are those that the decoders find; broken files are told as such."""

from __future__ import annotations

import io
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from splitpin.device.pictures import read_picture
from splitpin.folder.mistake import FileError
from splitpin.folder.pictures import measure_picture
from splitpin.folder.sounds import measure_sound

WAYS = [
    (".png", "PNG", {}),
    (".jpg", "JPEG", {"quality": 90}),
    (".jpeg", "JPEG", {"progressive": True}),
    (".tif", "TIFF", {}),
    (".tiff", "TIFF", {"compression": "tiff_lzw"}),
    (".webp", "WebP", {"lossless": True}),
    (".webp", "WebP", {"quality": 50}),
]


def saved(kind: str, width: int, height: int, **how: object) -> bytes:
    file = io.BytesIO()
    noise = np.random.default_rng(1).integers(0, 256, (height, width, 3), dtype=np.uint8)
    Image.fromarray(noise).save(file, kind, **how)
    return file.getvalue()


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(way=st.sampled_from(WAYS), width=st.integers(1, 300), height=st.integers(1, 300))
def test_a_pictures_size_is_what_the_decoder_finds(
    tmp_path: Path, way: tuple[str, str, dict[str, object]], width: int, height: int
) -> None:
    ending, kind, how = way
    path = tmp_path / f"a{ending}"
    path.write_bytes(saved(kind, width, height, **how))
    assert measure_picture(path) == (kind, width, height)


@pytest.mark.parametrize(("ending", "kind", "how"), WAYS)
def test_a_picture_cut_off_anywhere_is_told(
    tmp_path: Path, ending: str, kind: str, how: dict[str, object]
) -> None:
    data = saved(kind, 20, 20, **how)
    path = tmp_path / f"a{ending}"
    for length in range(0, len(data) - 2, 7):
        path.write_bytes(data[:length])
        with pytest.raises(FileError):
            measure_picture(path)


@pytest.mark.parametrize(
    ("ending", "kind", "subtype"),
    [
        (".wav", "WAV", "PCM_16"),
        (".wav", "WAV", "PCM_24"),
        (".wav", "WAV", "FLOAT"),
        (".wav", "WAVEX", "PCM_16"),
        (".flac", "FLAC", "PCM_16"),
        (".flac", "FLAC", "PCM_24"),
    ],
)
@pytest.mark.parametrize(("sampling", "channels"), [(8000, 1), (44100, 2), (96000, 6)])
def test_a_sounds_length_is_what_the_decoder_finds(
    tmp_path: Path, ending: str, kind: str, subtype: str, sampling: int, channels: int
) -> None:
    path = tmp_path / f"a{ending}"
    soundfile.write(path, np.zeros((777, channels)), sampling, subtype, format=kind)
    assert measure_sound(path) == (kind.removesuffix("EX"), sampling, channels, 777)


@pytest.mark.parametrize(("ending", "kind"), [(".ogg", "OGG"), (".mp3", "MP3")])
def test_coded_sounds_are_known_by_their_first_bytes(tmp_path: Path, ending: str, kind: str) -> None:
    path = tmp_path / f"a{ending}"
    soundfile.write(path, np.zeros((4410, 2)), 44100, format=kind)
    assert measure_sound(path).kind == kind


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    data=st.binary(max_size=80), ending=st.sampled_from([".png", ".jpg", ".tif", ".webp"]), head=st.booleans()
)
def test_any_bytes_are_a_picture_or_told(tmp_path: Path, data: bytes, ending: str, head: bool) -> None:
    heads = {
        ".png": b"\x89PNG\r\n\x1a\n",
        ".jpg": b"\xff\xd8\xff",
        ".tif": b"II*\0",
        ".webp": b"RIFF\0\0\0\0WEBPVP8L",
    }
    path = tmp_path / f"a{ending}"
    path.write_bytes(heads[ending] + data if head else data)
    with suppress(FileError):
        size = measure_picture(path)
        assert size.width >= 1
        assert size.height >= 1


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    data=st.binary(max_size=80),
    ending=st.sampled_from([".wav", ".flac", ".ogg", ".mp3", ".x"]),
    head=st.booleans(),
)
def test_any_bytes_are_a_sound_or_told(tmp_path: Path, data: bytes, ending: str, head: bool) -> None:
    heads = {".wav": b"RIFF\0\0\0\0WAVEfmt \x10\0\0\0", ".flac": b"fLaC", ".ogg": b"OggS", ".mp3": b"ID3"}
    path = tmp_path / f"a{ending}"
    path.write_bytes(heads.get(ending, b"") + data if head else data)
    with suppress(FileError):
        assert measure_sound(path).kind in ("WAV", "FLAC", "OGG", "MP3")


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("ending", ["png", "jpg", "tif", "webp"])
def test_a_picture_held_sideways_measures_as_it_is_shown(
    tmp_path: Path, ending: str, orientation: int
) -> None:
    path = tmp_path / f"held.{ending}"
    exif = Image.Exif()
    exif[274] = orientation
    Image.new("RGB", (24, 10)).save(path, exif=exif)
    shown = read_picture(path)
    measured = measure_picture(path)
    assert (measured.height, measured.width) == shown.shape[:2]


@pytest.mark.parametrize("note", [b'tiff:Orientation="6"', b"<tiff:Orientation>6</tiff:Orientation>"])
def test_a_note_in_xmp_is_obeyed_too(tmp_path: Path, note: bytes) -> None:
    path = tmp_path / "held.png"
    text = PngInfo()
    text.add_itxt("XML:com.adobe.xmp", f"<x:xmpmeta>{note.decode()}</x:xmpmeta>")
    Image.new("RGB", (24, 10)).save(path, pnginfo=text)
    measured = measure_picture(path)
    assert (measured.height, measured.width) == read_picture(path).shape[:2] == (24, 10)
