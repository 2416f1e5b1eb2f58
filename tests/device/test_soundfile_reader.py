"""Sound files of four kinds come in at 48 kHz in stereo, in their place, or with a plain word why not."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from splitpin.device.soundfile_reader import look_at, read_blocks
from splitpin.device.soundfile_writer import write_wav
from splitpin.sound.downmix import downmix
from splitpin.sound.loudness import measured
from splitpin.sound.source import SAMPLING, Sound, SoundError

KINDS = {
    "wav": "PCM_16",
    "flac": "PCM_24",
    "ogg": "VORBIS",
    "mp3": "MPEG_LAYER_III",
}


def click(sampling: int, seconds: float, at: float, channels: int = 1) -> NDArray[np.float32]:
    """A short smooth knock whose middle lies at a time."""
    t = np.arange(round(sampling * seconds)) / sampling - at
    wave = 0.6 * np.exp(-np.square(t / 0.0008)) * np.cos(2 * np.pi * 700 * t)
    return np.repeat(wave.astype(np.float32)[:, None], channels, axis=1)


def read(path: Path) -> Sound:
    return np.concatenate(list(read_blocks(path)))


def save(path: Path, sound: NDArray[np.float32], sampling: int, subtype: str | None = None) -> Path:
    soundfile.write(path, sound, sampling, subtype=subtype or KINDS[path.suffix[1:]])
    return path


def place_of(sound: Sound, near: float) -> float:
    """When the knock is heard, between the samples, by cross-correlation."""
    model = click(SAMPLING, 0.02, 0.01)[:, 0]
    like = np.correlate(sound[:, 0], model, "valid")
    k = int(like.argmax())
    assert abs(k / SAMPLING + 0.01 - near) < 0.1
    left, middle, right = like[k - 1 : k + 2]
    return float((k + (left - right) / (2 * (left - 2 * middle + right))) / SAMPLING + 0.01)


@pytest.mark.parametrize(
    ("kind", "sampling"),
    [("wav", s) for s in (8_000, 11_025, 22_050, 32_000, 44_100, 48_000, 96_000, 192_000)]
    + [("flac", s) for s in (8_000, 44_100, 48_000, 96_000)]
    + [("ogg", s) for s in (16_000, 44_100, 48_000, 96_000)]
    + [("mp3", s) for s in (16_000, 22_050, 44_100, 48_000)],
)
def test_a_knock_stays_in_its_place_within_a_tenth_of_a_millisecond(
    tmp_path: Path, kind: str, sampling: int
) -> None:
    at = 1.2345
    path = save(tmp_path / f"knock.{kind}", click(sampling, 3, at), sampling)
    sound = read(path)
    assert place_of(sound, at) == pytest.approx(at, abs=1e-4)
    assert abs(len(sound) - 3 * SAMPLING) <= 1
    assert np.array_equal(sound[:, 0], sound[:, 1])


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE", "ULAW"])
def test_every_depth_comes_in_at_its_level(tmp_path: Path, subtype: str) -> None:
    path = save(tmp_path / "tone.wav", click(SAMPLING, 0.5, 0.2, 2), SAMPLING, subtype)
    assert np.abs(read(path)).max() == pytest.approx(0.6, abs=0.03)


def test_a_stereo_file_at_48_khz_passes_bit_for_bit(tmp_path: Path) -> None:
    sound = np.random.default_rng(0).uniform(-1, 1, (100_000, 2)).astype(np.float32)
    assert np.array_equal(read(save(tmp_path / "it.wav", sound, SAMPLING, "FLOAT")), sound)


def test_a_tone_keeps_its_level_at_any_sampling_rate(tmp_path: Path) -> None:
    for sampling in (8_000, 44_100, 192_000):
        t = np.arange(sampling * 2) / sampling
        tone = 0.25 * np.sin(2 * np.pi * 997 * t).astype(np.float32)[:, None]
        path = save(tmp_path / f"{sampling}.wav", tone, sampling)
        assert measured(read_blocks(path)).integrated == pytest.approx(-12.04, abs=0.05)


@pytest.mark.parametrize("kind", ["wav", "flac", "ogg"])
@pytest.mark.parametrize("channels", range(1, 9))
def test_any_number_of_channels_comes_down_to_two(tmp_path: Path, kind: str, channels: int) -> None:
    """Each channel holds a tone of its own; in the low-frequency one it may be cut off by the coder."""
    t = np.arange(SAMPLING) / SAMPLING
    hertz = [400 * (c + 1) for c in range(channels)]
    sound = np.stack([0.1 * np.sin(2 * np.pi * f * t) for f in hertz], axis=1).astype(np.float32)
    heard = read(save(tmp_path / f"many.{kind}", sound, SAMPLING))
    spectrum = np.abs(np.fft.rfft(heard, axis=0))[hertz] / (SAMPLING / 2)
    np.testing.assert_allclose(spectrum, 0.1 * downmix(channels, kind == "ogg"), atol=4e-3)


def test_what_a_file_says_of_itself(tmp_path: Path) -> None:
    heard = look_at(save(tmp_path / "it.flac", click(44_100, 2, 1, 2), 44_100))
    assert (heard.sampling, heard.channels, heard.frames, heard.kind) == (44_100, 2, 88_200, "FLAC")
    assert heard.seconds == 2


def test_a_written_wav_reads_back(tmp_path: Path) -> None:
    sound = click(SAMPLING, 1, 0.5, 2)
    write_wav(tmp_path / "out.wav", [sound[:100], sound[100:]])
    np.testing.assert_allclose(read(tmp_path / "out.wav"), sound, atol=2e-7)
    assert [p.name for p in tmp_path.iterdir()] == ["out.wav"]


def refusal(path: Path) -> SoundError:
    with pytest.raises(SoundError) as caught:
        for _ in read_blocks(path, "sounds/it"):
            pass
    error = caught.value
    assert error.where == "sounds/it"
    assert all((error.found, error.expected, error.remedy))
    assert str(path.parent) not in str(error)
    return error


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("share", [0.0005, 0.3, 0.5, 0.9])
def test_a_file_that_lost_its_end_is_refused(tmp_path: Path, kind: str, share: float) -> None:
    sound = np.random.default_rng(1).uniform(-0.2, 0.2, (SAMPLING * 2, 2)).astype(np.float32)
    path = save(tmp_path / f"cut.{kind}", sound, SAMPLING)
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])
    assert "ends too soon" in refusal(path).found or share < 0.01


def test_a_wav_from_a_recorder_that_did_not_know_its_length_is_read(tmp_path: Path) -> None:
    path = save(tmp_path / "it.wav", click(SAMPLING, 1, 0.5), SAMPLING)
    raw = bytearray(path.read_bytes())
    raw[40:44] = b"\xff\xff\xff\xff"
    path.write_bytes(raw)
    assert len(read(path)) == SAMPLING


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_a_sample_that_is_no_number_is_refused_with_its_place(tmp_path: Path, value: float) -> None:
    sound = click(SAMPLING, 3, 1, 2)
    sound[96_000, 1] = value
    assert "not a number, 2.000 s" in refusal(save(tmp_path / "it.wav", sound, SAMPLING, "FLOAT")).found


def test_samples_far_beyond_full_scale_are_refused(tmp_path: Path) -> None:
    path = save(tmp_path / "it.wav", click(SAMPLING, 1, 0.5) * 32_768, SAMPLING, "FLOAT")
    assert "full scales" in refusal(path).found


def test_a_file_of_another_kind_than_its_ending_is_refused_with_the_right_ending(tmp_path: Path) -> None:
    path = save(tmp_path / "it.flac", click(SAMPLING, 1, 0.5), SAMPLING)
    assert "rename it to end in .flac" in refusal(path.rename(tmp_path / "it.wav")).remedy


@pytest.mark.parametrize(
    ("name", "content", "found"),
    [
        ("it.wav", b"", "empty"),
        ("it.wav", b"not a sound at all" * 50, "damaged"),
        ("it.mp3", b"\x00" * 5_000, "damaged"),
        ("it.aiff", b"FORM", "ending"),
        ("it", b"RIFF", "ending"),
    ],
)
def test_what_is_no_sound_is_refused(tmp_path: Path, name: str, content: bytes, found: str) -> None:
    (tmp_path / name).write_bytes(content)
    assert found in refusal(tmp_path / name).found


def test_a_short_ogg_file_that_lost_its_only_page_of_sound_is_not_called_empty(tmp_path: Path) -> None:
    tone = 0.3 * np.sin(np.arange(2 * SAMPLING, dtype=np.float32) / 17)
    path = save(tmp_path / "it.ogg", np.stack([tone, tone], axis=1), SAMPLING)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert "ends too soon" in refusal(path).found


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    assert "no file" in refusal(tmp_path / "none.wav").found
    (tmp_path / "folder.wav").mkdir()
    assert "no file" in refusal(tmp_path / "folder.wav").found


def test_a_sound_of_no_length_is_refused(tmp_path: Path) -> None:
    path = save(tmp_path / "it.wav", np.zeros((0, 2), dtype=np.float32), SAMPLING)
    assert "no length" in refusal(path).found


def test_rates_and_channels_outside_reason_are_refused(tmp_path: Path) -> None:
    slow = save(tmp_path / "slow.wav", np.zeros((100, 1), dtype=np.float32), 4_000)
    assert "4000 samples a second" in refusal(slow).found
    wide = save(tmp_path / "wide.wav", np.zeros((100, 9), dtype=np.float32), SAMPLING)
    assert "9 channels" in refusal(wide).found


@pytest.fixture(scope="session")
def sounds_of_each_kind(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("kinds")
    tone = click(44_100, 0.3, 0.1, 2)
    return {kind: save(folder / f"it.{kind}", tone, 44_100).read_bytes() for kind in KINDS}


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    kind=st.sampled_from(sorted(KINDS)),
    changes=st.lists(st.tuples(st.integers(0, 4_000), st.binary(max_size=6), st.integers(0, 6)), max_size=4),
    end=st.integers(1, 60_000),
)
def test_a_damaged_file_gives_a_sound_or_a_plain_word(
    tmp_path: Path,
    sounds_of_each_kind: dict[str, bytes],
    kind: str,
    changes: list[tuple[int, bytes, int]],
    end: int,
) -> None:
    raw = bytearray(sounds_of_each_kind[kind])
    for at, put, taken in changes:
        raw[at : at + taken] = put
    path = tmp_path / f"it.{kind}"
    path.write_bytes(raw[:end])
    with suppress(SoundError):
        for block in read_blocks(path):
            assert block.shape[1] == 2
            assert np.isfinite(block).all()
    assert path.read_bytes() == raw[:end]
