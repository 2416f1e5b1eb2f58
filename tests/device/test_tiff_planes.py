"""TIFF files whose channels lie one after another, written by another library, come back sample by sample."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from numpy.typing import NDArray

from splitpin.device.found import read_found
from splitpin.device.pictures import read_picture
from splitpin.device.straight import read_straight

LAYS: list[dict[str, Any]] = [{}, {"rowsperstrip": 7}, {"tile": (16, 16)}, {"compression": "zlib"}]


def planes(count: int, bits: int) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """(count, 30, 44): each channel goes its own way, so that none can be taken for another."""
    samples = np.random.default_rng(4).integers(0, 256, (count, 30, 44))
    samples.sort(axis=2)
    return (samples * 257).astype(np.uint16) if bits == 16 else samples.astype(np.uint8)


def written(path: Path, samples: Any, photometric: str, order: str, lay: dict[str, Any]) -> Path:
    extra = ("unassalpha",) if photometric == "rgb" and len(samples) == 4 else None
    tifffile.imwrite(
        path, samples, planarconfig="separate", photometric=photometric, extrasamples=extra, metadata=None,
        **{"byteorder": order} | lay,
    )  # fmt: skip
    return path


@pytest.mark.parametrize("bits", [8, 16])
@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("lay", LAYS, ids=str)
@pytest.mark.parametrize("count", [3, 4])
def test_colours_in_planes_come_back(
    tmp_path: Path, bits: int, order: str, lay: dict[str, Any], count: int
) -> None:
    samples = planes(count, bits)
    file = written(tmp_path / "p.tif", samples, "rgb", order, lay)
    eight = (samples // (257 if bits == 16 else 1)).astype(np.uint8).transpose(1, 2, 0)
    if count == 3:
        np.testing.assert_array_equal(read_found(file).rgb, eight)
    np.testing.assert_array_equal(read_picture(file)[..., :count], eight)
    straight = read_straight(file)
    np.testing.assert_array_equal(straight.rgb, eight[..., :3])
    if count == 4:
        np.testing.assert_array_equal(straight.alpha, eight[..., 3])
    assert ("of its 16 bits a channel 8 are kept" in straight.notes) == (bits == 16)


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("lay", LAYS, ids=str)
def test_deep_inks_in_planes_are_the_colours_of_the_same_inks_side_by_side(
    tmp_path: Path, order: str, lay: dict[str, Any]
) -> None:
    found = [
        read_found(written(tmp_path / f"{bits}.tif", planes(4, bits), "separated", order, lay)).rgb
        for bits in (8, 16)
    ]
    side = tmp_path / "side.tif"
    tifffile.imwrite(
        side, np.ascontiguousarray(planes(4, 8).transpose(1, 2, 0)), photometric="separated", metadata=None
    )
    for one in found:
        np.testing.assert_array_equal(one, read_found(side).rgb)


def test_a_further_page_in_planes_is_read_as_well(tmp_path: Path) -> None:
    file, samples = tmp_path / "pages.tif", planes(3, 16)
    with tifffile.TiffWriter(file) as pages:
        for page in (samples, 65535 - samples):
            pages.write(page, planarconfig="separate", photometric="rgb", metadata=None)
    np.testing.assert_array_equal(read_found(file, 2).rgb, 255 - (samples // 257).transpose(1, 2, 0))
