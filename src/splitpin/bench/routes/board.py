"""The cards of the board: their order, their drawings, their voices, and how each looks in the film."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Any

from fastapi import APIRouter, File, Query, Response, UploadFile
from pydantic import BaseModel, Field

from splitpin.bench.room import TheDesk
from splitpin.device.previews import jpeg
from splitpin.film.segments import Exposure
from splitpin.folder.mistake import FolderError
from splitpin.jobs.board import (
    add_panel,
    join_panel,
    move_panel,
    name_panel,
    remove_panel,
    scene_of,
    split_panel,
)
from splitpin.jobs.drawing import lay_drawing, lift_drawing
from splitpin.jobs.record import keep_file
from splitpin.measure.likely import likely
from splitpin.scene.scene import Scene
from splitpin.sound.source import SoundError

router = APIRouter(tags=["board"])
At = Annotated[int, Field(ge=0, le=100_000)]
Name = Annotated[str, Field(min_length=1, max_length=80)]
MOST_BYTES = 256 << 20
"""Of a drawing or a recording that is sent here: an hour of sound takes less."""


class NewCard(BaseModel):
    """A card to put in."""

    at: At
    """Before which card of the scene, counted from 0."""
    name: Name | None = None
    """What it is called; found for it when left out."""


class Where(BaseModel):
    """Where a card shall lie."""

    at: At
    """Counted from 0 among the cards of the scene, when it lies there."""
    scene: Name | None = None
    """Another scene."""


class After(BaseModel):
    """Where a card is split."""

    frames: Annotated[int, Field(ge=1, le=216_000)]
    """Frames of the first of the two."""


class Called(BaseModel):
    """What a card shall be called."""

    name: Name


@router.get("/board")
def board(desk: TheDesk) -> dict[str, Any]:
    """The cards of the film in their order: how long each is, its drawing, the voices heard from it."""
    with desk.shop() as shop:
        folder = shop.ready.folder
        return {
            "revision": desk.standing().revision,
            "frames": shop.ready.frames,
            "scenes": [
                {
                    "name": sheet.scene,
                    "frames": sheet.frames,
                    "panels": [
                        {
                            "name": name,
                            "frames": frames,
                            "voices": _voices(folder.scenes[sheet.scene], name),
                            "seen": _stamp(desk.root, folder.scenes[sheet.scene].panels[n].drawing),
                        }
                        for n, (name, _, frames) in enumerate(sheet.panels)
                    ],
                }
                for sheet in shop.ready.sheets
            ],
        }


@router.post("/scenes/{scene}/panels")
def add(desk: TheDesk, scene: str, card: NewCard) -> dict[str, Any]:
    """Put in a new card."""
    return {"panel": desk.step("new card", lambda: add_panel(desk.root, scene, card.at, card.name))}


@router.delete("/scenes/{scene}/panels/{panel}")
def remove(desk: TheDesk, scene: str, panel: str) -> dict[str, Any]:
    """Take a card out, with what hangs on it."""
    desk.step(f"take out card {panel}"[:100], lambda: remove_panel(desk.root, scene, panel))
    return {"revision": desk.revision}


@router.post("/scenes/{scene}/panels/{panel}/move")
def move(desk: TheDesk, scene: str, panel: str, where: Where) -> dict[str, Any]:
    """Lay a card elsewhere."""
    desk.step(f"move card {panel}"[:100], lambda: move_panel(desk.root, scene, panel, where.at, where.scene))
    return {"revision": desk.revision}


@router.post("/scenes/{scene}/panels/{panel}/split")
def split(desk: TheDesk, scene: str, panel: str, after: After) -> dict[str, Any]:
    """Make two cards of one."""
    action = lambda: split_panel(desk.root, scene, panel, after.frames)  # noqa: E731
    return {"panel": desk.step(f"split card {panel}"[:100], action)}


@router.post("/scenes/{scene}/panels/{panel}/join")
def join(desk: TheDesk, scene: str, panel: str) -> dict[str, Any]:
    """Make one card of a card and the next."""
    desk.step(f"join card {panel}"[:100], lambda: join_panel(desk.root, scene, panel))
    return {"revision": desk.revision}


@router.post("/scenes/{scene}/panels/{panel}/name")
def name(desk: TheDesk, scene: str, panel: str, called: Called) -> dict[str, Any]:
    """Call a card something else."""
    desk.step(f"rename card {panel}"[:100], lambda: name_panel(desk.root, scene, panel, called.name))
    return {"panel": called.name}


@router.post("/scenes/{scene}/panels/{panel}/drawing")
def draw(desk: TheDesk, scene: str, panel: str, picture: Annotated[UploadFile, File()]) -> dict[str, Any]:
    """Lay a drawing on a card: PNG, JPEG, TIFF or WebP."""
    data = _sent(picture)
    file = desk.step(f"draw on {panel}"[:100], lambda: lay_drawing(desk.root, scene, panel, data))
    return {"drawing": file, "revision": desk.revision}


@router.delete("/scenes/{scene}/panels/{panel}/drawing")
def lift(desk: TheDesk, scene: str, panel: str) -> dict[str, Any]:
    """Take the drawing off a card; its file stays."""
    desk.step(f"take the drawing off {panel}"[:100], lambda: lift_drawing(desk.root, scene, panel))
    return {"revision": desk.revision}


@router.post("/scenes/{scene}/panels/{panel}/voice")
def voice(desk: TheDesk, scene: str, panel: str, sound: Annotated[UploadFile, File()]) -> dict[str, Any]:
    """Keep a recording (WAV) as the voice of a card, in place of an earlier one."""
    with TemporaryDirectory() as place:
        file = Path(place) / "voice.wav"
        file.write_bytes(_sent(sound))
        try:
            kept = desk.step(f"voice of {panel}"[:100], lambda: keep_file(desk.root, scene, panel, file))
        except SoundError as problem:
            raise FolderError("the recording", problem.found, problem.expected, problem.remedy) from problem
    return kept._asdict()


@router.get("/scenes/{scene}/panels/{panel}/card.jpg", response_class=Response)
def picture(
    desk: TheDesk, scene: str, panel: str, width: Annotated[int, Query(ge=16, le=7680)] = 960
) -> Response:
    """A card as it is seen when the board is played: its drawing, else its words."""
    with desk.shop() as shop:
        found = scene_of(shop.ready.folder, scene)
        panels = {one.name: one for one in found.panels}
        sheet = next((one for one in shop.ready.sheets if one.scene == scene), None)
        if panel not in panels or sheet is None:
            where = f"scenes/{scene[:80]}.toml"
            raise FolderError(where, f"no panel {panel[:80]!r} in the film", "a panel", likely(panel, panels))
        one = panels[panel]
        row = next(row for row in sheet.rows if row.panel == panel)
        words = one.name, one.action, one.spoken, one.sound
        seen = Exposure(row, "board", one.drawing) if one.drawing else Exposure(row, "card", "", words)
        return Response(jpeg(shop.still(seen, sheet.paper), width), media_type="image/jpeg")


def _voices(scene: Scene, panel: str) -> list[str]:
    first = scene.panels[0].name
    return [cue.sound for cue in scene.cues if cue.kind == "voice" and (cue.panel or first) == panel]


def _stamp(root: Path, drawing: str | None) -> str:
    """Differs when the drawing has changed; empty without one."""
    with suppress(OSError):
        if drawing is not None:
            found = (root / drawing).stat()
            return f"{found.st_mtime_ns:x}-{found.st_size:x}"
    return ""


def _sent(file: UploadFile) -> bytes:
    data = file.file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise FolderError("what was sent", "too much of it", f"at most {MOST_BYTES >> 20} MB", "send less")
    return data
