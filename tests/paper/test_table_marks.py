"""The table marks, by a reader of PDF, a drawer of PDF, and the finder of coded marks that cameras use."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from tests.paper.pdf import raster, read
from tests.tinyfilm import write_tiny

from splitpin.jobs.kit import kit
from splitpin.measure.corners import CELLS, corners
from splitpin.measure.table import Stage
from splitpin.paper.slips import reaches

WITHIN = 0.05
"""Millimetres."""
DICTIONARY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)
STAGE = Stage(1920, 1080, 400.0)


def film(folder: Path, field: float, picture: str = "[64, 36]") -> Path:
    write_tiny(folder)
    file = folder / "film.toml"
    text = file.read_text().replace("field_mm = 128.0", f"field_mm = {field}")
    file.write_text(text.replace("picture = [64, 36]", f"picture = {picture}"))
    return folder


def detected(grey: NDArray[np.uint8]) -> dict[int, NDArray[np.float64]]:
    found, names, _ = cv2.aruco.ArucoDetector(DICTIONARY, cv2.aruco.DetectorParameters()).detectMarkers(grey)
    if names is None:
        return {}
    return {int(n): np.asarray(c, float)[0] for n, c in zip(names.ravel(), found, strict=True)}


@pytest.mark.parametrize("corner", corners(STAGE))
def test_codes_are_those_of_the_open_dictionary(corner: object) -> None:
    # OpenCV draws its own dictionary
    one = next(c for c in corners(STAGE) if c == corner)
    theirs = cv2.aruco.generateImageMarker(DICTIONARY, one.code, CELLS) > 0
    ours = np.zeros((CELLS, CELLS), bool)
    for x, y in one.white():
        ours[CELLS - 1 - round((y - one.y) / one.cell), round((x - one.x) / one.cell)] = True
    assert np.array_equal(ours, theirs)


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
@pytest.mark.parametrize("field", [120.0, 400.0, 600.0])
def test_every_coded_mark_is_printed_where_it_is_said_to_lie(
    tmp_path: Path, paper: str, field: float
) -> None:
    done = kit(film(tmp_path / "f", field), paper=paper, only=["marks"])
    pages = read(done.file or Path())
    high = field * 36 / 64
    seen: dict[int, tuple[float, float]] = {}
    for page in pages[1:]:
        sides = [line for line in page.lines if len(line) >= 4]
        for corner in corners(Stage(64, 36, field)):
            # a black square of the mark's size, whole on one sheet
            for line in sides:
                wide, tall = np.ptp(np.array(line), axis=0)
                if abs(wide - corner.side) < WITHIN and abs(tall - corner.side) < WITHIN:
                    seen.setdefault(corner.code, (wide, tall))
    assert len(seen) == 4
    total = {f"{field:g}", f"{high:g}"}
    assert all(word in pages[1].words for word in total)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("field", [120.0, 400.0, 600.0])
def test_sheets_joined_on_their_crosses_show_the_field(tmp_path: Path, paper: str, field: float) -> None:
    """Marks of neighbours are found in both rasters; on the table all lie where the film says."""
    done = kit(film(tmp_path / "f", field), paper=paper, only=["marks"])
    file = done.file or Path()
    mm = 25.4 / 600
    wanted = {c.code: c for c in corners(Stage(64, 36, field))}
    met = set()
    for page in range(1, done.pages["marks"] + 1):
        grey = raster(file, page)
        for code, points in detected(grey).items():
            met.add(code)
            corner = wanted[code]
            xs, ys = points[:, 0] * mm, points[:, 1] * mm
            # the outer black edge of each mark: its size and squareness
            assert np.ptp(xs) == pytest.approx(corner.side, abs=0.1)
            assert np.ptp(ys) == pytest.approx(corner.side, abs=0.1)
    assert met == {0, 1, 2, 3}


def test_a_field_on_one_sheet_measures_what_it_says(tmp_path: Path) -> None:
    done = kit(film(tmp_path / "f", 120.0), only=["marks"])
    file = done.file or Path()
    [page] = read(file)[1:]
    boxes = [np.ptp(np.array(line), axis=0) for line in page.lines if len(line) >= 4]
    assert any(abs(w - 120) <= WITHIN and abs(h - 67.5) <= WITHIN for w, h in boxes)
    found = detected(raster(file, 1))
    middle = np.mean([found[c].mean(axis=0) for c in range(4)], axis=0)
    mm = 25.4 / 600
    for corner in corners(Stage(64, 36, 120.0)):
        ours = np.array(corner.points) * (1, -1)
        theirs = (found[corner.code] - middle) * mm
        assert np.abs(ours - theirs).max() <= 0.1


def test_coded_marks_decode_from_a_hundred_photographs(tmp_path: Path) -> None:
    """Perspective, blur, uneven light and noise, as a camera over a table has them."""
    done = kit(film(tmp_path / "f", 220.0), only=["marks"])
    assert done.pages["marks"] == 1
    page = raster(done.file or Path(), 1, 300)
    found = np.concatenate(list(detected(page).values()))
    (left, top), (right, low) = found.min(axis=0).astype(int), found.max(axis=0).astype(int)
    # the picture is a little wider than the field
    sheet = page[top - 100 : low + 100, left - 100 : right + 100]
    high, wide = sheet.shape
    random = np.random.default_rng(4)
    out = (1920, 1280)
    y, x = np.mgrid[0 : out[1], 0 : out[0]].astype(np.float32)
    decoded = 0
    for _ in range(100):
        corners_of = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
        edge = np.array([(70, 70), (1850, 70), (1850, 1210), (70, 1210)], np.float32)
        to = (edge + random.uniform(-65, 65, (4, 2))).astype(np.float32)
        warped = cv2.warpPerspective(
            sheet, cv2.getPerspectiveTransform(corners_of, to), out, flags=cv2.INTER_AREA, borderValue=(90,)
        ).astype(np.float64)
        photo = np.asarray(cv2.GaussianBlur(warped, (0, 0), random.uniform(0.8, 2.0)), np.float64)
        light = 0.75 + 0.25 * np.cos((x - random.uniform(0, 1920)) / 1500) * np.cos((y - 640) / 1200)
        photo = 20 + 0.8 * photo * light + random.normal(0, random.uniform(2, 8), photo.shape)
        decoded += set(detected(photo.clip(0, 255).astype(np.uint8))) == {0, 1, 2, 3}
    assert decoded == 100


@pytest.mark.parametrize("room", [150.0, 182.0, 269.0])
@pytest.mark.parametrize("length", [100.0, 269.0, 270.0, 443.0, 2000.0])
def test_shares_of_a_length_meet_and_fit(room: float, length: float) -> None:
    found = reaches(-length / 2, length, room, [(-9, 9)])
    assert found[0].start == -length / 2
    assert found[-1].end == pytest.approx(length / 2)
    for one in found:
        assert one.end - one.start <= room + 1e-9
    for one, after in pairwise(found):
        assert one.joins[1] == after.joins[0]
        assert one.joins[1] is not None
        assert not -9 < one.joins[1] < 9
        assert one.end - after.start == pytest.approx(20)
