"""Archives of a film with many outlets, of a folder that is worked on, of one with links; and two at once."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.tinyfilm import FILM, write_tiny

from splitpin.device.bag import Kept, spoilt_in, write_bag
from splitpin.folder.contents import contents
from splitpin.folder.mistake import FolderError
from splitpin.jobs import archive as job
from splitpin.jobs.archive import archive
from splitpin.jobs.restore import restore, verify

OUTLETS = """
[outlets.festival]
kind = "master"

[outlets.parts]
kind = "sound"
stems = true

[outlets.quiet]
kind = "sound"
stems = true
lufs = -30.0

[outlets.stills]
kind = "pictures"

[outlets.plates]
kind = "pictures"
form = "tiff"

[outlets.contact]
kind = "contact"
"""


def _named(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def film(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a film looks like is not what is tried here."""
    monkeypatch.setattr(job, "frame_sums", lambda *_: ["1 1 0"])


def test_every_outlet_is_kept_once_or_told_to_be_left(film: Path, tmp_path: Path) -> None:
    (film / "film.toml").write_text(FILM + OUTLETS, encoding="utf-8")
    done = archive(film, tmp_path / "kept")
    stems = {"mix.wav", "voice.wav", "effects.wav", "music.wav", "loudness.svg"}
    assert _named(tmp_path / "kept" / "data" / "delivered") == {
        "tiny.mp4", "tiny.srt", "tiny.vtt", "tiny-contact.pdf",
        *(f"tiny-festival.{form}" for form in ("mov", "srt", "vtt")),
        *(f"tiny-{name}/{stem}" for name in ("parts", "quiet") for stem in stems),
    }  # fmt: skip
    assert done.left == ("stills", "plates")
    assert "the pictures of stills, plates" in (tmp_path / "kept/data/read-me.txt").read_text("utf-8")
    assert verify(tmp_path / "kept") == ()


def test_with_frames_the_films_own_pictures_are_them(film: Path, tmp_path: Path, quick: None) -> None:
    (film / "film.toml").write_text(FILM + OUTLETS, encoding="utf-8")
    done = archive(film, tmp_path / "kept", frames=True)
    frames = {f"{number:06d}.png" for number in range(1, 19)}
    assert _named(tmp_path / "kept" / "data" / "frames") == {"mix.wav", *frames}
    assert done.left == ("plates",)
    assert not any("stills" in name for name in _named(tmp_path / "kept"))


def test_frames_are_made_where_the_film_has_no_outlet_for_them(
    film: Path, tmp_path: Path, quick: None
) -> None:
    done = archive(film, tmp_path / "kept", frames=True)
    assert len(_named(tmp_path / "kept" / "data" / "frames")) == 18 + 1
    assert done.left == ()


def test_an_outlet_called_stills_that_gives_none_is_refused_with_frames(film: Path, tmp_path: Path) -> None:
    (film / "film.toml").write_text(f'{FILM}\n[outlets.stills]\neffort = "draft"\n', encoding="utf-8")
    with pytest.raises(FolderError, match="gives no PNG"):
        archive(film, tmp_path / "kept", frames=True)


@pytest.mark.parametrize(
    "edit",
    [
        lambda film: (film / "sounds/tick.wav").write_bytes((film / "sounds/hum.wav").read_bytes()),
        lambda film: (film / "sounds/tick.wav").unlink(),
        lambda film: (film / "sounds/tick.wav").rename(film / "sounds/tock.wav"),
        lambda film: (film / "scenes/030-late.toml").write_text("format = 1\n", encoding="utf-8"),
    ],
    ids=["changed", "taken away", "renamed", "added"],
)
def test_a_folder_that_is_worked_on_meanwhile_gives_no_archive(
    edit: Callable[[Path], object], film: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def drawn(*_: object) -> list[str]:
        edit(film)
        return ["1 1 0"]

    monkeypatch.setattr(job, "frame_sums", drawn)
    with pytest.raises(FolderError, match="while the film was archived") as told:
        archive(film, tmp_path / "kept")
    assert told.value.where in {"sounds/tick.wav", "sounds/tock.wav", "scenes/030-late.toml"}
    assert [path.name for path in tmp_path.iterdir()] == ["tiny"]


def test_whoever_comes_second_is_refused_and_the_first_stays(film: Path, tmp_path: Path, quick: None) -> None:
    to = tmp_path / "kept"

    def meanwhile(words: str) -> None:
        if words == "writing the archive":
            to.mkdir()
            (to / "other.txt").write_text("somebody else's", encoding="utf-8")

    with pytest.raises(FolderError, match="was put there meanwhile"):
        archive(film, to, doing=meanwhile)
    assert _named(to) == {"other.txt"}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["kept", "tiny"]


def test_the_same_holds_of_two_who_take_a_film_out(film: Path, tmp_path: Path, quick: None) -> None:
    kept, into = archive(film, tmp_path / "kept").path, tmp_path / "out"

    def meanwhile(words: str) -> None:
        if words == "writing the film folder":
            restore(kept, into)

    with pytest.raises(FolderError, match="was put there meanwhile"):
        restore(kept, into, meanwhile)
    assert _named(into) == {name for name, _ in contents(film)}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["kept", "out", "tiny"]


def test_a_link_within_the_folder_is_kept_as_what_it_leads_to(
    film: Path, tmp_path: Path, quick: None
) -> None:
    (film / "sounds/tick.wav").rename(film / "board/tick.wav")
    (film / "sounds/tick.wav").symlink_to(film / "board/tick.wav")
    (film / "sounds/more").symlink_to(film / "board", target_is_directory=True)
    (film / ".hidden").symlink_to(tmp_path / "nowhere")
    out = restore(archive(film, tmp_path / "kept").path, tmp_path / "out")
    assert not any(path.is_symlink() for path in out.rglob("*"))
    assert (out / "sounds/tick.wav").read_bytes() == (film / "board/tick.wav").read_bytes()
    assert (out / "sounds/more/tick.wav").is_file()


@pytest.mark.parametrize(
    ("target", "told"),
    [("nowhere.wav", "leads nowhere"), ("..", "out of the film folder"), (".", "it lies in itself")],
)
def test_a_link_that_leads_astray_is_named(target: str, told: str, film: Path, tmp_path: Path) -> None:
    (film / "sounds" / "astray").symlink_to(film / target)
    with pytest.raises(FolderError, match=told) as refused:
        archive(film, tmp_path / "kept")
    assert refused.value.where == "sounds/astray"
    assert not (tmp_path / "kept").exists()


def test_a_link_that_leads_round_to_itself_is_named(film: Path) -> None:
    (film / "sounds" / "round").symlink_to(film / "sounds" / "round")
    with pytest.raises(FolderError, match="leads nowhere"):
        list(contents(film))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="only some systems have pipes in folders")
def test_what_is_neither_file_nor_folder_is_named(film: Path) -> None:
    os.mkfifo(film / "sounds" / "pipe")
    with pytest.raises(FolderError, match="neither a file nor a folder"):
        list(contents(film))


def test_whatever_takes_a_files_place_is_named(tmp_path: Path) -> None:
    bag = tmp_path / "bag"
    bag.mkdir()
    write_bag(bag, [Kept(name, name.encode()) for name in ("a", "b", "c", "d", "e", "f")], {})
    for name in "abcde":
        (bag / "data" / name).unlink()
    (bag / "data/a").symlink_to(tmp_path / "nowhere")
    (tmp_path / "b").write_bytes(b"b")
    (bag / "data/b").symlink_to(tmp_path / "b")
    (bag / "data/c").mkdir()
    (bag / "data/c/inside").write_bytes(b"")
    os.mkfifo(bag / "data/d")
    (bag / "data/away").symlink_to(tmp_path, target_is_directory=True)
    (bag / "beside.txt").write_bytes(b"")
    extra = "not in manifest-sha256.txt"
    assert [(s.file, s.found) for s in spoilt_in(bag)] == [
        ("data/a", "a link that leads nowhere, where a file was kept"),
        ("data/b", "a link, where a file was kept"),
        ("data/c", "a folder, where a file was kept"),
        ("data/d", "something else, where a file was kept"),
        ("data/e", "missing"),
        ("beside.txt", extra),
        ("data/away", extra),
        ("data/c/inside", extra),
    ]
