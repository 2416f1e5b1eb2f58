"""The cutting mat: drafts that follow the hand, and cutting, mending and splitting for good.

Drafts are answered at once, beside the queue, so that a stroke never waits for a film that is being made.
"""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Response
from fastapi import Path as InPath
from pydantic import BaseModel, Field

from splitpin.bench.answers import as_data
from splitpin.bench.held import Held
from splitpin.bench.room import TheDesk, TheRoom
from splitpin.bench.work import Work
from splitpin.cutout.recipe import Recipe
from splitpin.cutout.split import Parts
from splitpin.device.pictures import encode_png
from splitpin.device.previews import jpeg
from splitpin.folder.kinds import CUTOUT
from splitpin.folder.mistake import FolderError
from splitpin.jobs.alter import alter
from splitpin.jobs.cut import Made, cut_into
from splitpin.jobs.drafts import Drafting
from splitpin.jobs.found import Found, find_found, known_ppi, open_fitted
from splitpin.jobs.hole import Mending
from splitpin.jobs.mend import mend_into
from splitpin.jobs.origin import stamp_of
from splitpin.jobs.piece import read_piece_document
from splitpin.jobs.split import split, try_split
from splitpin.measure.plain import Point

router = APIRouter(tags=["cutting mat"])
Name = Annotated[str, InPath(min_length=1, max_length=100)]
NewName = Annotated[str, Field(min_length=1, max_length=100)]
Seed = Annotated[int, Field(ge=0, le=2**31 - 1)]
Line = Annotated[list[Point], Field(min_length=2, max_length=500)]
Names = Annotated[list[NewName], Field(max_length=41)]
_drafts: Held[Drafting] = Held(2)
"""The pictures that are at work: a decoded scan each."""
_shown: Held[tuple[bytes, str]] = Held(120)
"""Pictures of drafts, and their kinds."""
_numbers = itertools.count(1)


class Edge(BaseModel):
    """The knife's way to a point."""

    start: Point | None = None
    end: Point


class Kept(BaseModel):
    """A piece to be cut for good."""

    name: NewName
    recipe: Recipe
    again: bool = False
    """Write over a cut-out of that name."""


class Mended(BaseModel):
    """A picture to be mended for good, where a cut-out was taken from it."""

    name: NewName
    piece: NewName
    seed: Seed = 0
    again: bool = False


class Hole(BaseModel):
    """A draft of what is left of a picture."""

    recipe: Recipe
    seed: Seed = 0


class Division(BaseModel):
    """Lines that part a cut-out, and what the parts are called."""

    lines: Annotated[list[Line], Field(min_length=1, max_length=40)]
    names: Names
    """The largest, then the one beyond each line."""
    under: Names = []
    drop: Names = []
    as_drawn: bool = False
    seed: Seed = 0


class Character(Division):
    """The same, and the character that is made of it."""

    character: NewName
    degrees: Annotated[float, Field(ge=0, le=180)] = 60.0
    again: bool = False


@router.post("/mat/pictures/{name}/draft")
def draft(desk: TheDesk, name: Name, recipe: Recipe) -> dict[str, Any]:
    """The piece that a recipe would cut: where it lies, its outline, and the key of its picture."""
    found = find_found(desk.root, name)
    done = _at_work(found).cut(_measured(found, recipe))
    return {
        "box": done.piece.box,
        "outline": [loop.round(1).tolist() for loop in done.piece.outline],
        "key": _show(encode_png(done.rgba, 1), "image/png"),
    }


@router.post("/mat/pictures/{name}/edge")
def edge(desk: TheDesk, name: Name, asked: Edge) -> dict[str, Any]:
    """The knife's way along the edge to a point, which is moved to the edge that it means."""
    way = _at_work(find_found(desk.root, name)).edge(asked.start, asked.end)
    return {"points": way.round(2).tolist()}


@router.post("/mat/pictures/{name}/mended", status_code=202)
def mended(room: TheRoom, desk: TheDesk, name: Name, asked: Hole) -> dict[str, Any]:
    """Begin a draft of the picture without the piece."""
    found = find_found(desk.root, name)

    def action(_: Work) -> dict[str, Any]:
        rgb = _at_work(found).mended(_measured(found, asked.recipe), asked.seed)
        return {"mended": _show(jpeg(rgb), "image/jpeg"), "picture": name}

    return room.queue.add(f"mend {name} behind the piece", action).as_data()


@router.get("/mat/shown/{key}", response_class=Response)
def shown(key: Annotated[str, InPath(max_length=20)]) -> Response:
    """The picture of a draft; it never changes, and is let go when many others come."""
    one = _shown.find(key)
    if one is None:
        raise FolderError("the mat", f"no draft {key}", "one that was drawn lately", "draw it anew")
    kept = {"cache-control": "private, max-age=3600, immutable"}
    return Response(one[0], media_type=one[1], headers=kept)


@router.post("/mat/pictures/{name}/cut", status_code=202)
def cut(room: TheRoom, desk: TheDesk, name: Name, asked: Kept) -> dict[str, Any]:
    """Begin to cut a piece for good."""
    find_found(desk.root, name)

    def action(_: Work) -> dict[str, Any]:
        step = desk.stepping(f"cut {asked.name}")
        return _made(cut_into(desk.root, name, asked.recipe, asked.name, step, again=asked.again), asked.name)

    return room.queue.add(f"cut {asked.name}", action).as_data()


@router.post("/mat/pictures/{name}/mend", status_code=202)
def mend(room: TheRoom, desk: TheDesk, name: Name, asked: Mended) -> dict[str, Any]:
    """Begin to mend a picture for good: it becomes a cut-out that can be a background."""
    find_found(desk.root, name)
    piece = _document(desk.root, asked.piece)

    def action(work: Work) -> dict[str, Any]:
        done = mend_into(
            desk.root, name, asked.name, Mending(piece=piece, seed=asked.seed), None,
            lambda share: work.progress(round(share * 100), 100),
            desk.stepping(f"mend {name} into {asked.name}"), again=asked.again,
        )  # fmt: skip
        return {"saved": asked.name, "kind": "mend", "warnings": as_data(done.warnings)}

    return room.queue.add(f"mend {name} into {asked.name}", action).as_data()


@router.get("/mat/cutouts")
def cutouts(desk: TheDesk) -> dict[str, Any]:
    """Every cut-out, and how it was made: ``cut``, ``split``, ``mend``, ``letters``, or nobody knows."""
    told = []
    for path in sorted((desk.root / CUTOUT.place).glob("*.png")):
        try:
            document = read_piece_document(path.with_suffix(".toml"))
        except (FolderError, OSError):
            continue
        made = document.recipe
        told.append(
            {
                "name": path.stem,
                "kind": None if made is None else made.kind,
                "picture": document.picture,
                "stamp": f"{path.stat().st_mtime_ns}",
            }
        )
    return {"cutouts": told}


@router.get("/mat/cutouts/{name}")
def cutout(desk: TheDesk, name: Name) -> dict[str, Any]:
    """What the document of a cut-out says, with its recipe."""
    return read_piece_document(_document(desk.root, name)).model_dump(mode="json")


@router.put("/mat/cutouts/{name}", status_code=202)
def recut(room: TheRoom, desk: TheDesk, name: Name, recipe: Recipe) -> dict[str, Any]:
    """Begin to cut a cut-out anew by what was drawn since."""
    _document(desk.root, name)

    def action(_: Work) -> dict[str, Any]:
        return _made(alter(desk.root, name, recipe, desk.stepping(f"cut {name} anew")), name)

    return room.queue.add(f"cut {name} anew", action).as_data()


@router.post("/mat/cutouts/{name}/parts", status_code=202)
def parts(room: TheRoom, desk: TheDesk, name: Name, asked: Division) -> dict[str, Any]:
    """Begin a draft of a cut-out in pieces."""

    def action(_: Work) -> dict[str, Any]:
        told = asked.model_dump(include={"under", "drop", "as_drawn", "seed"})
        return {"parted": name, **_parted(try_split(desk.root, name, asked.lines, asked.names, **told))}

    return room.queue.add(f"part {name}", action).as_data()


@router.post("/mat/cutouts/{name}/split", status_code=202)
def split_it(room: TheRoom, desk: TheDesk, name: Name, asked: Character) -> dict[str, Any]:
    """Begin to split a cut-out for good: pieces, and the character that they make."""

    def action(_: Work) -> dict[str, Any]:
        told = asked.model_dump(exclude={"lines", "names"})
        step = desk.stepping(f"split {name}")
        done = split(desk.root, name, asked.lines, asked.names, writing=step, **told)
        return {"saved": done.character, "kind": "split", "warnings": as_data(done.warnings)}

    return room.queue.add(f"split {name}", action).as_data()


def _at_work(found: Found) -> Drafting:
    return _drafts.get(stamp_of(found), lambda: Drafting(open_fitted(found)))


def _measured(found: Found, recipe: Recipe) -> Recipe:
    return recipe.model_copy(update={"ppi": known_ppi(found, recipe.ppi)})


def _document(root: Path, name: str) -> Path:
    file = root / CUTOUT.place / f"{name}.toml"
    if file.parent != root / CUTOUT.place or not file.is_file():
        raise FolderError(
            f"{CUTOUT.place}/{name[:100]}", "no such cut-out with a document", "a cut-out of the film",
            "look at its name",
        )  # fmt: skip
    return file


def _show(data: bytes, kind: str) -> str:
    key = str(next(_numbers))
    _shown.put(key, (data, kind))
    return key


def _made(made: Made, name: str) -> dict[str, Any]:
    return {"saved": name, "kind": "cut", "box": made.piece.box, "warnings": as_data(made.warnings)}


def _parted(found: Parts) -> dict[str, Any]:
    told = [
        {
            "name": one.name,
            "box": one.box,
            "holder": one.holder,
            "pin": one.pin,
            "radius": round(one.radius, 2),
            "key": _show(encode_png(one.rgba, 1), "image/png"),
        }
        for one in found.parts
    ]
    return {"parts": told, "order": found.order, "moved": [line for line, _ in found.moved]}
