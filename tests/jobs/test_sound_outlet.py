"""The sound by itself: read back, it is as loud and as long as it should be, and its stems add up to it."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
import soundfile
from tests.tinyfilm import write_tiny
from typer.testing import CliRunner

from splitpin.command.main import build
from splitpin.device.soundfile_writer import write_wav
from splitpin.jobs.make import make
from splitpin.sound.limiter import limited
from splitpin.sound.loudness import measured
from splitpin.sound.source import SAMPLING

SECONDS = 8
OUTLETS = """\
[mix]
duck_db = 10.0

[outlets.radio]
kind = "sound"
lufs = -23.0

[outlets.small]
kind = "sound"
form = "flac"
lufs = -16.0

[outlets.parts]
kind = "sound"
lufs = -16.0
stems = true
"""


@pytest.fixture
def film(tmp_path: Path) -> Path:
    """Eight seconds: music throughout, a voice in the middle, ticks."""
    root = write_tiny(tmp_path / "film")
    file = root / "film.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text[: text.index("[outlets.web]")] + OUTLETS, encoding="utf-8")
    sea = root / "scenes/020-sea.toml"
    voice = '\n[[cues]]\nsound = "voice.wav"\nkind = "voice"\nstart = 3.0\n'
    sea.write_text(
        sea.read_text(encoding="utf-8").replace("frames = 6", "seconds = 7.5") + voice, encoding="utf-8"
    )
    chance = np.random.default_rng(0)
    noise = chance.standard_normal((2 * SAMPLING, 2)) * 0.1
    write_wav(root / "sounds/voice.wav", [noise.astype(np.float32)])
    return root


def read(file: Path) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.float64]], str]:
    sound, rate = soundfile.read(file, dtype="float64", always_2d=True)
    assert rate == SAMPLING
    return sound, soundfile.info(file).subtype


def test_the_files_are_24_bits_exactly_as_long_as_the_film_and_as_loud_as_asked(film: Path) -> None:
    """Measured by pyloudnorm (filter class DeMan), within 0.2 LU."""
    made = {o.name: o for o in make(film, workers=1).outlets}
    for name, lufs, file in (("radio", -23.0, "tiny.wav"), ("small", -16.0, "tiny-small.flac")):
        assert made[name].files[0] == film / "made" / file
        sound, depth = read(made[name].files[0])
        assert depth == "PCM_24"
        assert len(sound) == SECONDS * SAMPLING
        meter = pyloudnorm.Meter(SAMPLING, filter_class="DeMan")
        assert meter.integrated_loudness(sound) == pytest.approx(lufs, abs=0.2)
        heard = measured([sound.astype(np.float32)])
        assert heard.true_peak <= -1.0
        assert made[name].loudness == pytest.approx(heard.integrated, abs=0.01)
        assert made[name].true_peak == pytest.approx(heard.true_peak, abs=0.01)
        assert made[name].range == pytest.approx(heard.range, abs=0.01)


def test_stems_add_up_to_the_mix_before_its_peaks_are_brought_down(film: Path) -> None:
    folder = film / "made/tiny-parts"
    made = make(film, outlets=["parts"], workers=1)
    assert {f.name for f in made.files} == {
        "tiny-parts", "mix.wav", "voice.wav", "effects.wav", "music.wav", "loudness.svg",
    }  # fmt: skip
    stems = [read(folder / f"{stem}.wav") for stem in ("voice", "effects", "music")]
    assert all(depth == "FLOAT" for _, depth in stems)
    assert all(np.abs(stem).max() > 0.001 for stem, _ in stems)
    whole = np.sum([stem for stem, _ in stems], axis=0).astype(np.float32)
    mix, _ = read(folder / "mix.wav")
    limiting = np.concatenate(list(limited([whole], 0.0, -1.0)))
    np.testing.assert_allclose(limiting, mix, atol=2**-21)


def test_music_makes_room_in_its_stem(film: Path) -> None:
    make(film, outlets=["parts"], workers=1)
    music, _ = read(film / "made/tiny-parts/music.wav")

    def loud(at: float) -> float:
        return float(np.sqrt(np.mean(np.square(music[round(at * SAMPLING) : round((at + 0.6) * SAMPLING)]))))

    assert 20 * np.log10(loud(4.0) / loud(1.5)) == pytest.approx(-10, abs=0.5)


def test_what_is_left_as_mixed_keeps_its_samples_and_only_peaks_come_down(film: Path) -> None:
    file = film / "film.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("lufs = -23.0\n", ""), encoding="utf-8")
    made = make(film, outlets=["radio", "stems"], workers=1)
    alone, _ = read(film / "made/tiny.wav")
    stems = [read(film / f"made/tiny-stems/{stem}.wav")[0] for stem in ("voice", "effects", "music")]
    np.testing.assert_allclose(alone, sum(stems), atol=2**-22)
    assert made.outlets[0].report == ""


def test_the_drawing_names_the_scenes_and_shows_a_curve(film: Path) -> None:
    make(film, outlets=["radio"], workers=1)
    drawing = ET.parse(film / "made/tiny-loudness.svg").getroot()  # noqa: S314 (our own file)
    texts = ["".join(t.itertext()) for t in drawing.iter("{http://www.w3.org/2000/svg}text")]
    assert "020-sea" in texts
    assert any("-23.0 LUFS" in text for text in texts)
    curves = [line.get("points", "").split() for line in drawing.iter("{http://www.w3.org/2000/svg}polyline")]
    assert [len(curve) for curve in curves] == [SECONDS * 10 - 3, SECONDS * 10 - 29]


def test_nothing_is_mixed_again_while_nothing_changes_and_json_tells_what_was_measured(film: Path) -> None:
    make(film, outlets=["radio"], workers=1)
    kept = {p: p.stat().st_mtime_ns for p in (film / "made/segments").glob("*.wav")}
    done = CliRunner().invoke(build(), ["make", str(film), "--outlet", "radio", "--json"])
    assert done.exit_code == 0, done.output
    outlet = json.loads(done.output)["outlets"][0]
    assert outlet["loudness"] == -23.0
    assert outlet["range"] > 0
    assert outlet["true_peak"] < -1
    assert kept == {p: p.stat().st_mtime_ns for p in (film / "made/segments").glob("*.wav")}


def test_a_silent_film_has_a_silent_sound(tmp_path: Path) -> None:
    root = write_tiny(tmp_path / "film")
    for file in (root / "film.toml", root / "scenes/010-hill.toml"):
        text = file.read_text(encoding="utf-8")
        start = text.index("[[cues]]")
        ends = [text.find(mark, start) for mark in ("[outlets", "[[touches")]
        file.write_text(text[:start] + text[max(ends) :], encoding="utf-8")
    made = make(root, outlets=["podcast"], workers=1)
    assert made.outlets[0].report == ""
    sound, _ = read(root / "made/tiny-podcast.wav")
    assert not sound.any()
    assert "nothing is heard" in (root / "made/tiny-podcast-loudness.svg").read_text(encoding="utf-8")
