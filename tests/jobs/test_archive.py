"""An archive proves itself: what is lost, added or changed is named; the film comes out as it went in."""

from __future__ import annotations

import shutil
from pathlib import Path

import bagit  # type: ignore[import-untyped]
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.tinyfilm import write_tiny

from splitpin.device.bag import LISTS, Kept, is_bag, spoilt_in, write_bag
from splitpin.folder.mistake import FolderError
from splitpin.jobs.archive import archive
from splitpin.jobs.frame_sums import frame_sums
from splitpin.jobs.restore import remade_otherwise, restore, verify


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive of the tiny film, not to be changed."""
    home = tmp_path_factory.mktemp("archive")
    root = write_tiny(home / "tiny")
    (root / ".notes").write_text("hidden", encoding="utf-8")
    return archive(root, home / "kept").path


@pytest.fixture
def copy(kept: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(kept, tmp_path / "copy"))


def test_an_archive_is_a_bag_that_another_program_finds_whole(kept: Path) -> None:
    # bagit is the Library of Congress's own reader of RFC 8493.
    assert bagit.Bag(str(kept)).validate()
    assert verify(kept) == ()


def test_it_holds_the_film_what_was_delivered_the_rights_and_a_label(kept: Path) -> None:
    names = {p.relative_to(kept / "data").as_posix() for p in (kept / "data").rglob("*") if p.is_file()}
    assert {"film/film.toml", "delivered/tiny.mp4", "frames.txt", "rights.txt", "box-label.txt"} <= names
    assert not any("made/" in name or ".notes" in name for name in names)
    assert "SHA-256" in (kept / "data" / "read-me.txt").read_text(encoding="utf-8")


def test_one_bit_anywhere_and_the_file_is_named(kept: Path, tmp_path: Path) -> None:
    files = sorted(p for p in kept.rglob("*") if p.is_file())
    for number, file in enumerate(files):
        name = file.relative_to(kept).as_posix()
        data = bytearray(file.read_bytes())
        if not data:
            continue
        for where in {0, len(data) // 3, len(data) - 1}:
            spoilt = bytearray(data)
            spoilt[where] ^= 1 << ((number + where) % 8)
            file.write_bytes(spoilt)
            try:
                assert [s.file for s in verify(kept)] == [name], f"byte {where} of {name}"
            finally:
                file.write_bytes(data)
    assert verify(kept) == ()


@settings(max_examples=60)
@given(data=st.data())
def test_a_small_bag_names_whichever_file_was_changed_in_whatever_byte(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("bag") / "bag"
    folder.mkdir()
    write_bag(folder, [Kept("a.txt", b"one"), Kept("b/ü%\u2028.txt", b"two"), Kept("c", b"")], {"A": "b\nc"})
    assert list(spoilt_in(folder)) == []
    file = data.draw(
        st.sampled_from(sorted(p for p in folder.rglob("*") if p.is_file() and p.stat().st_size))
    )
    before = file.read_bytes()
    where = data.draw(st.integers(0, len(before) - 1))
    after = bytearray(before)
    after[where] ^= data.draw(st.integers(1, 255))
    file.write_bytes(after)
    assert {s.file for s in spoilt_in(folder)} == {file.relative_to(folder).as_posix()}


def test_a_file_that_is_missing_or_added_is_named(copy: Path) -> None:
    (copy / "data" / "rights.txt").unlink()
    (copy / "data" / "more.txt").write_text("more", encoding="utf-8")
    assert [(s.file, s.found.split()[0]) for s in verify(copy)] == [
        ("data/rights.txt", "missing"),
        ("data/more.txt", "not"),
    ]


@pytest.mark.parametrize("name", ["bagit.txt", "bag-info.txt", "manifest-sha256.txt", *LISTS])
def test_an_archive_without_one_of_its_lists_is_not_whole(name: str, copy: Path) -> None:
    (copy / name).unlink()
    assert name in [s.file for s in verify(copy)]


def test_what_comes_out_is_the_folder_that_went_in_and_makes_the_same_frames(
    kept: Path, tmp_path: Path
) -> None:
    out = restore(kept, tmp_path / "out")
    original = kept.parent / "tiny"
    names = [p.relative_to(out).as_posix() for p in sorted(out.rglob("*")) if p.is_file()]
    assert names
    assert all((out / n).read_bytes() == (original / n).read_bytes() for n in names)
    sums = (kept / "data" / "frames.txt").read_text(encoding="utf-8").split("\n")[:-1]
    assert frame_sums(out, workers=1) == sums
    assert remade_otherwise(kept) == []


def test_a_film_that_is_drawn_otherwise_is_told_with_its_frames(copy: Path) -> None:
    sums = (copy / "data" / "frames.txt").read_text(encoding="utf-8").split("\n")
    first, held, digest = sums[0].split()
    sums[0] = f"{first} {held} {digest[::-1]}"
    (copy / "data" / "frames.txt").write_text("\n".join(sums), encoding="utf-8", newline="\n")
    assert remade_otherwise(copy) == [f"frames 1 to {held}"]


def test_nothing_spoilt_is_restored(copy: Path, tmp_path: Path) -> None:
    film = copy / "data" / "film" / "film.toml"
    film.write_bytes(film.read_bytes().replace(b"Tiny", b"Tony"))
    with pytest.raises(FolderError, match=r"film\.toml"):
        restore(copy, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_writing_that_is_broken_off_leaves_no_archive(
    kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import splitpin.jobs.archive as job

    def full(*_: object, **__: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(job, "write_bag", full)
    monkeypatch.setattr(job, "frame_sums", lambda *_: ["1 1 0"])
    with pytest.raises(KeyboardInterrupt):
        job.archive(kept.parent / "tiny", tmp_path / "half")
    assert list(tmp_path.iterdir()) == []


def test_what_is_there_is_never_written_over(kept: Path, tmp_path: Path) -> None:
    root = kept.parent / "tiny"
    with pytest.raises(FolderError, match="already"):
        archive(root, kept)
    with pytest.raises(FolderError, match="film folder itself"):
        archive(root, root / "sounds" / "kept")
    with pytest.raises(FolderError, match="no archive"):
        verify(root)
    assert not is_bag(root)
