"""A folder made into a film, and made again."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from tests.tinyfilm import png, write_tiny

from splitpin.device.coded import write_coded
from splitpin.device.film_picture import PictureTrack, SegmentCoder
from splitpin.device.pictures import read_picture
from splitpin.jobs.check import check
from splitpin.jobs.make import Made, make
from splitpin.jobs.names import file_stem
from splitpin.jobs.ready import RefusedError
from splitpin.measure.rate import NAMED, parse_rate, samples_of


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def pictures(path: Path) -> list[NDArray[np.uint8]]:
    """Every frame, by a reader that had no hand in the writing."""
    reader = cv2.VideoCapture(str(path))
    found: list[NDArray[np.uint8]] = []
    while True:
        there, frame = reader.read()
        if not there:
            reader.release()
            return found
        found.append(np.asarray(frame, np.uint8))


def sum_of(path: Path) -> str:
    return hashlib.sha256(b"".join(p.tobytes() for p in pictures(path))).hexdigest()


def segments(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in (folder / "made" / "segments").glob("*.coded")}


def scene(panels: str = "", **keys: object) -> str:
    return "format = 1\n" + "".join(f"{k} = {v!r}\n" for k, v in keys.items()) + panels


def counted(made: Made) -> tuple[int, int]:
    return made.counts.segments_made, made.counts.segments_reused


@pytest.mark.parametrize("rate", NAMED)
def test_the_film_has_exactly_its_frames_rate_size_and_sound(rate: str, tiny: Path) -> None:
    change(tiny / "film.toml", 'rate = "24"', f'rate = "{rate}"')
    (tiny / "takes" / "020-sea" / "000003.png").unlink()
    made = make(tiny)
    exact = parse_rate(rate)
    assert made.files == tuple(tiny / "made" / f"tiny.{ending}" for ending in ("mp4", "vtt", "srt"))
    assert len(pictures(made.files[0])) == made.frames
    assert made.seconds == pytest.approx(float(made.frames / exact))
    with av.open(str(made.files[0])) as film:
        picture, sound = film.streams.video[0], film.streams.audio[0]
        assert (picture.average_rate, picture.width, picture.height) == (exact, 64, 36)
        assert picture.frames == made.frames
        assert Fraction(picture.duration or 0) * (picture.time_base or 0) == made.frames / exact
        assert sound.duration == samples_of(made.frames, exact)


def test_making_again_makes_nothing_and_gives_the_same_film(tiny: Path) -> None:
    first = make(tiny)
    before = first.files[0].read_bytes()
    again = make(tiny)
    assert counted(first) == (2, 0)
    assert counted(again) == (0, 2)
    assert again.counts.drawing.rows == 0
    assert again.files[0].read_bytes() == before


def test_the_same_folder_makes_the_same_bits_with_any_number_of_workers(tmp_path: Path) -> None:
    films = []
    for workers in (1, 2, 5):
        folder = write_tiny(tmp_path / str(workers))
        made = make(folder, workers=workers)
        films.append((sum_of(made.files[0]), segments(folder), made.files[0].read_bytes()))
    assert films[0] == films[1] == films[2]


def test_a_change_in_one_scene_makes_its_segments_and_no_others(tiny: Path) -> None:
    make(tiny)
    change(tiny / "scenes" / "010-hill.toml", "x = -20", "x = -19")
    made = make(tiny)
    assert counted(made) == (1, 1)
    change(tiny / "scenes" / "010-hill.toml", "x = -19", "x = -20")
    assert counted(make(tiny)) == (0, 2)  # what the last makes used is still there


def test_a_change_in_a_picture_makes_the_segments_that_show_it(tiny: Path) -> None:
    make(tiny)
    (tiny / "takes" / "020-sea" / "000003.png").write_bytes(png(64, 36, (99, 30, 60, 255)))
    assert counted(make(tiny)) == (1, 1)
    (tiny / "cutouts" / "hill.png").write_bytes(png(64, 36, (91, 160, 60, 255)))
    assert counted(make(tiny)) == (1, 1)


def test_a_sound_can_change_without_a_picture_being_made_again(tiny: Path) -> None:
    make(tiny)
    change(tiny / "film.toml", 'kind = "music"', 'kind = "music"\ngain = -6')
    assert counted(make(tiny)) == (0, 2)


def test_an_interrupted_make_goes_on_from_what_was_finished(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = make(write_tiny(tiny.parent / "other")).files[0].read_bytes()

    def interrupt(done: int, total: int) -> None:
        if total and done > 12:  # the first scene has 12 frames
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        make(tiny, workers=1, progress=interrupt)
    assert not (tiny / "made" / "tiny.mp4").exists()
    assert not list((tiny / "made").rglob("*.part"))
    made = make(tiny, workers=1)
    assert counted(made) == (1, 1)
    assert made.files[0].read_bytes() == whole


def test_progress_counts_every_frame_that_is_made(tiny: Path) -> None:
    told: list[tuple[int, int]] = []
    make(tiny, progress=lambda done, total: told.append((done, total)))
    assert told[0] == (0, 18)
    assert told[-1] == (18, 18)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_a_damaged_segment_is_made_again(tiny: Path) -> None:
    before = make(tiny).files[0].read_bytes()
    victim = max((tiny / "made" / "segments").glob("*.coded"), key=lambda p: p.stat().st_size)
    victim.write_bytes(victim.read_bytes()[:-7])
    made = make(tiny)
    assert made.files[0].read_bytes() == before


def test_segments_of_another_film_are_told_of_once_and_thrown_away(tiny: Path) -> None:
    before = make(tiny).files[0].read_bytes()
    kept = (tiny / "made" / "segments").glob("*.coded")
    victims = [path for path in kept if not path.with_suffix(".json").exists()]  # the sound has a note
    coder = SegmentCoder(PictureTrack(64, 48, Fraction(24), effort="draft"))
    coder.hold(3)
    other = coder.finish()
    for victim in victims:
        write_coded(victim, other)
    with pytest.raises(RefusedError) as told:
        make(tiny)
    (mistake,) = told.value.mistakes
    assert mistake.file == "made/tiny.mp4"
    assert all((mistake.found, mistake.expected, mistake.remedy))
    again = make(tiny)
    assert again.counts.segments_made == len(victims) > 1
    assert again.files[0].read_bytes() == before


def test_the_best_that_exists_is_shown(tiny: Path) -> None:
    """A shot frame over the drawn one; a card where nothing is."""
    change(tiny / "film.toml", "[outlets.web]", '[outlets.stills]\nkind = "pictures"\n\n[outlets.web]')
    make(tiny, outlets=["stills"])
    folder = tiny / "made" / "tiny"
    frames = [read_picture(folder / f"{i:06d}.png") for i in range(1, 19)]
    assert (frames[0][..., :3] == 20).all()  # the second take of the first exposure
    assert not (frames[2][..., :3] == 20).any()
    assert (frames[15][..., :3] == (30, 30, 60)).all()
    assert (frames[12] != frames[15]).any()


def test_pictures_are_one_file_a_frame_and_the_mix(tiny: Path) -> None:
    change(
        tiny / "film.toml",
        "[outlets.web]",
        '[outlets.web]\nlufs = -20\n\n[outlets.stills]\nkind = "pictures"',
    )
    change(tiny / "film.toml", 'effort = "draft"\n', "")
    made = make(tiny)
    folder = tiny / "made" / "tiny-stills"
    assert sorted(p.name for p in folder.iterdir()) == [
        *(f"{i:06d}.png" for i in range(1, made.frames + 1)),
        "mix.wav",
    ]
    assert made.outlets[1].files == (folder, folder / "mix.wav")
    assert made.outlets[1].loudness == pytest.approx(-14.0, abs=0.2)
    assert made.loudness == pytest.approx(-20.0, abs=0.2)
    assert counted(make(tiny)) == (0, 4)


def test_scenes_can_be_made_alone(tiny: Path) -> None:
    made = make(tiny, scenes=["020-sea"])
    assert made.files == (tiny / "made" / "tiny-020-sea.mp4",)
    assert made.frames == 6


def test_a_film_without_sound_has_a_silent_track_and_no_complaint(tiny: Path) -> None:
    text = (tiny / "film.toml").read_text(encoding="utf-8")
    start, end = text.index("[[cues]]"), text.index("[outlets.web]")
    (tiny / "film.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    hill = tiny / "scenes" / "010-hill.toml"
    text = hill.read_text(encoding="utf-8")
    start, end = text.index("[[cues]]"), text.index("[[touches]]")
    hill.write_text(text[:start] + text[end:], encoding="utf-8")
    made = make(tiny)
    assert made.loudness == -np.inf
    assert made.warnings == ()
    with av.open(str(made.files[0])) as film:
        assert film.streams.audio[0].duration == samples_of(made.frames, Fraction(24))


def test_a_silent_sound_is_a_warning_with_its_place(tiny: Path) -> None:
    data = (tiny / "sounds" / "tick.wav").read_bytes()
    (tiny / "sounds" / "tick.wav").write_bytes(data[:44] + bytes(len(data) - 44))
    [warning] = make(tiny).warnings
    assert warning.startswith("scenes/010-hill.toml, line 33: tick.wav at 0.")
    assert "\n" not in warning


def test_a_folder_that_is_not_there_is_told_as_a_check_tells_it(tmp_path: Path) -> None:
    for root in (tmp_path / "nowhere", tmp_path):
        with pytest.raises(RefusedError) as told:
            make(root)
        assert told.value.mistakes == check(root).mistakes


DRAFT = 'format = 1\n\n[[panels]]\nname = "goes"\nframes = 6\n\n[[moves]]\nmove = "hop"\nwho = "nobody"\n'


def test_a_scene_that_the_film_does_not_show_yet_may_have_mistakes(tiny: Path) -> None:
    before = make(tiny).files[0].read_bytes()
    (tiny / "scenes" / "030-draft.toml").write_text(DRAFT, encoding="utf-8")
    mistakes = check(tiny).mistakes
    assert {m.file for m in mistakes} == {"scenes/030-draft.toml"}
    made = make(tiny)
    assert made.files[0].read_bytes() == before
    assert all(any(f"{m.place}: {m.found}" in w for w in made.warnings) for m in mistakes)
    assert not any("030-draft" in w for w in make(tiny, scenes=["020-sea"]).warnings)
    change(tiny / "film.toml", '"020-sea"', '"020-sea", "030-draft"')
    with pytest.raises(RefusedError) as told:
        make(tiny)
    assert told.value.mistakes == mistakes


def test_every_mistake_is_told_at_once_and_nothing_is_made(tiny: Path) -> None:
    change(tiny / "film.toml", "field_mm = 128.0", "field_mm = -1")
    change(tiny / "scenes" / "010-hill.toml", 'move = "hold"', 'move = "hodl"')
    with pytest.raises(RefusedError) as refused:
        make(tiny)
    assert {m.file for m in refused.value.mistakes} >= {"film.toml", "scenes/010-hill.toml"}
    assert not (tiny / "made").exists()


@pytest.mark.parametrize(("outlets", "scenes"), [(["wbe"], None), (None, ["010-hil"])])
def test_a_name_that_is_not_there_is_told_with_the_likely_one(
    outlets: list[str] | None, scenes: list[str] | None, tiny: Path
) -> None:
    with pytest.raises(RefusedError, match="did you mean"):
        make(tiny, outlets, scenes)


def test_a_place_that_cannot_be_written_to_is_told(tiny: Path) -> None:
    (tiny / "made").write_text("in the way", encoding="utf-8")
    with pytest.raises(RefusedError, match="cannot be read or written"):
        make(tiny)


def test_sources_are_never_touched(tiny: Path) -> None:
    def everything() -> Iterator[tuple[str, bytes]]:
        for path in sorted(tiny.rglob("*")):
            if path.is_file() and "made" not in path.relative_to(tiny).parts:
                yield str(path), path.read_bytes()

    before = list(everything())
    make(tiny)
    assert list(everything()) == before


@pytest.mark.parametrize(
    ("title", "stem"),
    [
        ("Exact Change", "exact-change"),
        ("  ../../etc ", "etc"),
        ("CON", "film-con"),
        ("segments", "film-segments"),
        ("Où est-il ?", "où-est-il"),
        ("\u0000\n", "film"),
        ("a" * 300, "a" * 80),
    ],
)
def test_a_title_gives_a_file_name_that_is_good_everywhere(title: str, stem: str) -> None:
    assert file_stem(title) == stem


@pytest.mark.parametrize(
    "colour", [(255, 255, 255), (0, 0, 0), (200, 40, 40), (30, 160, 60), (40, 60, 200), (128, 128, 128)]
)
def test_colours_come_back_by_the_standard_that_the_film_is_tagged_with(
    colour: tuple[int, int, int], tiny: Path
) -> None:
    """ITU-R BT.709-6, 3: Y' of limited range 16..235, Cb and Cr 16..240 (the inverse worked out here)."""
    (tiny / "takes" / "020-sea" / "000003.png").write_bytes(png(64, 36, (*colour, 255)))
    made = make(tiny)
    with av.open(str(made.files[0])) as film:
        last = list(film.decode(video=0))[-1].to_ndarray(format="yuv420p").astype(np.float64)
    y, cb, cr = (last[5, 5] - 16) / 219, (last[40, 5] - 128) / 224, (last[50, 5] - 128) / 224
    red, blue = y + 1.5748 * cr, y + 1.8556 * cb
    green = (y - 0.2126 * red - 0.0722 * blue) / 0.7152
    assert 255 * np.array([red, green, blue]) == pytest.approx(colour, abs=2.5)


def test_a_standard_outlet_need_not_stand_in_the_film(tiny: Path) -> None:
    made = make(tiny, outlets=["stills"], workers=1)
    assert [outlet.name for outlet in made.outlets] == ["stills"]
    assert (tiny / "made" / "tiny-stills" / "000001.png").is_file()
    with pytest.raises(RefusedError, match=r"web, .*stills"):
        make(tiny, outlets=["stils"])
