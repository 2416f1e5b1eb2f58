"""Films lately open, a new one, the example."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Response
from pydantic import BaseModel, Field

from splitpin.bench.room import TheRoom
from splitpin.bench.shelf import forget, recent, titled
from splitpin.device.previews import jpeg
from splitpin.folder.mistake import FolderError
from splitpin.jobs.new import new

router = APIRouter(tags=["shelf"])
Number = Annotated[int, Field(ge=0, le=1000)]


class Place(BaseModel):
    """A folder on this computer."""

    folder: Annotated[str, Field(min_length=1, max_length=2000)]
    """Its path; ``~`` stands for the person's own folder."""


class Begun(Place):
    """A film to begin."""

    example: bool = False
    """The example film instead of an empty one."""


@router.get("/shelf")
def shelf(room: TheRoom) -> dict[str, Any]:
    """The films lately open, and which one is open now."""
    desk = room.open
    return {
        "open": None if desk is None else str(desk.root),
        "home": str(Path.home()),
        "films": [{"number": n, "folder": str(p), "name": titled(p)} for n, p in enumerate(recent())],
    }


@router.get("/shelf/{number}/frame.jpg")
def first_frame(number: Number) -> Response:
    """The first frame of a film on the shelf; nothing when it cannot be drawn."""
    import splitpin.api

    films = recent()
    if number >= len(films):
        raise FolderError("the shelf", f"film {number}", f"one of {len(films)}", "look at the shelf anew")
    try:
        film = splitpin.api.open(films[number])
        return Response(jpeg(film.frame(min(len(film) - 1, 36)), 480), media_type="image/jpeg")
    except Exception:  # a film with mistakes has no picture on the shelf, whatever they are
        return Response(status_code=204)


@router.post("/shelf/open")
def open_film(room: TheRoom, place: Place) -> dict[str, Any]:
    """Lay a film out on the desk."""
    return {"open": str(room.lay_out(_path(place)).root)}


@router.delete("/shelf")
def put_away(room: TheRoom, place: Place) -> dict[str, Any]:
    """Take a film off the shelf. Nothing in its folder is touched."""
    forget(_path(place))
    return shelf(room)


@router.post("/shelf/new")
def begin(room: TheRoom, begun: Begun) -> dict[str, Any]:
    """Begin a film and lay it out."""
    folder = _path(begun)
    new(folder, example=begun.example)
    return {"open": str(room.lay_out(folder).root)}


def _path(place: Place) -> Path:
    try:
        path = Path(place.folder).expanduser()
        if "\0" in place.folder or not path.is_absolute():
            raise ValueError
    except (ValueError, RuntimeError):
        raise FolderError(
            place.folder[:200], "no whole path", "a path from the disk's root on, or from ~", "write it whole"
        ) from None
    return path
