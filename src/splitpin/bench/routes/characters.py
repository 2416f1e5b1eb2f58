"""The envelopes: characters with their pieces at rest, their joints bent, how they are pinned together."""

from __future__ import annotations

from contextlib import suppress
from typing import Annotated, Any, Literal

from fastapi import APIRouter
from pydantic import BaseModel, Field

from splitpin.bench.desk import Desk
from splitpin.bench.room import TheDesk
from splitpin.bench.routes.sheet import placed_as_data
from splitpin.character.pinning import below
from splitpin.character.place import Placed, place
from splitpin.character.place import joints as axes_of
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError
from splitpin.jobs import envelope as job
from splitpin.jobs.joints import joints

router = APIRouter(tags=["characters"])
Name = Annotated[str, Field(min_length=1, max_length=80)]
Place = Annotated[float, Field(ge=-100_000, le=100_000, allow_inf_nan=False)]


class NewCharacter(BaseModel):
    """A character to begin."""

    name: Name
    pieces: Annotated[dict[Name, Name], Field(min_length=1, max_length=200)]
    """The cut-out of each piece; the first carries the others."""
    title: Annotated[str, Field(max_length=200)] = ""


class Add(BaseModel):
    """A piece more."""

    do: Literal["add"]
    piece: Name
    cutout: Name
    x: Place = 0.0
    y: Place = 0.0


class Lay(BaseModel):
    """A piece's pin comes there, mm."""

    do: Literal["lay"]
    piece: Name
    x: Place
    y: Place


class Pin(BaseModel):
    """A piece's pin goes through there, mm."""

    do: Literal["pin"]
    piece: Name
    x: Place
    y: Place


class Hang(BaseModel):
    """A piece hangs on another."""

    do: Literal["hang"]
    piece: Name
    on: Name


class Take(BaseModel):
    """A piece is taken away."""

    do: Literal["take"]
    piece: Name


class More(BaseModel):
    """A cut-out more that can lie in a piece's place."""

    do: Literal["replacement"]
    piece: Name
    name: Name
    cutout: Name


class Doing(BaseModel):
    """What shall be done with a character."""

    doing: Annotated[Add | Lay | Pin | Hang | Take | More, Field(discriminator="do")]


@router.get("/characters")
def characters(desk: TheDesk) -> dict[str, Any]:
    """All characters: their pieces as they lie at rest, and how many cut-outs are in the envelope."""
    folder = _folder(desk)
    told = []
    for name, character in folder.characters.items():
        try:
            listed = job.envelope(folder, name)
            lying = place(job.figure_of(folder, name), {})
        except FolderError:  # a cut-out is not there: the mistakes of the film tell of it
            listed, lying = [], ()
        told.append(
            {
                "name": name,
                "title": character.title or name,
                "pieces": len(character.pieces),
                "cutouts": sum(one.wanted + one.spares for one in listed),
                "placed": [_drawn(folder, one) for one in lying],
            }
        )
    return {"characters": told, "mistakes": sorted(set(_named(folder)) - set(folder.characters))}


@router.get("/characters/{name}")
def character(desk: TheDesk, name: str) -> dict[str, Any]:
    """A character at rest: its pieces and their pins in millimetres about its root's pin, y up; its list."""
    folder = _folder(desk)
    figure = job.figure_of(folder, name)
    lying = axes_of(figure, {})
    return {
        "name": name,
        "root": figure.root,
        "order": list(figure.order),
        "placed": [_drawn(folder, one) for one in place(figure, {})],
        "versions": {cutout: _version(folder, cutout) for cutout in figure.cutouts},
        "pins": {
            piece: {
                pin: [round(v, 4) for v in joint.axes.apply(*at)] for pin, at in joint.showing.hooks.items()
            }
            for piece, joint in lying.items()
        },
        "below": {piece: sorted(below(figure.character, piece)) for piece in lying},
        "list": [one._asdict() for one in job.envelope(folder, name)],
        "scenes": [
            scene
            for scene, says in folder.scenes.items()
            if any(member.character == name for member in says.cast.values())
        ],
    }


@router.get("/characters/{name}/joints/{piece}")
def joint(desk: TheDesk, name: str, piece: str) -> dict[str, Any]:
    """A joint through its range: how far it opens at each angle, and how the turned pieces lie then."""
    folder = _folder(desk)
    (swept,) = joints(folder, name, [piece])
    figure = job.figure_of(folder, name)
    turning = below(figure.character, piece)
    return {
        "piece": piece,
        "on": swept.holder,
        "radius_mm": swept.radius_mm,
        "clear": list(swept.clear),
        "bent": [
            bent._asdict()
            | {
                "placed": [
                    _drawn(folder, one)
                    for one in place(figure, {f"{piece}.angle": bent.angle})
                    if one.piece in turning
                ]
            }
            for bent in swept.bent
        ],
    }


@router.post("/characters", status_code=201)
def begin(desk: TheDesk, new: NewCharacter) -> dict[str, Any]:
    """Begin a character of two or more cut-outs."""
    desk.step(f"begin {new.name}", lambda: job.begin(desk.root, new.name, new.pieces, new.title))
    return {"name": new.name, "revision": desk.revision}


@router.post("/characters/{name}")
def change(desk: TheDesk, name: str, wanted: Doing) -> dict[str, Any]:
    """Pin a character's pieces otherwise; what is not meant stays where it lies."""
    label, how = _asked(wanted.doing)
    desk.step(label, lambda: job.change(desk.root, name, how))
    return {"revision": desk.revision}


def _asked(asked: Add | Lay | Pin | Hang | Take | More) -> tuple[str, job.Change]:
    if isinstance(asked, Add):
        return f"add {asked.piece}", job.add(asked.piece, asked.cutout, (asked.x, asked.y))
    if isinstance(asked, Lay):
        return f"lay {asked.piece}", job.lay(asked.piece, (asked.x, asked.y))
    if isinstance(asked, Pin):
        return f"pin {asked.piece}", job.pin(asked.piece, (asked.x, asked.y))
    if isinstance(asked, Hang):
        return f"hang {asked.piece} on {asked.on}", job.hang(asked.piece, asked.on)
    if isinstance(asked, Take):
        return f"take {asked.piece} away", job.take(asked.piece)
    return f"{asked.name} for {asked.piece}", job.replacement(asked.piece, asked.name, asked.cutout)


def _folder(desk: Desk) -> FilmFolder:
    standing = desk.standing()
    return standing.shop.ready.folder if standing.shop and not standing.mistakes else load(desk.root)


def _drawn(folder: FilmFolder, one: Placed) -> dict[str, Any]:
    return placed_as_data(one) | {"version": _version(folder, one.cutout)}


def _version(folder: FilmFolder, cutout: str) -> int:
    """Another number for another picture of the same name."""
    with suppress(OSError):
        return folder.cutout_path(cutout).stat().st_mtime_ns // 1000
    return 0


def _named(folder: FilmFolder) -> list[str]:
    places = [document.split("/") for document in folder.documents]
    return [
        parts[1].removesuffix(".toml") for parts in places if parts[0] == "characters" and len(parts) == 2
    ]
