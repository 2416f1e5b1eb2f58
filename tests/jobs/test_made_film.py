"""What is seen and heard in a film that was made, and what is left beside it."""

from __future__ import annotations

import os
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray
from tests.tinyfilm import png, write_tiny

from splitpin.device.lock import LOCK, alone_in
from splitpin.device.pictures import encode_png, read_picture
from splitpin.folder.mistake import FolderError
from splitpin.jobs.check import check
from splitpin.jobs.make import make
from splitpin.jobs.ready import RefusedError, ready
from splitpin.jobs.shop import Shop
from splitpin.jobs.sounding import sounding
from splitpin.measure.rate import samples_of


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


@pytest.fixture
def stills(tiny: Path) -> Path:
    change(tiny / "film.toml", 'effort = "draft"', 'kind = "pictures"')
    return tiny


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def middle(folder: Path, frame: int) -> list[int]:
    picture = read_picture(folder / f"{frame + 1:06d}.png")
    return [int(v) for v in picture[picture.shape[0] // 2, picture.shape[1] // 2, :3]]


def test_a_board_drawing_is_shown_where_nothing_is_drawn_or_shot(stills: Path) -> None:
    change(stills / "scenes" / "020-sea.toml", 'name = "calm"', 'name = "calm"\ndrawing = "board/hill.png"')
    [folder, _] = make(stills).files
    assert middle(folder, 12) == [200, 120, 40]
    assert middle(folder, 15) == [30, 30, 60]  # shot


def sides(stills: Path) -> NDArray[np.float64]:
    mix, _ = soundfile.read(make(stills).files[1], dtype="float64")
    return np.asarray(np.sqrt(np.mean(np.square(mix), axis=0)))


def test_where_a_sound_stands_is_heard_in_the_film(stills: Path) -> None:
    change(stills / "film.toml", 'kind = "music"', 'kind = "music"\npan = -1.0')
    change(stills / "scenes" / "010-hill.toml", 'sound = "tick.wav"', 'sound = "tick.wav"\ngain = -90.0')
    left, right = sides(stills)
    assert left > 1000 * right


def test_how_loud_a_sound_is_beside_another_is_heard_in_the_film(stills: Path) -> None:
    """20 dB are a tenth of the amplitude."""
    change(stills / "film.toml", 'kind = "music"', 'kind = "music"\npan = -1.0')
    hill = stills / "scenes" / "010-hill.toml"
    change(hill, 'sound = "tick.wav"', 'sound = "tick.wav"\npan = 1.0\ngain = -20.0')
    left, right = sides(stills)
    change(hill, "gain = -20.0", "gain = -40.0")
    softer_left, softer_right = sides(stills)
    assert (softer_right / softer_left) / (right / left) == pytest.approx(0.1, rel=0.02)


def test_a_scene_alone_sounds_as_it_does_in_the_film(tiny: Path) -> None:
    whole = sounding(Shop(ready(tiny))).mix
    alone = sounding(Shop(ready(tiny, ["020-sea"]))).mix
    start = samples_of(12, Fraction(24))
    expected = whole.read(start, whole.length - start)
    assert alone.length == len(expected)
    assert np.abs(expected).max() > 0.01
    assert np.array_equal(alone.read(0, alone.length), expected)


def test_a_finer_quality_makes_a_larger_film(tiny: Path) -> None:
    noise = np.random.default_rng(1).integers(0, 256, (36, 64, 3), np.uint8)
    (tiny / "takes" / "020-sea" / "000003.png").write_bytes(encode_png(noise))
    sizes = []
    for quality in (35, 18, 1):
        change(tiny / "film.toml", 'effort = "draft"', f'effort = "draft"\nquality = {quality}')
        sizes.append(make(tiny).files[0].stat().st_size)
        change(tiny / "film.toml", f"\nquality = {quality}", "")
    assert sizes[0] < sizes[1] < sizes[2]


def test_every_segment_stands_alone_in_the_film(tiny: Path) -> None:
    """H.264, table 7-1: a picture at which decoding can begin anew is of type 5; nothing later in the file is
    shown before it.
    """
    made = make(tiny)
    began = []
    with av.open(str(made.files[0])) as film:
        for packet in film.demux(video=0):
            if packet.pts is None or not packet.size:
                continue
            if packet.is_keyframe:
                data, at, kinds = bytes(packet), 0, []
                while at < len(data):
                    kinds.append(data[at + 4] & 31)
                    at += 4 + int.from_bytes(data[at : at + 4], "big")
                assert 5 in kinds
                began.append(packet.pts)
            assert packet.pts >= began[-1]
    assert len(began) == 2


def test_a_picture_of_the_film_may_be_drawn_on_without_harm_to_what_is_kept(stills: Path) -> None:
    folder = make(stills).files[0]
    before = [p.read_bytes() for p in sorted(folder.glob("*.png"))]
    for path in (*folder.glob("*.png"), folder / "mix.wav"):
        with path.open("r+b") as file:
            file.write(b"drawn on")
    make(stills)
    assert [p.read_bytes() for p in sorted(folder.glob("*.png"))] == before
    assert (folder / "mix.wav").read_bytes()[:4] == b"RIFF"


@pytest.mark.parametrize("file", ["cutouts/hill.png", "takes/020-sea/000003.png"])
def test_a_picture_saved_while_the_film_is_made_is_not_kept_for_the_old_one(file: str, stills: Path) -> None:
    def save(done: int, total: int) -> None:
        if done == 0:
            (stills / file).write_bytes(png(64, 36, (1, 2, 3, 255)))

    old = (stills / file).read_bytes()
    with pytest.raises(RefusedError, match="saved anew") as refused:
        make(stills, workers=1, progress=save)
    assert refused.value.mistakes[0].file == file
    (stills / file).write_bytes(old)
    shown = middle(make(stills).files[0], 15 if "takes" in file else 6)
    assert shown != [1, 2, 3]


def test_a_film_held_open_is_told_and_costs_only_the_last_step(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows refuses to replace a file that a player holds open."""
    before = make(tiny).files[0].read_bytes()
    change(tiny / "scenes" / "010-hill.toml", "x = -20", "x = -19")
    plainly = Path.replace

    def held(self: Path, target: Path) -> Path:
        if target.suffix == ".mp4":
            raise PermissionError(13, "in use", str(self), None, str(target))
        return plainly(self, target)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", held)
        with pytest.raises(RefusedError, match="no other program holds open") as refused:
            make(tiny)
    assert refused.value.mistakes[0].file == "made/tiny.mp4"
    assert (tiny / "made" / "tiny.mp4").read_bytes() == before
    again = make(tiny)
    assert (again.counts.segments_made, again.counts.segments_reused) == (0, 2)
    assert again.files[0].read_bytes() != before


def test_a_film_that_is_being_made_already_is_told(tiny: Path) -> None:
    with alone_in(tiny / "made"), pytest.raises(RefusedError, match="being made already"):
        make(tiny)
    make(tiny)
    assert not (tiny / "made" / LOCK).exists()


def test_outlets_that_would_go_to_one_file_are_refused(tiny: Path) -> None:
    change(tiny / "film.toml", "[outlets.web]", "[outlets.first]\n\n[outlets.proof]\n\n[outlets.PROOF]")
    assert [m.file for m in check(tiny).mistakes] == ["film.toml"]
    with pytest.raises(RefusedError, match=r"outlet proof and outlet PROOF both go to made/tiny-PROOF\.mp4"):
        make(tiny)


def test_a_scene_alone_is_not_written_over_an_outlet_of_the_whole_film(tiny: Path) -> None:
    change(tiny / "film.toml", "[outlets.web]", '[outlets.web]\n\n[outlets."020-sea"]')
    with pytest.raises(RefusedError, match="both go to"):
        make(tiny, scenes=["020-sea"])


@pytest.mark.parametrize(
    "asked",
    [{"outlets": []}, {"scenes": []}, {"outlets": "web"}, {"scenes": "020-sea"}, {"workers": 0}],
)
def test_what_makes_no_sense_is_told_and_nothing_is_made(asked: dict[str, object], tiny: Path) -> None:
    with pytest.raises(FolderError) as told:
        make(tiny, **asked)  # type: ignore[arg-type]
    assert told.value.where in asked
    assert told.value.remedy
    assert not (tiny / "made").exists()


def test_sounds_made_ready_go_when_the_film_has_them_no_more(tiny: Path) -> None:
    make(tiny)
    stray = tiny / "made" / "sounds" / "stray.f32"
    stray.write_bytes(b"")
    os.utime(stray, (0, 0))
    make(tiny)
    assert not stray.exists()
    assert len(list(stray.parent.glob("*.f32"))) == 2
