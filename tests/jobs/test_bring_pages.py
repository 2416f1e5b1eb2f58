"""Each thing that is brought has a document of its own, whatever else is there, and nothing is half noted."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile
from PIL import Image
from tests.tinyfilm import write_tiny

from splitpin.folder import save
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError
from splitpin.jobs import papers
from splitpin.jobs.bring import bring
from splitpin.jobs.papers import Told
from splitpin.jobs.ready import RefusedError


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "film")


def picture(path: Path, shade: int = 90) -> Path:
    Image.new("RGB", (20, 10), (shade, 80, 70)).save(path)
    return path


def sound(path: Path, seconds: float = 0.5) -> Path:
    soundfile.write(path, 0.3 * np.sin(np.arange(round(8000 * seconds)) / 5), 8000)
    return path


def scan(path: Path, *ppi: int | None) -> Path:
    """A TIFF of two pages; ``ppi`` of each, where it tells."""
    data = b"II*\0\x08\0\0\0"
    for number, told in enumerate(ppi):
        strip = bytes(range(number, number + 64))
        entries = {256: 8, 257: 8, 258: 8, 259: 1, 262: 1, 277: 1, 278: 8, 279: 64}
        at = len(data) + 2 + 12 * (len(entries) + 1 + (3 if told else 0)) + 4
        entries[273] = at + 8
        # TIFF 6.0, 2: a directory of tag, kind, count, value; resolutions are fractions that lie elsewhere
        rows = [(tag, 4, value) for tag, value in entries.items()]
        rows += [(282, 5, at), (283, 5, at), (296, 4, 2)] if told else []
        data += len(rows).to_bytes(2, "little")
        for tag, kind, value in sorted(rows):
            data += b"".join(n.to_bytes(k, "little") for n, k in ((tag, 2), (kind, 2), (1, 4), (value, 4)))
        last = number + 1 == len(ppi)
        data += (0 if last else at + 8 + 64).to_bytes(4, "little")
        data += (told or 0).to_bytes(4, "little") + (1).to_bytes(4, "little") + strip
    path.write_bytes(data)
    return path


def test_a_page_that_lost_its_document_takes_none_that_is_another_picture_s(
    root: Path, tmp_path: Path
) -> None:
    file = scan(tmp_path / "scan.tif", None, None)
    bring(root, [file], Told())
    (root / "pictures/scan-2.toml").unlink()
    (other,) = bring(root, [picture(tmp_path / "scan-2.png")], Told(by="Ada"))
    before = (root / other.document).read_bytes()
    assert [d.name for d in bring(root, [file], Told())] == ["scan", "scan-3"]
    assert (root / other.document).read_bytes() == before
    folder = load(root)
    assert folder.mistakes == ()
    assert (folder.pictures["scan-3"].of, folder.pictures["scan-3"].page) == ("scan", 2)
    assert [d.name for d in bring(root, [file], Told())] == ["scan", "scan-3"]


def test_a_page_whose_document_cannot_be_read_gets_no_second_one(root: Path, tmp_path: Path) -> None:
    file = scan(tmp_path / "scan.tif", None, None)
    bring(root, [file], Told())
    (root / "pictures/scan-2.toml").write_text("format = 1\nof = \n")
    with pytest.raises(RefusedError) as refused:
        bring(root, [file], Told())
    assert [m.file for m in refused.value.mistakes] == ["pictures/scan-2.toml"]


def test_pictures_brought_together_never_take_a_name_that_a_page_has(root: Path, tmp_path: Path) -> None:
    files = [scan(tmp_path / "scan.tif", None, None), picture(tmp_path / "scan-2.png")]
    assert [d.name for d in bring(root, [*files, files[0]], Told())] == [
        "scan", "scan-2", "scan-2-2", "scan", "scan-2",
    ]  # fmt: skip
    assert load(root).mistakes == ()


def test_what_is_answered_of_the_ppi_is_noted_only_where_the_file_does_not_tell(
    root: Path, tmp_path: Path
) -> None:
    files = [scan(tmp_path / "a.tif", None, 600), scan(tmp_path / "b.tif", 1200, None)]
    done = bring(root, files, Told(), ask=lambda _: 300.0)
    assert [d.ppi for d in done] == [300.0, 600.0, 1200.0, 300.0]


def test_a_ppi_that_is_told_holds_for_every_page_whatever_it_tells_itself(root: Path, tmp_path: Path) -> None:
    done = bring(root, [scan(tmp_path / "a.tif", None, 600)], Told(ppi=400.0), ask=lambda _: 300.0)
    assert [d.ppi for d in done] == [400.0, 400.0]
    assert [load(root).pictures[d.name].ppi for d in done] == [400.0, 400.0]


def test_nothing_is_written_before_all_is_asked(root: Path, tmp_path: Path) -> None:
    before = sorted(root.rglob("*"))

    def leaves(name: str) -> float:
        if name == "b.png":
            raise KeyboardInterrupt
        return 300.0

    with pytest.raises(KeyboardInterrupt):
        bring(root, [picture(tmp_path / "a.png"), picture(tmp_path / "b.png", 5)], Told(), leaves)
    with pytest.raises(FolderError, match="ppi"):
        bring(root, [picture(tmp_path / "a.png")], Told(), lambda _: -1.0)
    assert sorted(root.rglob("*")) == before


@pytest.mark.parametrize("waiting", ["rain.toml", "rain.wav.toml", "rain-2.toml"])
def test_mistakes_in_a_document_that_waits_for_a_sound_stop_all_before_anything_is_written(
    root: Path, tmp_path: Path, waiting: str
) -> None:
    (root / "sounds" / waiting).write_text('format = 1\nlicence = "free"\n')
    files = [picture(tmp_path / "aa.png"), sound(tmp_path / "rain.wav"), sound(tmp_path / "rain.flac", 0.7)]
    before = sorted(p.relative_to(root) for p in root.rglob("*"))
    with pytest.raises(RefusedError) as refused:
        bring(root, files, Told())
    assert [m.file for m in refused.value.mistakes] == [f"sounds/{waiting}"]
    assert sorted(p.relative_to(root) for p in root.rglob("*")) == before


def test_a_document_takes_everything_up_in_one_writing_or_nothing(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = picture(tmp_path / "a.png")
    bring(root, [file], Told())
    before = (root / "pictures/a.toml").read_bytes()
    writings: list[Path] = []

    def write(path: Path, data: bytes) -> None:
        writings.append(path)
        if len(writings) > 1:
            raise FolderError(path.name, "it cannot be written (disk full)", "room", "make room")
        save.write_whole(path, data)

    monkeypatch.setattr(papers, "write_whole", write)
    monkeypatch.setattr("splitpin.folder.edit.write_whole", write)
    (done,) = bring(root, [file], Told("a drawer", "Ada", "1912", "CC0-1.0", 600.0))
    assert done.taken_up == ("source", "by", "date", "licence", "ppi")
    assert writings == [root / "pictures/a.toml"]
    assert (root / "pictures/a.toml").read_bytes() != before
