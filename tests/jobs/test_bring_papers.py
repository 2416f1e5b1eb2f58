"""What is told of a thing that is there already is taken up; sounds come in as pictures do."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from PIL import Image
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.folder.load import load
from splitpin.jobs.bring import bring
from splitpin.jobs.credits import credits_of
from splitpin.jobs.papers import Kept, Told
from splitpin.jobs.ready import RefusedError


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "film")


def picture(path: Path, shade: int = 90, ppi: int | None = None) -> Path:
    dpi: dict[str, Any] = {} if ppi is None else {"dpi": (ppi, ppi)}
    Image.new("RGB", (20, 10), (shade, 80, 70)).save(path, **dpi)
    return path


def sound(path: Path, seconds: float = 0.5, loud: float = 0.3) -> Path:
    soundfile.write(path, loud * np.sin(np.arange(round(8000 * seconds)) / 5), 8000)
    return path


def test_papers_given_later_are_taken_up_and_comments_stay(root: Path, tmp_path: Path) -> None:
    file = picture(tmp_path / "a.png")
    bring(root, [file], Told(source="a drawer"))
    document = root / "pictures/a.toml"
    document.write_text("# from the attic\n" + document.read_text() + "\n[fit]\nstraighten = 1.5\n")
    (done,) = bring(root, [file], Told("a drawer", "Ada", "1912", "CC0-1.0", 600.0))
    assert done.duplicate
    assert done.taken_up == ("by", "date", "licence", "ppi")
    assert (done.kept, done.ppi) == ((), 600.0)
    says = load(root).pictures["a"]
    assert (says.by, says.date, says.licence, says.ppi, says.fit.straighten) == (
        "Ada",
        "1912",
        "CC0-1.0",
        600.0,
        1.5,
    )
    assert document.read_text().startswith("# from the attic\n")
    assert bring(root, [file], Told("a drawer", "Ada"))[0].taken_up == ()


def test_what_contradicts_is_told_and_what_is_noted_stays(root: Path, tmp_path: Path) -> None:
    file = picture(tmp_path / "a.png")
    bring(root, [file], Told(licence="CC0-1.0", ppi=600.0))
    before = (root / "pictures/a.toml").read_bytes()
    (done,) = bring(root, [file], Told(licence="CC-BY-4.0", ppi=300.0))
    assert done.kept == (Kept("licence", "CC0-1.0", "CC-BY-4.0"), Kept("ppi", "600", "300"))
    assert done.ppi == 600.0
    assert (root / "pictures/a.toml").read_bytes() == before


def test_what_the_file_tells_of_its_ppi_fills_a_blank_and_contradicts_nothing(
    root: Path, tmp_path: Path
) -> None:
    file = picture(tmp_path / "a.png", ppi=600)
    bring(root, [file], Told(ppi=450.0))
    assert bring(root, [file], Told())[0].kept == ()
    (root / "pictures/a.toml").write_text("format = 1\n")
    assert bring(root, [file], Told())[0].ppi == 600.0


def test_a_duplicate_without_a_document_gets_one(root: Path, tmp_path: Path) -> None:
    file = picture(root / "pictures/lone.png")
    (done,) = bring(root, [file], Told(by="Ada"))
    assert (done.name, done.duplicate) == ("lone", True)
    says = load(root).pictures["lone"]
    assert (says.by, says.sha256) == ("Ada", hashlib.sha256(file.read_bytes()).hexdigest())


def test_every_page_of_a_tiff_takes_papers_up_whatever_it_is_called_now(root: Path, tmp_path: Path) -> None:
    file = tmp_path / "book.tif"
    pages = [Image.new("RGB", (10, 10), (shade, 0, 0)) for shade in (10, 90, 200)]
    pages[0].save(file, save_all=True, append_images=pages[1:])
    bring(root, [file], Told())
    (root / "pictures/book-2.toml").rename(root / "pictures/plate.toml")
    assert [d.name for d in bring(root, [file], Told(licence="CC0-1.0"))] == ["book", "plate", "book-3"]
    told = load(root)
    assert told.mistakes == ()
    assert {told.pictures[n].licence for n in ("book", "plate", "book-3")} == {"CC0-1.0"}


def test_a_document_with_mistakes_stops_all_before_anything_is_written(root: Path, tmp_path: Path) -> None:
    file = picture(tmp_path / "a.png")
    bring(root, [file], Told())
    (root / "pictures/a.toml").write_text("format = 1\nppi = -3\n")
    with pytest.raises(RefusedError) as refused:
        bring(root, [picture(tmp_path / "new.png", 5), file], Told(by="Ada"))
    assert refused.value.mistakes[0].file == "pictures/a.toml"
    assert not (root / "pictures/new.png").exists()


@pytest.mark.parametrize("ending", ["wav", "flac", "ogg", "mp3"])
def test_a_sound_is_kept_byte_for_byte_with_its_papers(root: Path, tmp_path: Path, ending: str) -> None:
    file = sound(tmp_path / f"rain 1.{ending}")
    (done,) = bring(root, [file], Told("the roof", "Ada", "2026", "CC0-1.0", 600.0))
    assert (done.kind, done.name, done.document) == ("sound", f"rain-1.{ending}", "sounds/rain-1.toml")
    assert (done.sampling, done.channels) == (8000, 1)
    assert done.seconds == pytest.approx(0.5, abs=0.15)  # coded sounds are padded to whole packets
    assert (root / "sounds" / done.name).read_bytes() == file.read_bytes()
    says = load(root).sounds["rain-1"]
    assert (says.by, says.licence) == ("Ada", "CC0-1.0")
    assert says.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert (load(root).mistakes, load(root).warnings) == ((), ())


def test_a_sound_that_is_there_is_named_and_takes_papers_up(root: Path, tmp_path: Path) -> None:
    first = sound(tmp_path / "rain.wav")
    bring(root, [first], Told())
    (tmp_path / "again.wav").write_bytes(first.read_bytes())
    (done,) = bring(root, [tmp_path / "again.wav"], Told(licence="CC0-1.0"))
    assert (done.name, done.duplicate, done.taken_up) == ("rain.wav", True, ("licence",))
    assert not (root / "sounds/again.wav").exists()


def test_two_sounds_of_one_name_never_share_a_document(root: Path, tmp_path: Path) -> None:
    done = bring(root, [sound(tmp_path / "rain.wav"), sound(tmp_path / "rain.flac", 0.7)], Told())
    assert [d.name for d in done] == ["rain.wav", "rain-2.flac"]
    sound(root / "sounds/tick.flac", 0.9)
    (one,) = bring(root, [root / "sounds/tick.flac"], Told(by="Ada"))
    assert one.document == "sounds/tick.flac.toml"


def test_a_sound_that_a_document_waited_for_takes_its_place(root: Path, tmp_path: Path) -> None:
    (root / "sounds/rain.toml").write_text('format = 1\nnote = "record it in May"\n')
    (done,) = bring(root, [sound(tmp_path / "rain.wav")], Told(by="Ada"))
    assert done.document == "sounds/rain.toml"
    says = load(root).sounds["rain"]
    assert (says.note, says.by) == ("record it in May", "Ada")


def test_a_brought_sound_that_is_heard_stands_in_the_credits(root: Path, tmp_path: Path) -> None:
    (root / "sounds/hum.wav").unlink()
    (root / "sounds/hum.toml").unlink()
    bring(root, [sound(tmp_path / "hum.wav", 2)], Told("a mill", "Ada", licence="CC-BY-4.0"))
    (credit,) = [c for c in credits_of(root).credits if c.name == "hum.wav"]
    assert (credit.by, credit.unresolved) == ("Ada", ())


def test_a_silent_sound_is_told_and_a_broken_one_refused(root: Path, tmp_path: Path) -> None:
    (done,) = bring(root, [sound(tmp_path / "still.wav", loud=0)], Told())
    assert done.notes == ("nothing is heard in it",)
    for ending in ("wav", "flac"):
        data = sound(tmp_path / f"whole.{ending}").read_bytes()
        cut = tmp_path / f"cut.{ending}"
        cut.write_bytes(data[: len(data) // 2])
        with pytest.raises(RefusedError):
            bring(root, [picture(tmp_path / "good.png"), cut], Told())
    assert not (root / "pictures/good.png").exists()


def test_transparency_is_told_of_only_where_there_is_any(root: Path, tmp_path: Path) -> None:
    for alpha in (255, 254):
        Image.new("RGBA", (4, 4), (alpha, 0, 0, alpha)).save(tmp_path / f"{alpha}.png")
    full, clear = bring(root, [tmp_path / "255.png", tmp_path / "254.png"], Told())
    assert full.notes == ()
    assert "lie on white" in clear.notes[0]
    assert (root / "pictures/254.png").read_bytes() == (tmp_path / "254.png").read_bytes()


def run(*words: object) -> str:
    done = CliRunner().invoke(build(), [str(w) for w in words])
    assert done.exit_code == 0, done.output
    return done.output


def test_the_command_says_what_was_taken_up_kept_and_assumed(root: Path, tmp_path: Path) -> None:
    file, rain = picture(tmp_path / "a.png"), sound(tmp_path / "rain.wav")
    said = run("bring", file, rain, "--into", root, "--by", "Ada")
    assert "no ppi known of a: taken for 300 when cut" in said
    assert "sounds/rain.wav  0.50 s" in said
    said = run("bring", file, "--into", root, "--by", "Bob", "--date", "1912", "--ppi", "600")
    assert "is pictures/a already; noted now: date, ppi" in said
    assert "by stays Ada, not Bob: change it in pictures/a.toml" in said
    assert "300" not in said
    data = json.loads(run("bring", file, rain, "--into", root, "--by", "Bob", "--json"))
    (one,), (other,) = data["pictures"], data["sounds"]
    assert one["kept"] == [{"key": "by", "noted": "Ada", "given": "Bob"}]
    assert (one["ppi"], one["ppi_assumed"], other["name"]) == (600.0, None, "rain.wav")


@pytest.mark.parametrize(("ppi", "assumed"), [(None, True), (600, False)])
def test_cut_says_by_which_ppi_a_piece_has_its_size(tmp_path: Path, ppi: int | None, assumed: bool) -> None:
    pixels = np.full((60, 80, 3), 240, np.uint8)
    pixels[20:40, 30:50] = (30, 90, 160)
    dpi: dict[str, Any] = {} if ppi is None else {"dpi": (ppi, ppi)}
    Image.fromarray(pixels).save(tmp_path / "a.png", **dpi)
    words = ("cut", tmp_path / "a.png", "--box", "25,15,30,30", "-o", tmp_path / "b.png")
    data = json.loads(run(*words, "--json"))
    assert (data["ppi"], data["ppi_assumed"]) == (ppi or 300.0, assumed)
    assert ("no ppi known: 300 taken" in run(*words, "--again")) is assumed
    again = json.loads(run("cut", "--recipe", tmp_path / "b.toml", "--json"))
    assert (again["ppi"], again["ppi_assumed"]) == (ppi or 300.0, assumed)
