"""A check says everything that is wrong, changes nothing and never breaks down."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from tests.mutations import Mutation, mutate, mutations, sources
from tests.tinyfilm import CAT, png, wav, write_tiny

from splitpin.folder.mistake import Mistake
from splitpin.jobs.check import Checked, check
from splitpin.jobs.make import make


@settings(max_examples=400, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
@given(changes=mutations())
@example(changes=[Mutation("delete", "film.toml")])
@example(changes=[Mutation("folder", "film.toml")])
@example(changes=[Mutation("write", "characters/cat.toml", CAT.replace("body.neck", "mouth.x").encode())])
def test_whatever_goes_wrong_is_told_or_harmless(changes: list[Mutation]) -> None:
    with tempfile.TemporaryDirectory() as place:
        root = write_tiny(Path(place) / "tiny")
        mutate(root, changes)
        before = sources(root)
        found = check(root)
        assert sources(root) == before
        for mistake in [*found.mistakes, *found.warnings]:
            assert well_formed(mistake), mistake
        assert len(set(found.mistakes)) == len(found.mistakes)
        if not found.mistakes:
            assert found.sheets is not None
            assert found.folder is not None
            assert set(found.folder.film.scenes) <= set(found.sheets.sheets)
            frames = sum(found.sheets.sheets[name].frames for name in found.folder.film.scenes)
            if frames <= 240 and max(found.folder.film.picture) <= 128:
                assert make(root, workers=1).files
                assert sources(root) == before


def well_formed(mistake: Mistake) -> bool:
    return bool(
        mistake.file
        and "\\" not in mistake.file
        and (mistake.line is None or mistake.line >= 1)
        and mistake.found
        and mistake.expected
        and mistake.remedy
        and "Traceback" not in mistake.found
        and "pydantic" not in f"{mistake}"
    )


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def looked_through(root: Path) -> Checked:
    return check(root)


def test_a_right_film_has_no_mistakes_and_no_warnings(root: Path) -> None:
    assert looked_through(root)[:2] == ((), ())


def test_a_silent_sound_is_a_warning_where_it_is_called_for(root: Path) -> None:
    (root / "sounds/tick.wav").write_bytes(wav(0.1, 0))
    found = looked_through(root)
    assert found.mistakes == ()
    assert [(m.file, m.line) for m in found.warnings] == [("scenes/010-hill.toml", 33)]


def test_a_sound_that_starts_right_and_is_rubbish_inside_is_a_mistake(root: Path) -> None:
    (root / "sounds/tick.wav").rename(root / "sounds/tick.ogg")
    (root / "sounds/tick.wav.toml").unlink()
    (root / "sounds/tick.ogg").write_bytes(b"OggS" + bytes(200))
    scene = root / "scenes/010-hill.toml"
    scene.write_text(scene.read_text().replace("tick.wav", "tick.ogg"))
    found = looked_through(root)
    assert [m.file for m in found.mistakes] == ["sounds/tick.ogg"]


def test_no_film_folder_is_one_mistake(tmp_path: Path) -> None:
    found = looked_through(tmp_path)
    assert [(m.file, m.found.split(" (")[0]) for m in found.mistakes] == [("film.toml", "no film.toml")]


CUE = 'event = "pause.end"'


@pytest.mark.parametrize(
    ("cue", "line", "word"),
    [
        ("start = 0.49", 34, "cut off by the end of the film"),
        ("start = 90", 34, "outside the film"),
        ("skip = 9", 34, "all of the sound is skipped"),
        ("fade_out = 3", 34, "fades take 3.00 s"),
    ],
)
def test_a_check_says_of_sounds_what_making_the_film_says(root: Path, cue: str, line: int, word: str) -> None:
    if "0.49" in cue:
        (root / "scenes/020-sea.toml").unlink()
        rewrite(root / "film.toml", ', "020-sea"', "")
        shutil.rmtree(root / "takes/020-sea")
    rewrite(root / "scenes/010-hill.toml", CUE, cue)
    (warning,) = looked_through(root).warnings
    assert (warning.file, warning.line) == ("scenes/010-hill.toml", line)
    assert word in warning.found
    assert make(root, workers=1).warnings == (f"{warning.place}: {warning.found}; {warning.remedy}",)


def test_a_scene_made_alone_says_nothing_of_the_others(root: Path) -> None:
    rewrite(root / "scenes/010-hill.toml", CUE, "skip = 9")
    assert "tick" not in "".join(make(root, scenes=["020-sea"], workers=1).warnings)


def test_a_sound_outside_the_folder_is_never_opened(root: Path) -> None:
    (root.parent / "out.wav").write_bytes(b"RIFF")
    rewrite(root / "scenes/010-hill.toml", '"tick.wav"', '"../../out.wav"')
    assert [m.found for m in looked_through(root).mistakes] == [
        "the path 'sounds/../../out.wav' leaves the film folder"
    ]


def test_a_cut_out_of_which_nothing_shows_is_a_warning_except_as_one_of_a_set(root: Path) -> None:
    (root / "cutouts/hill.png").write_bytes(png(64, 36, (0, 0, 0, 0)))
    (root / "cutouts/head.png").write_bytes(png(6, 6, (0, 0, 0, 0)))
    assert [w.file for w in looked_through(root).warnings] == ["cutouts/hill.png"]
    assert make(root, workers=1).files


@pytest.mark.parametrize("file", ["cutouts/ball.png", "takes/020-sea/000003.png", "board/hill.png"])
def test_a_picture_whose_sums_are_right_and_whose_pixels_cannot_be_had_is_a_mistake(
    file: str, root: Path
) -> None:
    """PNG, third edition, 10: what the chunks IDAT hold is one zlib stream. This one is none."""
    rewrite(root / "scenes/010-hill.toml", "x = -20", "x = -150")
    rewrite(root / "scenes/010-hill.toml", "x = 4", "x = -150")
    rewrite(root / "scenes/010-hill.toml", 'rides = "cat.body.paw"', "x = 150")
    (root / file).write_bytes(png(10, 10, packed=b"no stream"))
    assert [m.file for m in looked_through(root).mistakes] == [file]


def test_a_member_far_outside_the_field_is_a_warning_and_one_that_waits_beside_it_is_not(root: Path) -> None:
    rewrite(root / "scenes/010-hill.toml", "x = -20", "x = -150")
    assert looked_through(root).warnings == ()
    rewrite(root / "scenes/010-hill.toml", 'rides = "cat.body.paw"', "x = 2000")
    assert [(w.file, w.line) for w in looked_through(root).warnings] == [("scenes/010-hill.toml", 22)]


def rewrite(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


def test_letters_that_a_card_cannot_show_are_told_where_they_stand_and_when_a_film_is_made(
    root: Path,
) -> None:
    scene = root / "scenes/020-sea.toml"
    words = 'action = "Nothing but 水 and 波, \u05d9\u05dd."'
    plain = scene.read_text(encoding="utf-8")
    scene.write_text(plain.replace('action = "Nothing but water."', words), encoding="utf-8")
    line = scene.read_text(encoding="utf-8").splitlines().index(words) + 1
    told = check(root).warnings
    assert [(w.file, w.line) for w in told] == [("scenes/020-sea.toml", line)] * 2
    assert "no 水 (U+6C34), 波 (U+6CE2): empty boxes" in told[0].found
    assert "drawing" in told[0].remedy
    assert "from right to left" in told[1].found
    assert [w for w in make(root, workers=1).warnings if "U+6C34" in w or "right to left" in w] == [
        f"{w.place}: {w.found}; {w.remedy}" for w in told
    ]


def test_words_that_no_card_shows_may_be_in_any_script(root: Path) -> None:
    scene = root / "scenes/010-hill.toml"
    text = scene.read_text(encoding="utf-8")
    scene.write_text(text.replace("The cat waits.", "猫"), encoding="utf-8")
    assert check(root).warnings == ()
