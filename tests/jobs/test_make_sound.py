"""What is heard in a made film, found again in its decoded sound."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pyloudnorm
import pytest
import soundfile
from numpy.typing import NDArray
from scipy.signal import correlate

from splitpin.device.soundfile_writer import write_wav
from splitpin.jobs.make import make
from splitpin.measure.rate import NAMED, parse_rate, samples_of
from splitpin.sound.source import SAMPLING

Sound = NDArray[np.float32]

FILM = """\
format = 1
title = "Clicks"
rate = "{rate}"
picture = [32, 18]
scenes = ["one", "two"]
cues = [{{ sound = "3.wav", start = 5.4321 }}]

[outlets.web]
effort = "draft"
lufs = {lufs}
"""
SCENE = """\
format = 1

[[panels]]
name = "first"
frames = 37

[[panels]]
name = "second"
frames = 61

{cues}
"""
CUES = (
    ("one", "0.wav", "first", "0.0"),
    ("one", "1.wav", "second", "0.217"),
    ("two", "2.wav", "first", "0.5"),
)


def burst(seed: int) -> Sound:
    """Noise of a tenth of a second that is like no other."""
    rng = np.random.default_rng(seed)
    shape = np.hanning(4800)[:, None]
    return (0.5 * rng.uniform(-1, 1, (4800, 2)) * shape).astype(np.float32)


def write_film(folder: Path, rate: str, lufs: float = -16.0) -> Path:
    (folder / "scenes").mkdir(parents=True)
    (folder / "sounds").mkdir()
    (folder / "film.toml").write_text(FILM.format(rate=rate, lufs=lufs), encoding="utf-8")
    for name in ("one", "two"):
        cues = "".join(
            f'[[cues]]\nsound = "{sound}"\npanel = "{panel}"\nstart = {start}\n'
            for scene, sound, panel, start in CUES
            if scene == name
        )
        (folder / "scenes" / f"{name}.toml").write_text(SCENE.format(cues=cues), encoding="utf-8")
    for i in range(4):
        write_wav(folder / "sounds" / f"{i}.wav", [burst(i)])
    return folder


def heard(path: Path) -> Sound:
    """The decoded sound on the film's clock, by presentation time."""
    with av.open(str(path)) as film:
        stream = film.streams.audio[0]
        sound = np.zeros((2, (stream.duration or 0) + 4096), np.float32)
        for frame in film.decode(stream):
            at = round(Fraction(frame.pts or 0) * (frame.time_base or 0) * SAMPLING)
            sound[:, at : at + frame.samples] = frame.to_ndarray()
        return sound[:, : stream.duration or 0].T


def heard_by_another(path: Path) -> Sound:
    """The same by FAAD2, a decoder that shares no line with the coder's library. It is given the bare frames
    (ADTS, ISO/IEC 13818-7, 6.2: layout from memory) and leaves the first out, which only readies it, as the
    film's edit list asks.
    """
    if shutil.which("faad") is None:
        pytest.skip("faad, a second AAC decoder, is not installed (Debian's package faad)")
    bare, wave = path.with_suffix(".aac"), path.with_suffix(".wav")
    with av.open(str(path)) as film:
        stream = film.streams.audio[0]
        packets = [packet for packet in film.demux(stream) if packet.size]
        assert packets[0].pts == -1024
    with bare.open("wb") as file:
        for packet in packets:
            size = packet.size + 7
            # low complexity, 48 kHz, two channels, one frame
            file.write(
                bytes([0xFF, 0xF1, 0x4C, 0x80 | size >> 11, size >> 3 & 0xFF, (size & 7) << 5 | 0x1F, 0xFC])
            )
            file.write(bytes(packet))
    done = subprocess.run(["faad", "-b", "4", "-o", wave, bare], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    sound, rate = soundfile.read(wave, dtype="float32", always_2d=True)
    assert rate == SAMPLING
    assert len(sound) == (len(packets) - 1) * 1024
    return np.asarray(sound, np.float32)


DECODERS = pytest.mark.parametrize("decoded", [heard, heard_by_another])


@DECODERS
@pytest.mark.parametrize("rate", NAMED)
def test_every_cue_is_heard_within_a_millisecond_of_its_place(
    rate: str, decoded: Callable[[Path], Sound], tmp_path: Path
) -> None:
    made = make(write_film(tmp_path / "film", rate))
    sound = decoded(made.files[0])
    exact = parse_rate(rate)
    length = samples_of(2 * (37 + 61), exact)
    assert length <= len(sound) < length + (1024 if decoded is heard_by_another else 1)
    places = [
        Fraction(0),
        37 / exact + Fraction("0.217"),
        98 / exact + Fraction("0.5"),
        Fraction("5.4321"),
    ]
    for i, place in enumerate(places):
        if place + Fraction(1, 10) > 196 / exact:
            continue  # cut off by the end of the film at this rate
        match = correlate(sound[:, 0], burst(i)[:, 0], "valid", "fft")
        assert abs(int(match.argmax()) - float(place) * SAMPLING) <= SAMPLING / 1000


@DECODERS
@pytest.mark.parametrize("lufs", [-14.0, -16.0, -23.0])
def test_the_film_is_as_loud_as_its_outlet_wants(
    lufs: float, decoded: Callable[[Path], Sound], tmp_path: Path
) -> None:
    """Measured by pyloudnorm (filter class DeMan) on the decoded sound, within 0.2 LU."""
    folder = write_film(tmp_path / "film", "24", lufs)
    rng = np.random.default_rng(9)
    write_wav(folder / "sounds" / "3.wav", [(0.05 * rng.standard_normal((60_000, 2))).astype(np.float32)])
    made = make(folder)
    sound = decoded(made.files[0]).astype(np.float64)
    meter = pyloudnorm.Meter(SAMPLING, filter_class="DeMan")
    assert meter.integrated_loudness(sound) == pytest.approx(lufs, abs=0.2)
    assert made.loudness == pytest.approx(lufs, abs=0.2)
    assert made.true_peak <= -1.0
    assert np.abs(sound).max() <= 10 ** (-1.0 / 20)


def test_a_scene_made_alone_sounds_as_it_does_in_the_film(tmp_path: Path) -> None:
    folder = write_film(tmp_path / "film", "24")
    made = make(folder, scenes=["two"])
    sound = heard(made.files[0])
    match = correlate(sound[:, 0], burst(2)[:, 0], "valid", "fft")
    assert abs(int(match.argmax()) - SAMPLING // 2) <= SAMPLING / 1000
    match = correlate(sound[:, 0], burst(3)[:, 0], "valid", "fft")  # the film's own cue, at its place
    assert abs(int(match.argmax()) - (5.4321 - 98 / 24) * SAMPLING) <= SAMPLING / 1000
