"""Wide colours, inks, deep tones and pictures held askew come out as the sRGB that a standard's numbers give.

The matrices are reckoned here from the primaries of each standard, and never by the colour engine under test.
"""

from __future__ import annotations

import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from splitpin.device.found import read_found

Floats = NDArray[np.float64]

LEAST_LOSS: dict[str, dict[str, Any]] = {
    "png": {},
    "tif": {},
    "jpg": {"quality": 100, "subsampling": 0},
    "webp": {"lossless": True},
}
D65 = (0.3127, 0.3290)  # IEC 61966-2-1 (M)
D50 = (0.9642, 1.0, 0.8249)  # ICC.1:2022, 7.2.16: the PCS illuminant (M)
SRGB = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))  # IEC 61966-2-1 (M)
SPACES = {
    # SMPTE RP 431-2 primaries with D65 and the curve of sRGB (M)
    "Display P3": (((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)), None),
    # Adobe RGB (1998) Color Image Encoding 4.3.1: primaries; 4.3.4.2: gamma 563/256 (M)
    "Adobe RGB": (((0.64, 0.33), (0.21, 0.71), (0.15, 0.06)), 563 / 256),
}
# Lindbloom, Chromatic Adaptation: the cone responses of Bradford (M)
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def xyz(x: float, y: float) -> Floats:
    return np.array([x / y, 1.0, (1 - x - y) / y])


def to_xyz(primaries: tuple[tuple[float, float], ...]) -> Floats:
    """Linear RGB to XYZ: each primary scaled so that together they make the white (SMPTE RP 177)."""
    columns = np.stack([xyz(*p) for p in primaries], axis=1)
    return columns * np.linalg.solve(columns, xyz(*D65))


def to_pcs() -> Floats:
    """From D65 to the illuminant of profiles."""
    scale = (BRADFORD @ np.array(D50)) / (BRADFORD @ xyz(*D65))
    return np.asarray(np.linalg.inv(BRADFORD) @ np.diag(scale) @ BRADFORD)


def decoded(value: Floats, gamma: float | None) -> Floats:
    """Linear light; without a gamma by the curve of sRGB, IEC 61966-2-1 (M)."""
    if gamma is not None:
        return value**gamma
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def encoded(light: Floats) -> Floats:
    light = np.clip(light, 0, 1)
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


def fixed(value: float) -> bytes:
    return struct.pack(">i", round(value * 65536))


def profile(name: str) -> bytes:
    """A display profile of three colorants and one curve: ICC.1:2001-04, 6.1, 6.5.3, 6.5.17 (M)."""
    primaries, gamma = SPACES[name]
    curve = b"curv" + bytes(4)
    if gamma is None:
        table = np.round(decoded(np.arange(1024) / 1023, None) * 65535).astype(">u2")
        curve += struct.pack(">I", 1024) + table.tobytes()
    else:
        curve += struct.pack(">IH", 1, round(gamma * 256)) + bytes(2)
    colorants = to_pcs() @ to_xyz(primaries)
    tags = {b"desc": b"desc" + bytes(4) + struct.pack(">I", 2) + b"x\0" + bytes(78)}
    for key, values in zip((b"rXYZ", b"gXYZ", b"bXYZ", b"wtpt"), (*colorants.T, D50), strict=True):
        tags[key] = b"XYZ " + bytes(4) + b"".join(fixed(float(v)) for v in values)
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    tags[b"cprt"] = b"text" + bytes(4) + b"none\0"
    at = 128 + 4 + 12 * len(tags)
    index, data = struct.pack(">I", len(tags)), b""
    for key, body in tags.items():
        index += key + struct.pack(">II", at + len(data), len(body))
        data += body + bytes(-len(body) % 4)
    head = struct.pack(">I", at + len(data)) + bytes(4) + struct.pack(">I", 0x02400000) + b"mntrRGB XYZ "
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + b"".join(fixed(v) for v in D50)
    return head.ljust(128, b"\0") + index + data


@pytest.mark.parametrize("name", SPACES)
@pytest.mark.parametrize("ending", ["png", "tif", "jpg", "webp"])
def test_wide_colours_are_turned_into_the_srgb_that_their_standard_gives(
    tmp_path: Path, name: str, ending: str
) -> None:
    primaries, gamma = SPACES[name]
    steps = np.arange(30, 226, 65)
    colours = np.stack(np.meshgrid(steps, steps, steps), -1).reshape(1, -1, 3).astype(np.uint8)
    blocks = colours.repeat(16, 0).repeat(16, 1)
    Image.fromarray(blocks).save(tmp_path / f"a.{ending}", icc_profile=profile(name), **LEAST_LOSS[ending])
    found = read_found(tmp_path / f"a.{ending}")
    matrix = np.linalg.inv(to_xyz(SRGB)) @ to_xyz(primaries)
    light = decoded(colours[0] / 255, gamma) @ matrix.T
    true = encoded(light) * 255
    got = found.rgb[8, 8::16].astype(float)
    # colours that sRGB holds must be right; how those outside of it are brought in is not a standard's matter
    within = ((light > 0.004) & (light < 0.996)).all(axis=1)
    assert within.sum() > 20
    assert np.abs(got - true)[within].max() <= (3.0 if ending == "jpg" else 1.5)
    assert found.notes == ()
    if ending == "png":  # without the profile the same numbers would be other colours
        assert np.abs(colours[0] - true)[within].max() > 8


@pytest.mark.parametrize("ending", ["tif", "jpg"])
def test_inks_without_a_profile_are_a_guess_and_said_to_be_one(tmp_path: Path, ending: str) -> None:
    inks = {(0, 0, 0, 0): (255, 255, 255), (0, 0, 0, 255): (0, 0, 0), (255, 0, 0, 0): (0, 255, 255)}
    for ink, colour in inks.items():
        Image.new("CMYK", (8, 8), ink).save(tmp_path / f"a.{ending}")
        found = read_found(tmp_path / f"a.{ending}")
        assert np.abs(found.rgb[4, 4].astype(int) - colour).max() <= 2
        assert found.notes == ("inks without a colour profile: its colours are a guess",)


@pytest.mark.parametrize("ending", ["png", "tif"])
@pytest.mark.parametrize("channels", [1, 3])
def test_16_bits_a_channel_lose_less_than_a_tone(tmp_path: Path, ending: str, channels: int) -> None:
    deep = np.linspace(0, 65535, 8 * 32 * channels).astype(np.uint16).reshape(8, 32, channels)
    done, data = cv2.imencode(f".{ending}", deep[..., ::-1] if channels == 3 else deep[..., 0])
    assert done
    (tmp_path / f"a.{ending}").write_bytes(data.tobytes())
    rgb = read_found(tmp_path / f"a.{ending}").rgb
    assert rgb.shape == (8, 32, 3)
    assert np.abs(rgb - deep / 257.0).max() <= 1.0


# Exif 2.32, 4.6.4 (M): where the first row and the first column of the file lie in the picture as shown
SHOWN: dict[int, Callable[[Any], Any]] = {
    1: lambda a: a,
    2: lambda a: a[:, ::-1],
    3: lambda a: a[::-1, ::-1],
    4: lambda a: a[::-1],
    5: lambda a: a.transpose(1, 0, 2),
    6: lambda a: np.rot90(a, -1),
    7: lambda a: a.transpose(1, 0, 2)[::-1, ::-1],
    8: lambda a: np.rot90(a, 1),
}


@pytest.mark.parametrize("orientation", SHOWN)
@pytest.mark.parametrize("ending", ["png", "tif", "jpg", "webp"])
def test_every_way_of_holding_a_camera_shows_each_corner_where_it_was(
    tmp_path: Path, ending: str, orientation: int
) -> None:
    corners = np.array(
        [[[250, 10, 10], [10, 240, 10], [10, 10, 230]], [[250] * 3, [128] * 3, [5] * 3]], np.uint8
    )
    blocks = corners.repeat(16, 0).repeat(16, 1)
    exif = Image.Exif()
    exif[274] = orientation
    Image.fromarray(blocks).save(tmp_path / f"a.{ending}", exif=exif, **LEAST_LOSS[ending])
    got = read_found(tmp_path / f"a.{ending}").rgb[8::16, 8::16].astype(int)
    assert np.abs(got - SHOWN[orientation](corners)).max() <= 4


def test_each_page_of_a_tiff_has_its_own_size_and_colours(tmp_path: Path) -> None:
    pages = [Image.new("RGB", (20, 10), (200, 0, 0)), Image.new("L", (7, 9), 90), Image.new("CMYK", (5, 5))]
    pages[0].save(tmp_path / "a.tif", save_all=True, append_images=pages[1:])
    found = [read_found(tmp_path / "a.tif", n) for n in (1, 2, 3)]
    assert [f.rgb.shape[:2] for f in found] == [(10, 20), (9, 7), (5, 5)]
    assert [tuple(f.rgb[0, 0]) for f in found] == [(200, 0, 0), (90, 90, 90), (255, 255, 255)]
    assert [f.pages for f in found] == [3, 3, 3]
    assert [bool(f.notes) for f in found] == [False, False, True]
