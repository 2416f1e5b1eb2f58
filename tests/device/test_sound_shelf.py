"""Each sound is converted once and then read from any place."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from splitpin.device import sound_shelf
from splitpin.device.sound_shelf import SoundShelf
from splitpin.device.soundfile_reader import read_blocks
from splitpin.sound.source import SoundError, peak_of


def noise(path: Path, seed: int = 0, sampling: int = 44_100, seconds: float = 3) -> Path:
    sound = np.random.default_rng(seed).uniform(-0.5, 0.5, (round(sampling * seconds), 2))
    soundfile.write(path, sound.astype(np.float32), sampling)
    return path


def test_a_shelved_sound_reads_like_the_file_from_any_place(tmp_path: Path) -> None:
    path = noise(tmp_path / "it.flac")
    whole = np.concatenate(list(read_blocks(path)))
    source = SoundShelf(tmp_path / "shelf").source(path)
    assert source.frames == len(whole)
    for start, count in [(0, 10), (70_000, 5_000), (len(whole) - 3, 3), (5, 0)]:
        assert np.array_equal(source.read(start, count), whole[start : start + count])
    assert peak_of(source) == np.abs(whole).max()


def test_the_same_content_is_converted_once_whatever_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[Path] = []

    def counted(path: Path, where: str = ""):  # type: ignore[no-untyped-def]
        made.append(path)
        return read_blocks(path, where)

    monkeypatch.setattr(sound_shelf, "read_blocks", counted)
    shelf = SoundShelf(tmp_path / "shelf")
    first = noise(tmp_path / "a.wav")
    shelf.source(first)
    shelf.source(first)
    (tmp_path / "b.wav").write_bytes(first.read_bytes())
    shelf.source(tmp_path / "b.wav")
    assert len(made) == 1
    noise(first, seed=1)
    shelf.source(first)
    assert len(made) == 2


def test_a_sound_that_fails_leaves_nothing_on_the_shelf(tmp_path: Path) -> None:
    path = noise(tmp_path / "it.mp3")
    path.write_bytes(path.read_bytes()[:20_000])
    with pytest.raises(SoundError):
        SoundShelf(tmp_path / "shelf").source(path, "sounds/it.mp3")
    assert list((tmp_path / "shelf").glob("*")) == []
