"""Cards are laid, split, joined, drawn on and spoken for; the film follows, and every step is taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.bench.test_desk import files
from tests.tinyfilm import png, wav

from splitpin.folder.load import load

HILL = "/api/scenes/010-hill/panels"


def panels(root: Path, scene: str = "010-hill") -> list[str]:
    folder = load(root)
    assert folder.mistakes == ()
    return [panel.name for panel in folder.scenes[scene].panels]


def test_cards_are_put_in_moved_named_and_taken_out_and_back_again(bench: TestClient, tiny: Path) -> None:
    before = files(tiny)
    assert bench.post(HILL, json={"at": 1}).json() == {"panel": "panel-3"}
    assert panels(tiny) == ["waits", "panel-3", "goes"]
    assert bench.post(f"{HILL}/panel-3/name", json={"name": "looks"}).status_code == 200
    assert bench.post(f"{HILL}/waits/move", json={"at": 2}).status_code == 200
    assert panels(tiny) == ["looks", "goes", "waits"]
    assert bench.delete(f"{HILL}/looks").status_code == 200
    assert panels(tiny) == ["goes", "waits"]
    while bench.post("/api/undo").json()["step"]:
        pass
    assert files(tiny) == before


def test_a_drawing_is_kept_beside_the_film_and_seen_on_the_card(bench: TestClient, tiny: Path) -> None:
    drawn = bench.post(f"{HILL}/goes/drawing", files={"picture": ("a.png", png(32, 18), "image/png")})
    assert drawn.json()["drawing"] == "board/010-hill-goes.png"
    assert load(tiny).scenes["010-hill"].panels[1].drawing == "board/010-hill-goes.png"
    card = bench.get(f"{HILL}/goes/card.jpg?width=32")
    assert card.headers["content-type"] == "image/jpeg"
    assert bench.delete(f"{HILL}/goes/drawing").status_code == 200
    assert load(tiny).scenes["010-hill"].panels[1].drawing is None
    assert (tiny / "board/010-hill-goes.png").is_file()


def test_a_split_card_does_not_change_its_twins_drawing(bench: TestClient, tiny: Path) -> None:
    bench.post(f"{HILL}/goes/drawing", files={"picture": ("a.png", png(32, 18), "image/png")})
    assert bench.post(f"{HILL}/goes/split", json={"frames": 4}).json() == {"panel": "goes-2"}
    drawn = bench.post(f"{HILL}/goes/drawing", files={"picture": ("a.png", png(16, 9), "image/png")})
    assert drawn.json()["drawing"] == "board/010-hill-goes-2.png"
    assert load(tiny).scenes["010-hill"].panels[2].drawing == "board/010-hill-goes.png"


def test_a_recording_becomes_the_voice_of_its_card(bench: TestClient, tiny: Path) -> None:
    kept = bench.post(f"{HILL}/goes/voice", files={"sound": ("v.wav", wav(0.2, 300, 48000), "audio/wav")})
    assert kept.json()["file"] == "scratch-010-hill-goes.wav"
    (cue,) = [cue for cue in load(tiny).scenes["010-hill"].cues if cue.kind == "voice"]
    assert (cue.sound, cue.panel) == ("scratch-010-hill-goes.wav", "goes")


@pytest.mark.parametrize(
    ("path", "sent"),
    [
        ("waits/drawing", {"picture": ("a.png", b"no picture", "image/png")}),
        ("waits/voice", {"sound": ("v.wav", b"no sound", "audio/wav")}),
        ("nobody/drawing", {"picture": ("a.png", png(4, 4), "image/png")}),
    ],
)
def test_what_is_no_picture_or_no_sound_is_refused_and_changes_nothing(
    bench: TestClient, tiny: Path, path: str, sent: dict[str, tuple[str, bytes, str]]
) -> None:
    before = files(tiny)
    answer = bench.post(f"{HILL}/{path}", files=sent)
    assert answer.status_code == 422
    assert answer.json()["mistakes"][0]["found"]
    assert files(tiny) == before
