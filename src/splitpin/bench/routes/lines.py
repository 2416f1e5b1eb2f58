"""The exposure sheet in words, line by line, and what a hand changes on it."""

from __future__ import annotations

from bisect import bisect_right
from typing import Annotated, Any

from fastapi import APIRouter
from fastapi import Path as InPath
from pydantic import BaseModel, Field, StrictBool

from splitpin.bench.room import TheDesk
from splitpin.character.pose import Value
from splitpin.folder.mistake import FolderError
from splitpin.jobs.retime import retime
from splitpin.jobs.shop import Shop
from splitpin.jobs.touch import Touched, copy_span, let_go, touch
from splitpin.measure.likely import likely
from splitpin.sheet.csv import Change
from splitpin.sheet.sheet import Sheet
from splitpin.sheet.touches import touched
from splitpin.sheet.words import cells

router = APIRouter(tags=["sheet"])
Frame = Annotated[int, Field(ge=0, le=216_000)]
Who = Annotated[str, Field(min_length=1, max_length=80)]
Number = Annotated[float, Field(ge=-1e6, le=1e6, allow_inf_nan=False)]
Channel = Annotated[str, Field(min_length=1, max_length=200)]
Values = Annotated[
    dict[Channel, StrictBool | Number | Annotated[str, Field(max_length=80)]], Field(max_length=500)
]


class OneTouch(BaseModel):
    """Values of one member on one exposure."""

    frame: Frame
    """The exposure's first frame in the scene."""
    who: Who
    set: Values
    """Channels and what they shall be."""


class Touches(BaseModel):
    """What is set by hand."""

    changes: Annotated[list[OneTouch], Field(min_length=1, max_length=2000)]
    join: bool = False
    """It goes on with the step before."""


class OneHold(BaseModel):
    """How long one exposure is held."""

    frame: Frame
    """Its first frame in the scene."""
    frames: Annotated[int, Field(ge=0, le=100_000)]
    """None takes it out."""


class Holds(BaseModel):
    """What is held for how long."""

    held: Annotated[list[OneHold], Field(min_length=1, max_length=20_000)]
    join: bool = False
    """It goes on with the step before."""


class Span(BaseModel):
    """Exposures, and members on them."""

    frames: Annotated[list[Frame], Field(min_length=1, max_length=20_000)]
    """Their first frames, in order."""
    who: Annotated[list[Who], Field(max_length=200)] = []
    """The members; everybody when it is empty, where that makes sense."""


class Copied(Span):
    """A span and where it goes."""

    to: Frame
    """The first frame of the exposure that the first one is copied to."""


@router.get("/scenes/{scene}/lines")
def lines(desk: TheDesk, scene: str) -> dict[str, Any]:
    """The lines of a scene's sheet: what moves, what is heard and said, and which picture each has."""
    with desk.shop() as shop:
        sheet = _sheet(shop, scene)
        standing = desk.standing()
        held = {one.exposure.row.frame: one for one in standing.held if one.scene == scene}
        first = min((one.frame for one in held.values()), default=0)
        hands: dict[int, list[str]] = {}
        for frame, who in touched(shop.ready.folder.scenes[scene].touches, sheet):
            hands.setdefault(frame, []).append(who)
        told = list(cells(sheet))
        moving = {who for row in told[1:] for who in row}
        return {
            "revision": standing.revision,
            "scene": scene,
            "first": first,
            "frames": sheet.frames,
            "members": [{"who": who, "moves": who in moving} for who in sheet.rows[0].poses if who != "view"],
            "panels": [{"name": n, "frame": f, "frames": c} for n, f, c in sheet.panels],
            "rows": [
                {
                    "frame": row.frame,
                    "frames": row.frames,
                    "panel": row.panel,
                    "kind": held[row.frame].exposure.kind,
                    "key": held[row.frame].key,
                    "cells": cell,
                    "sounds": row.sounds,
                    "says": [said._asdict() for said in row.says],
                    "longer": row.longer,
                    "hands": hands.get(row.frame, ()),
                }
                for row, cell in zip(sheet.rows, told, strict=True)
            ],
        }


@router.get("/scenes/{scene}/exposures/{frame}")
def exposure(desk: TheDesk, scene: str, frame: Annotated[int, InPath(ge=0, le=216_000)]) -> dict[str, Any]:
    """Every channel of every member on the exposure in which a frame lies, and what each may show."""
    with desk.shop() as shop:
        sheet = _sheet(shop, scene)
        row = sheet.rows[bisect_right(sheet.rows, frame, key=lambda one: one.frame) - 1]
        figures = shop.ready.folder.figures(scene)
        sets = {
            who: {name: list(piece.set) for name, piece in figure.character.pieces.items() if piece.set}
            for who, figure in figures.items()
        }
        poses = {who: dict(pose) for who, pose in row.poses.items()}
        return {"frame": row.frame, "poses": poses, "sets": sets}


@router.post("/scenes/{scene}/touches")
def lay(desk: TheDesk, scene: str, asked: Touches) -> dict[str, Any]:
    """Set values by hand."""

    def value(one: object) -> Value:
        return one if isinstance(one, bool | str) else float(str(one))

    changes = [Change(c.frame, c.who, {k: value(v) for k, v in c.set.items()}) for c in asked.changes]
    done = desk.step("touch by hand", lambda: touch(desk.root, scene, changes), join=asked.join)
    return _done(desk, done)


@router.post("/scenes/{scene}/copies")
def copy(desk: TheDesk, scene: str, span: Copied) -> dict[str, Any]:
    """Lay members as they lie on other exposures."""
    done = desk.step("copy exposures", lambda: copy_span(desk.root, scene, span.who, span.frames, span.to))
    return _done(desk, done)


@router.post("/scenes/{scene}/holds")
def hold(desk: TheDesk, scene: str, asked: Holds) -> dict[str, Any]:
    """Hold exposures for so many frames."""
    held = {one.frame: one.frames for one in asked.held}
    longer = desk.step("hold exposures", lambda: retime(desk.root, scene, held), join=asked.join)
    return {"revision": desk.revision, "longer": longer}


@router.post("/scenes/{scene}/hands-off")
def release(desk: TheDesk, scene: str, span: Span) -> dict[str, Any]:
    """Take hands off exposures: they lie as the moves say."""
    done = desk.step("hands off", lambda: let_go(desk.root, scene, span.frames, span.who or None))
    return _done(desk, done)


def _done(desk: TheDesk, done: Touched) -> dict[str, Any]:
    return {"revision": desk.revision, **done._asdict()}


def _sheet(shop: Shop, scene: str) -> Sheet:
    sheets = {one.scene: one for one in shop.ready.sheets}
    if scene not in sheets:
        raise FolderError(f"scenes/{scene[:80]}.toml", "no such scene", "a scene", likely(scene, sheets))
    return sheets[scene]
