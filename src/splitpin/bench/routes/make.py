"""Make the film, and ask after work that goes on."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import BaseModel, Field

from splitpin.bench.room import TheDesk, TheRoom
from splitpin.bench.work import Work
from splitpin.film.outlet import STANDARD
from splitpin.folder.mistake import FolderError
from splitpin.jobs.make import make as make_film

router = APIRouter(tags=["make"])
Names = Annotated[list[Annotated[str, Field(max_length=200)]], Field(min_length=1, max_length=100)]
Number = Annotated[int, Field(ge=0, le=2**31)]


class Wanted(BaseModel):
    """What is to be made."""

    outlets: Names | None = None
    """Names of outlets; those in film.toml when left out."""
    scenes: Names | None = None
    """Scenes, made as a film of their own; the whole film when left out."""


@router.get("/outlets")
def outlets(desk: TheDesk) -> dict[str, Any]:
    """The outlets of the film, and the standard ones."""
    with desk.shop() as shop:
        own = {name: outlet.model_dump(mode="json") for name, outlet in shop.film.outlets.items()}
    return {"film": own, "standard": {name: o.model_dump(mode="json") for name, o in STANDARD.items()}}


@router.post("/make", status_code=202)
def make(room: TheRoom, desk: TheDesk, wanted: Wanted) -> dict[str, Any]:
    """Begin to make the film; what goes on is told by events and by ``/api/work``."""

    def action(work: Work) -> dict[str, Any]:
        made = make_film(desk.root, wanted.outlets, wanted.scenes, None, work.progress, work.say)
        return {
            "files": [file.relative_to(desk.root).as_posix() for file in made.files],
            "frames": made.frames,
            "seconds": made.seconds,
            "warnings": list(made.warnings),
            "outlets": [
                {
                    "name": one.name,
                    "files": [file.relative_to(desk.root).as_posix() for file in one.files],
                    "loudness": _finite(one.loudness),
                    "true_peak": _finite(one.true_peak),
                    "range": _finite(one.range),
                    "told": one.told,
                }
                for one in made.outlets
            ],
        }

    return room.queue.add("make the film", action).as_data()


@router.get("/work")
def all_work(room: TheRoom) -> dict[str, Any]:
    """What goes on, and what was done lately."""
    return {"work": [work.as_data() for work in room.queue.all()]}


@router.get("/work/{number}")
def one_work(room: TheRoom, number: Number) -> dict[str, Any]:
    """How far a piece of work has come."""
    return _found(room, number).as_data()


@router.delete("/work/{number}")
def stop_work(room: TheRoom, number: Number) -> dict[str, Any]:
    """Give it up."""
    work = _found(room, number)
    work.stop.now()
    return work.as_data()


def _found(room: TheRoom, number: int) -> Work:
    work = room.queue.find(number)
    if work is None:
        raise FolderError("the work", f"number {number}", "work that was asked for", "load the page anew")
    return work


def _finite(value: float | None) -> float | None:
    return None if value is None or value in (float("inf"), float("-inf")) else round(value, 1)
