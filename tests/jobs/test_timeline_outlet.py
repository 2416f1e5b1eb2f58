"""The outlet for editing programs, from a whole folder."""

from __future__ import annotations

from pathlib import Path

import opentimelineio as otio
import pytest
from tests.tinyfilm import write_tiny

from splitpin.jobs.make import make


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def test_the_files_of_a_timeline_are_found_from_where_it_lies(tiny: Path) -> None:
    made = make(tiny, ["web", "timeline"], workers=1)
    outlet = made.outlets[1]
    assert [file.name for file in outlet.files] == ["tiny-timeline.otio", "tiny-timeline.edl"]
    back = otio.adapters.read_from_file(str(outlet.files[0]))
    urls = {clip.media_reference.target_url for clip in back.find_clips()}
    assert urls == {"tiny.mp4", "../sounds/tick.wav", "../sounds/hum.wav"}
    assert all((outlet.files[0].parent / url).is_file() for url in urls)
    assert outlet.told.startswith("2 scenes, 3 panels, 2 tracks of sound")
    assert outlet.loudness is None


def test_at_12_frames_a_second_there_is_no_list_and_an_old_one_goes(tiny: Path) -> None:
    [_, edl] = make(tiny, ["timeline"], workers=1).files
    film = tiny / "film.toml"
    film.write_text(film.read_text(encoding="utf-8").replace('rate = "24"', 'rate = "12"'), encoding="utf-8")
    [outlet] = make(tiny, ["timeline"], workers=1).outlets
    assert [file.suffix for file in outlet.files] == [".otio"]
    assert not edl.exists()
    assert "no EDL" in outlet.told
