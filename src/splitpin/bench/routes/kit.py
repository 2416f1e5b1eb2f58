"""The paper kit: what there is to print, laid out and counted, looked at page by page, and taken away."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Response
from pydantic import BaseModel, Field

from splitpin.bench.desk import Desk
from splitpin.bench.room import TheDesk, TheRoom
from splitpin.bench.work import Work
from splitpin.device.previews import jpeg
from splitpin.device.printed_pages import page_picture
from splitpin.folder.mistake import FolderError
from splitpin.jobs.kit import kit as print_kit
from splitpin.jobs.kit import kit_file
from splitpin.paper.parts import ASKED, PARTS
from splitpin.paper.stock import STOCKS

router = APIRouter(tags=["kit"])
NAME = "lay out the paper kit"
Names = Annotated[list[Annotated[str, Field(max_length=200)]], Field(min_length=1, max_length=100)]


class Wanted(BaseModel):
    """What is to be printed."""

    paper: Literal["A4", "A3", "Letter", "Tabloid"] = "A4"
    only: Names | None = None
    """Parts; when left out all but those that take much paper."""
    scenes: Names | None = None
    """Scenes; all when left out."""
    measured: Annotated[float, Field(ge=80, le=125)] = 100.0
    """What the printed rule of 100 mm measured, mm."""
    plotter: bool = False
    """Also write what a plotter cuts."""


@router.get("/kit")
def kinds(desk: TheDesk) -> dict[str, Any]:
    """The parts that a kit can have, the sizes of paper, and the kit that was laid out last."""
    file = _file(desk)
    return {
        "parts": [{"name": name, "asked": name in ASKED} for name in PARTS],
        "papers": list(STOCKS),
        "file": file.relative_to(desk.root).as_posix() if file.is_file() else None,
    }


@router.post("/kit", status_code=202)
def lay_out(room: TheRoom, desk: TheDesk, wanted: Wanted) -> dict[str, Any]:
    """Begin to lay the kit out; what goes on is told by events and by ``/api/work``."""

    def action(work: Work) -> dict[str, Any]:
        done = print_kit(
            desk.root, wanted.scenes, wanted.paper, wanted.only, measured=wanted.measured,
            plotter=wanted.plotter, progress=work.progress, doing=work.say,
        )  # fmt: skip
        file = done.file or _file(desk)
        return {
            "file": file.relative_to(desk.root).as_posix(),
            "paper": done.stock,
            "pages": dict(done.pages),
            "total": sum(done.pages.values()),
            "cost": done.cost._asdict(),
            "notes": list(done.notes),
            "plotter": [one.relative_to(desk.root).as_posix() for one in done.plotter],
        }

    return room.queue.add(NAME, action).as_data()


@router.get("/kit/pages/{number}.jpg", response_class=Response)
def page(
    desk: TheDesk,
    number: Annotated[int, Field(ge=0, le=100_000)],
    width: Annotated[int, Query(ge=16, le=4000)] = 400,
) -> Response:
    """A page of the kit that was laid out last, from 1."""
    file = _file(desk)
    if not file.is_file():
        raise FolderError("made/", "no kit has been laid out", "a kit", "lay it out first")
    return Response(jpeg(page_picture(file, number, width)), media_type="image/jpeg")


def _file(desk: Desk) -> Path:
    with desk.shop() as shop:
        return kit_file(desk.root, shop.film.title)
