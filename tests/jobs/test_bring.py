"""Found pictures come into the folder as they are, noted, once; what cannot be used is refused in words."""

from __future__ import annotations

import hashlib
import json
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms
from tests.halftone import photo
from tests.tinyfilm import write_tiny

from splitpin.device.found import read_found
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs.bring import bring
from splitpin.jobs.found import open_found
from splitpin.jobs.papers import Told
from splitpin.jobs.ready import RefusedError

CC0 = Told(source="a drawer", by="nobody", licence="CC0-1.0")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "film")


def picture(size: tuple[int, int] = (30, 20)) -> Image.Image:
    return Image.fromarray(photo("chelsea")).crop((100, 50, 100 + size[0], 50 + size[1]))


@pytest.mark.parametrize(
    ("name", "mode"),
    [
        ("a.jpg", "RGB"), ("a.jpg", "CMYK"), ("a.jpg", "L"), ("a.png", "RGBA"), ("a.png", "P"),
        ("a.png", "I;16"),
        ("a.tif", "RGB"), ("a.tif", "CMYK"), ("a.tif", "1"), ("a.tif", "LAB"), ("a.webp", "RGB"),
        ("a.webp", "RGBA"),
    ],
)  # fmt: skip
def test_every_kind_is_copied_byte_for_byte_hashed_and_opens_as_srgb(
    root: Path, tmp_path: Path, name: str, mode: str
) -> None:
    file = tmp_path / name
    if mode == "LAB":
        lab = ImageCms.profileToProfile(
            picture(), ImageCms.createProfile("sRGB"), ImageCms.createProfile("LAB"), outputMode="LAB"
        )
        assert lab is not None
        lab.save(file)
    elif mode == "I;16":
        Image.fromarray(np.asarray(picture().convert("L")).astype(np.uint16) * 257).save(file)
    else:
        picture().convert(mode).save(file)
    (done,) = bring(root, [file], CC0)
    kept = root / "pictures" / name
    assert kept.read_bytes() == file.read_bytes()
    document = load(root).pictures[done.name]
    assert document.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert document.licence == "CC0-1.0"
    assert load(root).mistakes == ()
    rgb = open_found(root, done.name)
    assert rgb.shape == (20, 30, 3)
    true = np.asarray(picture().convert("L" if mode in ("L", "I;16") else "RGB"), np.float64)
    if mode != "1":
        assert abs(float(rgb.mean()) - true.mean()) < 6


def test_16_bits_a_channel_are_scaled_not_clipped(root: Path, tmp_path: Path) -> None:
    ramp = np.linspace(0, 65535, 256).astype(np.uint16)[None].repeat(8, 0)
    file = tmp_path / "deep.tif"
    Image.fromarray(ramp).save(file)
    assert np.abs(read_found(file).rgb[0, :, 0].astype(int) - np.arange(256)).max() <= 1


def test_a_camera_s_note_of_how_it_was_held_is_obeyed(root: Path, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[274] = 6  # Exif 2.32, 4.6.4: orientation 6 is shown turned a quarter clockwise
    file = tmp_path / "held.jpg"
    picture().save(file, exif=exif)
    (done,) = bring(root, [file], CC0)
    assert (done.width, done.height) == (20, 30)
    assert open_found(root, "held").shape == (30, 20, 3)


def test_srgb_s_own_profile_changes_nothing(tmp_path: Path) -> None:
    # the one profile whose result is known without another colour engine: sRGB's own changes nothing
    file = tmp_path / "same.png"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    picture().save(file, icc_profile=profile)
    found = read_found(file)
    assert np.abs(found.rgb.astype(int) - np.asarray(picture())).max() <= 1
    assert found.notes == ()


def test_a_profile_for_other_colours_is_left_aside_and_told_of(tmp_path: Path) -> None:
    file = tmp_path / "odd.png"
    picture().save(file, icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes())
    found = read_found(file)
    assert np.array_equal(found.rgb, np.asarray(picture()))
    assert "left aside" in found.notes[0]


@pytest.mark.parametrize(("dpi", "ppi"), [((600, 600), 600.0), ((72, 72), None), ((300, 200), None)])
def test_the_scan_s_ppi_is_read_unless_it_says_nothing(
    tmp_path: Path, dpi: tuple[int, int], ppi: float | None
) -> None:
    for name in ("a.jpg", "a.png", "a.tif"):
        picture().save(tmp_path / name, dpi=dpi)
        assert read_found(tmp_path / name).ppi == ppi


def test_who_brings_it_is_asked_for_the_ppi_that_the_file_does_not_tell(root: Path, tmp_path: Path) -> None:
    picture().save(tmp_path / "a.png")
    (done,) = bring(root, [tmp_path / "a.png"], CC0, ask=lambda name: 450.0 if name == "a.png" else None)
    assert done.ppi == 450.0
    assert load(root).pictures["a"].ppi == 450.0


def test_each_page_of_a_tiff_is_a_picture_and_the_file_is_stored_once(root: Path, tmp_path: Path) -> None:
    file = tmp_path / "my album.tif"
    picture((30, 20)).save(file, save_all=True, append_images=[picture((12, 16)), picture((8, 9))])
    done = bring(root, [file], CC0)
    assert [d.name for d in done] == ["my-album", "my-album-2", "my-album-3"]
    assert len(list((root / "pictures").glob("my-album*.tif"))) == 1
    assert open_found(root, "my-album-3").shape == (9, 8, 3)
    assert load(root).mistakes == ()


def test_a_duplicate_is_named_and_not_stored_twice(root: Path, tmp_path: Path) -> None:
    picture().save(tmp_path / "a.png")
    (tmp_path / "b.png").write_bytes((tmp_path / "a.png").read_bytes())
    first, second = bring(root, [tmp_path / "a.png", tmp_path / "b.png"], CC0)
    assert (first.duplicate, second.duplicate, second.name) == (False, True, "a")
    before = sorted(p.name for p in (root / "pictures").iterdir())
    assert bring(root, [tmp_path / "b.png"], CC0)[0].name == "a"
    assert sorted(p.name for p in (root / "pictures").iterdir()) == before


def test_another_picture_of_the_same_name_gets_a_number(root: Path, tmp_path: Path) -> None:
    picture().save(tmp_path / "found.png")
    assert bring(root, [tmp_path / "found.png"], CC0)[0].name == "found-2"


def bomb() -> bytes:
    def chunk(tag: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + tag + data + struct.pack(">I", zlib.crc32(tag + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 99))
        + chunk(b"IEND", b"")
    )


def test_nothing_is_written_while_one_of_the_files_cannot_be_used(root: Path, tmp_path: Path) -> None:
    picture().save(tmp_path / "good.png")
    picture().save(tmp_path / "whole.jpg")
    picture((300, 200)).save(tmp_path / "whole.tif", compression="tiff_lzw")
    (tmp_path / "bomb.png").write_bytes(bomb())
    (tmp_path / "wrong.jpg").write_bytes((tmp_path / "good.png").read_bytes())
    (tmp_path / "half.tif").write_bytes((tmp_path / "whole.tif").read_bytes()[:-400])
    (tmp_path / "half.jpg").write_bytes((tmp_path / "whole.jpg").read_bytes()[:-300])
    (tmp_path / "cat.txt").write_text("cat")
    (tmp_path / "empty.png").write_bytes(b"")
    before = sorted(p.name for p in (root / "pictures").iterdir())
    bad = ["bomb.png", "wrong.jpg", "half.tif", "half.jpg", "cat.txt", "empty.png", "none.png"]
    with pytest.raises(RefusedError) as refused:
        bring(root, [tmp_path / n for n in ["good.png", *bad]], CC0)
    assert [Path(m.file).name for m in refused.value.mistakes] == bad
    assert sorted(p.name for p in (root / "pictures").iterdir()) == before


def test_an_unknown_licence_is_refused_before_anything_is_written(root: Path, tmp_path: Path) -> None:
    picture().save(tmp_path / "a.png")
    with pytest.raises(FolderError, match="licence"):
        bring(root, [tmp_path / "a.png"], Told(licence="free"))
    assert not (root / "pictures" / "a.png").exists()


def test_a_page_of_no_picture_is_a_mistake(root: Path) -> None:
    (root / "pictures" / "lost.toml").write_text('format = 1\nof = "founds"\npage = 2\n')
    (mistake,) = load(root).mistakes
    assert mistake.file == "pictures/lost.toml"
    assert "found" in json.dumps(mistake.remedy)
