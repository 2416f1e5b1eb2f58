"""The sounds of a scene: what there is to hang, what hangs, hanging and taking down."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path
from pydantic import BaseModel, Field

from splitpin.bench.room import TheDesk
from splitpin.folder.mistake import FolderError
from splitpin.jobs.cue import hang, sounds_in, take_down
from splitpin.jobs.effect import kit
from splitpin.jobs.staging import stage
from splitpin.sound.source import SoundError

router = APIRouter(tags=["cues"])


class NewCue(BaseModel):
    """A sound to hang."""

    sound: Annotated[str, Field(min_length=1, max_length=200)]
    """A file in ``sounds/``, or an effect of the kit."""
    frame: Annotated[int | None, Field(ge=0, le=10_000_000)] = None
    event: Annotated[str, Field(max_length=200)] = ""
    kind: Literal["voice", "effect", "music"] = "effect"
    gain: Annotated[float, Field(ge=-120, le=40)] = 0.0


@router.get("/scenes/{scene}/cues")
def cues(desk: TheDesk, scene: str) -> dict[str, Any]:
    """What hangs in a scene, where it is heard, what happens there, and what could be hung."""
    staged = stage(desk.root, scene)
    heard: dict[int, list[float]] = {}
    for sounding in staged.sheet.soundings:
        for n, one in enumerate(staged.scene.cues):
            if one is sounding.cue or one == sounding.cue:
                heard.setdefault(n, []).append(float(sounding.at))
    return {
        "cues": [
            one.model_dump(exclude_none=True) | {"number": n, "heard": sorted(set(heard.get(n, [])))}
            for n, one in enumerate(staged.scene.cues)
        ],
        "events": [event._asdict() for event in staged.sheet.events],
        "sounds": sounds_in(desk.root),
        "kit": [{"name": one.name, "about": one.about} for one in kit()],
    }


@router.post("/scenes/{scene}/cues")
def add(desk: TheDesk, scene: str, cue: NewCue) -> dict[str, Any]:
    """Hang a sound; an effect of the kit is made where there is no such sound."""
    try:
        done = desk.step(
            f"hang {cue.sound}"[:100],
            lambda: hang(desk.root, scene, cue.sound, cue.frame, cue.event, cue.kind, cue.gain),
        )
    except SoundError as problem:
        raise FolderError(cue.sound, problem.found, problem.expected, problem.remedy) from problem
    return done._asdict() | {"revision": desk.revision}


@router.delete("/scenes/{scene}/cues/{number}")
def remove(desk: TheDesk, scene: str, number: Annotated[int, Path(ge=0, le=100_000)]) -> dict[str, Any]:
    """Take a cue down; the sound stays in the film."""
    gone = desk.step(f"take down cue {number}", lambda: take_down(desk.root, scene, number))
    return {"sound": gone, "revision": desk.revision}
