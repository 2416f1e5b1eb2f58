"""Pictures of exposures, and the sound of the film."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from starlette.responses import FileResponse

from splitpin.bench.room import TheDesk
from splitpin.folder.mistake import FolderError

router = APIRouter(tags=["frames"])
FOR_EVER = {"cache-control": "private, max-age=31536000, immutable"}


@router.get("/frames/{key}.jpg", response_class=Response)
def picture(desk: TheDesk, key: str, width: Annotated[int, Query(ge=16, le=7680)] = 960) -> Response:
    """An exposure's picture by its key; it never changes, for what changed has another key.

    Of an exposure that was changed since the page heard of it there is nothing (204): the page hears of it.
    """
    held = next((one for one in desk.standing().held if one.key == key), None)
    if held is None and desk.was_shown(key):
        return Response(status_code=204)
    if held is None:
        raise FolderError("the film", f"no exposure {key[:40]}", "one of the film's", "load the page anew")
    return Response(desk.jpeg(held, width), media_type="image/jpeg", headers=FOR_EVER)


@router.get("/sound.wav", response_class=FileResponse)
def sound(desk: TheDesk) -> FileResponse:
    """The whole mix, as it is before an outlet brings it to its level."""
    return FileResponse(desk.sound(), media_type="audio/wav")


@router.get("/sound/waveform")
def waveform(desk: TheDesk, scene: Annotated[str, Query(max_length=200)] = "") -> dict[str, Any]:
    """The loudest sample of the mix in each frame, 0 to 1; of one scene, or of the whole film."""
    return {"peaks": desk.peaks(scene or None)}
