"""A film folder is read whole, and all that is wrong with it is told at once, file by file and line by line."""

from __future__ import annotations

import struct
import sys
from pathlib import Path

import pytest
from tests.tinyfilm import CAT, DOCUMENTS, FILES, HILL, png, wav, write_tiny

from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.sheets import expose_all


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def put(root: Path, file: str, old: str, new: str) -> None:
    path = root / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
    path.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def told(root: Path) -> list[Mistake]:
    folder = load(root)
    return [*folder.mistakes, *expose_all(folder).mistakes]


def only(root: Path) -> Mistake:
    found = told(root)
    assert len(found) == 1, found
    return found[0]


def test_a_right_folder_is_read_without_a_word(root: Path) -> None:
    folder = load(root)
    assert (folder.mistakes, folder.warnings) == ((), ())
    sheets = expose_all(folder)
    assert (sheets.mistakes, sheets.warnings) == ((), ())
    assert [sheets.sheets[name].frames for name in folder.film.scenes] == [12, 6]


def test_cutouts_are_measured_by_their_pixels_and_their_width(root: Path) -> None:
    head = load(root).cutouts["head"]
    assert (head.width, head.height, head.width_mm, head.mm_per_px) == (6, 6, 12.0, 2.0)


def test_figures_of_a_scene_have_their_cutouts_and_its_background(root: Path) -> None:
    figures = load(root).figures("010-hill")
    assert list(figures) == ["background", "cat", "ball"]
    assert figures["cat"].root == "body"
    assert set(figures["cat"].cutouts) == {"ball", "head"}


# Each row: the file, what is changed in it, the file and line that are told of, and a word that must be said.
SLIPS: list[tuple[str, str, str, str, int, str]] = [
    # ruff: noqa: E501
    ("film.toml", 'title = "Tiny"', 'titel = "Tiny"', "film.toml", 3, "did you mean title?"),
    ("film.toml", "field_mm = 128.0", 'field_mm = "128"', "film.toml", 6, 'the text "128"'),
    ("film.toml", "[64, 36]", "[64, 37]", "film.toml", 5, "even"),
    ("film.toml", '"24"', "23.976", "film.toml", 4, '"24000/1001"'),
    ("film.toml", "format = 1", "format = 7", "film.toml", 2, "newer splitpin"),
    ("film.toml", "format = 1", 'format = "1"', "film.toml", 2, 'the text "1"'),
    ("film.toml", "format = 1\n", "", "film.toml", 1, "format = 1"),
    ("film.toml", '"020-sea"', '"020-see"', "film.toml", 7, "did you mean 020-sea?"),
    ("film.toml", '"hum.wav"', '"sounds/hum.wav"', "film.toml", 10, "write hum.wav"),
    ("film.toml", '"hum.wav"', '"../hum.wav"', "film.toml", 10, "leaves the film folder"),
    ("film.toml", '"hum.wav"', '"Hum.wav"', "film.toml", 10, "write hum.wav"),
    ("film.toml", "loop = true", 'panel = "goes"', "film.toml", 12, "runs across scenes"),
    ("film.toml", "loop = true", "loop = yes", "film.toml", 12, "cannot be read as TOML"),
    ("film.toml", "loop = true", "loop = 1", "film.toml", 12, "`true` or `false`"),
    ("film.toml", "[outlets.web]", '[outlets."a b"]', "film.toml", 14, "the name"),
    ("scenes/010-hill.toml", 'background = "hill"', 'background = "hil"', "scenes/010-hill.toml", 3, "mean hill?"),
    ("scenes/010-hill.toml", '"board/hill.png"', '"board/hell.png"', "scenes/010-hill.toml", 10, "hill.png"),
    ("scenes/010-hill.toml", '"board/hill.png"', '"/etc/passwd"', "scenes/010-hill.toml", 10, "outside"),
    ("scenes/010-hill.toml", '"board/hill.png"', "'C:\\hill.png'", "scenes/010-hill.toml", 10, "outside"),
    ("scenes/010-hill.toml", '"board/hill.png"', "'board\\hill.png'", "scenes/010-hill.toml", 10, "backslash"),
    ("scenes/010-hill.toml", "seconds = 0.25", "seconds = -1", "scenes/010-hill.toml", 14, "above 0"),
    ("scenes/010-hill.toml", "seconds = 0.25", "", "scenes/010-hill.toml", 12, "seconds or frames"),
    ("scenes/010-hill.toml", 'character = "cat"', 'character = "cta"', "scenes/010-hill.toml", 18, "mean cat?"),
    ("scenes/010-hill.toml", "angle = 5", "agnle = 5", "scenes/010-hill.toml", 20, "angle"),
    ("scenes/010-hill.toml", '"open"', '"opne"', "scenes/010-hill.toml", 20, "open"),
    ("scenes/010-hill.toml", "cat.body.paw", "cat.body.pow", "scenes/010-hill.toml", 24, "paw"),
    ("scenes/010-hill.toml", "cat.body.paw", "ball.piece.x", "scenes/010-hill.toml", 24, "no pin"),
    ("scenes/010-hill.toml", 'move = "hold"', 'move = "hodl"', "scenes/010-hill.toml", 28, "mean hold?"),
    ("scenes/010-hill.toml", '"hold"\nwho = "cat"', '"hold"\nwho = "cta"', "scenes/010-hill.toml", 29, "mean cat?"),
    ("scenes/010-hill.toml", "positions = 2", "positions = 0", "scenes/010-hill.toml", 30, "1 to"),
    ("scenes/010-hill.toml", "positions = 2", "panle = 'goes'", "scenes/010-hill.toml", 30, "mean panel?"),
    ("scenes/010-hill.toml", "pause.end", "puase.end", "scenes/010-hill.toml", 34, "pause"),
    ("scenes/010-hill.toml", 'panel = "goes"', 'panel = "gose"', "scenes/010-hill.toml", 38, "goes"),
    ("scenes/010-hill.toml", "frame = 2", "frame = 99", "scenes/010-hill.toml", 39, "99"),
    ("scenes/010-hill.toml", '["cat", "ball"]', '["cat", "bell"]', "scenes/010-hill.toml", 4, "mean ball?"),
    ("scenes/020-sea.toml", "#204060", "blue", "scenes/020-sea.toml", 3, "a colour"),
    ("scenes/020-sea.toml", "on = 3", "on = 2.5", "scenes/020-sea.toml", 2, "whole number"),
    ("characters/cat.toml", '"body.neck"', '"body.nick"', "characters/cat.toml", 11, "neck"),
    ("characters/cat.toml", '"body.neck"', '"head.chin"', "characters/cat.toml", 11, "ring"),
    ("characters/cat.toml", 'pin = "neck"', 'pin = "nape"', "characters/cat.toml", 12, "nape"),
    ("characters/cat.toml", '"head", "mouth"]', '"head"]', "characters/cat.toml", 3, "mouth left out"),
    ("characters/cat.toml", "[-30, 30]", "[30, -30]", "characters/cat.toml", 13, "least to the greatest"),
    ("characters/cat.toml", 'cutout = "head"\non', 'cutout = "haed"\non', "characters/cat.toml", 10, "mean head?"),
    ("characters/cat.toml", 'open.cutout = "head"', 'open.cutout = "x"', "characters/cat.toml", 23, "'x'"),
    ("cutouts/ball.toml", "width_mm = 20", "width_mm = inf", "cutouts/ball.toml", 2, "inf"),
    ("cutouts/ball.toml", '"found"', '"lost"', "cutouts/ball.toml", 3, "'lost'"),
    ("pictures/found.toml", "CC0-1.0", "CC0", "pictures/found.toml", 4, "did you mean CC0-1.0?"),
    ("pictures/found.toml", "date = 1912-05-31", f'sha256 = "{"0" * 64}"', "pictures/found.toml", 3, "differs"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("file", "old", "new", "where", "line", "word"), SLIPS, ids=[f"{s[0]}: {s[2]}" for s in SLIPS]
)
def test_a_slip_is_told_once_with_its_line(
    root: Path, file: str, old: str, new: str, where: str, line: int, word: str
) -> None:
    put(root, file, old, new)
    found = told(root)
    assert (where, line) in [(m.file, m.line) for m in found], found
    first = next(m for m in found if (m.file, m.line) == (where, line))
    assert word in f"{first.found} | {first.expected} | {first.remedy}"
    assert all((first.found, first.expected, first.remedy))


@pytest.mark.parametrize(
    ("file", "old", "new", "line", "remedy"),
    [
        ("film.toml", '"hum.wav"', '"hum.mp3"', 10, "did you mean hum.wav?"),
        ("scenes/010-hill.toml", '"tick.wav"', '"tock.wav"', 33, "did you mean tick.wav?"),
    ],
)
def test_a_sound_that_is_not_there_yet_is_a_warning_with_its_line(
    root: Path, file: str, old: str, new: str, line: int, remedy: str
) -> None:
    put(root, file, old, new)
    assert told(root) == []
    assert [(w.file, w.line, w.remedy) for w in load(root).warnings] == [(file, line, remedy)]


def test_mistakes_of_all_documents_are_told_at_once(root: Path) -> None:
    put(root, "film.toml", "loop = true", "lop = true")
    put(root, "scenes/010-hill.toml", "positions = 2", "positoins = 2")
    put(root, "scenes/010-hill.toml", 'panel = "goes"', 'panel = "gose"')
    put(root, "scenes/020-sea.toml", "#204060", "blue")
    put(root, "characters/cat.toml", 'pin = "neck"', 'pin = "nape"')
    (root / "cutouts/head.png").unlink()
    (root / "sounds/tick.wav").write_bytes(b"no sound at all")
    (root / "takes/020-sea/000003.png").write_bytes(FILES["takes/020-sea/000003.png"][:-9])
    assert [(m.file, m.line) for m in told(root)] == [
        ("film.toml", 12),
        ("characters/cat.toml", 10),
        ("characters/cat.toml", 12),
        ("scenes/010-hill.toml", 30),
        ("scenes/020-sea.toml", 3),
        ("sounds/tick.wav", None),
        ("takes/020-sea/000003.png", None),
        ("scenes/010-hill.toml", 38),
    ]


def test_what_only_follows_from_another_mistake_is_not_told(root: Path) -> None:
    put(root, "scenes/010-hill.toml", 'character = "cat"', 'character = "dog"')
    assert only(root).line == 18


@pytest.mark.parametrize(
    ("file", "data", "word"),
    [
        ("cutouts/head.png", b"", "is empty"),
        ("cutouts/head.png", b"GIF89a" + b"\0" * 40, "a GIF picture"),
        ("cutouts/head.png", b"\xff\xd8\xff\xe0" + b"\0" * 40 + b"\xff\xd9", "a JPEG file, though"),
        ("cutouts/head.png", png(6, 6)[:-20], "breaks off"),
        ("cutouts/head.png", png(6, 6)[:40] + b"\x01" + png(6, 6)[41:], "damaged"),
        (
            "cutouts/head.png",
            png(6, 6).replace(struct.pack(">II", 6, 6), struct.pack(">II", 6, 7)),
            "damaged",
        ),
        ("sounds/tick.wav", b"", "is empty"),
        ("sounds/tick.wav", b"ID3" + b"\0" * 40, "an MP3 file, though"),
        ("sounds/tick.wav", wav(0.05, 900)[:-10], "breaks off"),
        ("sounds/tick.wav", wav(0, 900), "without a single sample"),
        ("board/hill.png", b"hello", "not a picture"),
        ("takes/010-hill/000000-2.png", b"hello", "not a picture"),
        ("pictures/found.png", b"hello", "not a picture"),
    ],
)
def test_a_file_of_the_wrong_kind_is_told(root: Path, file: str, data: bytes, word: str) -> None:
    (root / file).write_bytes(data)
    found = [m for m in told(root) if word in m.found]
    assert [m.file for m in found if m.file == file] or "empty" in word, told(root)
    assert found


def test_a_picture_of_too_many_pixels_is_refused_by_its_header(root: Path) -> None:
    import zlib

    def chunk(tag: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + tag + data + struct.pack(">I", zlib.crc32(tag + data))

    bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", 60000, 60000, 8, 6, 0, 0, 0))
    (root / "cutouts/head.png").write_bytes(bomb + chunk(b"IDAT", b"x") + chunk(b"IEND", b""))
    assert "60000 × 60000" in only(root).found


def test_a_document_of_too_many_megabytes_is_not_read(root: Path) -> None:
    (root / "scenes/020-sea.toml").write_bytes(b"#" * (5 << 20))
    assert "5.0 MB" in only(root).found


@pytest.mark.parametrize(
    ("data", "line", "word"),
    [
        (b"", None, "is empty"),
        (b"\n\n", 1, "an empty document"),
        (b"format = 1\nx = '\xff'\n", 2, "UTF-8"),
        (b"format = 1\nx = [[[\n", 2, "Invalid value"),
        (b"a = " + b"[" * 100_000, None, ""),
        (b"a = 1" + b"0" * 5000, 1, "too many digits"),
        (b"x." * 200 + b"x = 1\n", None, "tables within tables"),
        (b"format = 1\nformat = 1\n", 2, "`format` stands here a second time"),
    ],
)
def test_a_document_that_is_no_toml_is_told(root: Path, data: bytes, line: int | None, word: str) -> None:
    (root / "scenes/020-sea.toml").write_bytes(data)
    found = only(root)
    assert found.file == "scenes/020-sea.toml"
    assert word.lower() in found.found.lower()
    if word:
        assert found.line == line


@pytest.mark.skipif(sys.platform == "win32", reason="making links needs a privilege there")
def test_links_that_lead_out_or_nowhere_are_not_followed(root: Path, tmp_path: Path) -> None:
    (tmp_path / "outside.wav").write_bytes(wav(0.1, 300))
    (root / "sounds/tick.wav").unlink()
    (root / "sounds/tick.wav").symlink_to(tmp_path / "outside.wav")
    (root / "board/hill.png").unlink()
    (root / "board/hill.png").symlink_to("hill.png")
    found = told(root)
    assert any("leads out" in m.found for m in found)
    assert any("leads nowhere" in m.found for m in found)


@pytest.mark.skipif(sys.platform == "win32", reason="making links needs a privilege there")
def test_links_that_stay_inside_are_followed(root: Path) -> None:
    (root / "sounds/tick.wav").rename(root / "sounds/tock.wav")
    (root / "sounds/tick.wav").symlink_to("tock.wav")
    assert told(root) == []


def test_names_that_some_disks_cannot_tell_apart_are_told(root: Path) -> None:
    (root / "scenes/010-Hill.toml").write_text(HILL, encoding="utf-8")
    if len(list((root / "scenes").iterdir())) == 2:
        pytest.skip("this disk cannot tell them apart")
    assert any("differ only in capitals" in m.found for m in told(root))


def test_names_that_windows_keeps_for_devices_are_told(root: Path) -> None:
    (root / "characters/con.toml").write_text(CAT, encoding="utf-8")
    assert "Windows" in only(root).expected


def test_takes_are_counted_and_strangers_among_them_told(root: Path) -> None:
    take = FILES["takes/020-sea/000003.png"]
    (root / "takes/020-sea/000001.png").write_bytes(take)
    (root / "takes/020-sea/third.png").write_bytes(take)
    (root / "takes/030-sky").mkdir()
    folder = load(root)
    assert folder.mistakes == ()
    assert [m.file for m in folder.warnings] == ["takes/020-sea/third.png", "takes/030-sky"]
    assert [m.file for m in expose_all(folder).warnings] == ["takes/020-sea/000001.png"]


def test_a_missing_licence_is_a_warning(root: Path) -> None:
    put(root, "pictures/found.toml", 'licence = "CC0-1.0"\n', "")
    folder = load(root)
    assert folder.mistakes == ()
    assert [m.file for m in folder.warnings] == ["pictures/found.toml"]


def test_a_licence_of_ones_own_is_a_reference(root: Path) -> None:
    put(root, "pictures/found.toml", "CC0-1.0", "LicenseRef-aunt-Ada")
    assert told(root) == []


def test_a_film_without_scenes_is_told(root: Path) -> None:
    put(root, "film.toml", 'scenes = ["010-hill", "020-sea"]', "")
    assert only(root).found == "no scenes"


def test_provenance_without_its_file_is_told(root: Path) -> None:
    (root / "pictures/other.toml").write_text(DOCUMENTS["pictures/found.toml"], encoding="utf-8")
    assert only(root).file == "pictures/other.toml"


@pytest.mark.parametrize("what", ["absent", "a file", "no film", "film.toml itself", "\0"])
def test_where_there_is_no_film_folder_one_clear_error_is_raised(tmp_path: Path, what: str) -> None:
    path = tmp_path / "x"
    if what == "a file":
        path.write_text("x")
    elif what == "no film":
        path.mkdir()
    elif what == "film.toml itself":
        path = write_tiny(path) / "film.toml"
    elif what == "\0":
        path = tmp_path / "a\0b"
    with pytest.raises(FolderError) as e:
        load(path)
    assert e.value.remedy


def test_reading_changes_nothing(root: Path) -> None:
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in root.rglob("*") if p.is_file()}
    told(root)
    assert {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in root.rglob("*") if p.is_file()} == before


def test_a_folder_is_a_frozen_value(root: Path) -> None:
    folder: FilmFolder = load(root)
    with pytest.raises(AttributeError):
        folder.film = folder.film  # type: ignore[misc]
