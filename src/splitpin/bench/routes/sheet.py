"""The exposure sheet of a scene: its rows, each piece with the matrix that lays it on the table."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from splitpin.bench.room import TheDesk
from splitpin.character.place import Placed
from splitpin.folder.mistake import FolderError
from splitpin.measure.likely import likely
from splitpin.sheet.sheet import Row

router = APIRouter(tags=["sheet"])


@router.get("/scenes/{scene}/sheet")
def sheet(desk: TheDesk, scene: str) -> dict[str, Any]:
    """The rows of a scene, its events and panels. Matrices are a, b, c, d, e, f from pixels of the cut-out to
    millimetres on the table, y up: x' = a x + c y + e.
    """
    with desk.shop() as shop:
        sheets = {found.scene: found for found in shop.ready.sheets}
        if scene not in sheets:
            raise FolderError(f"scenes/{scene[:80]}.toml", "no such scene", "a scene", likely(scene, sheets))
        found = sheets[scene]
        stage = shop.stage
        held = {one.exposure.row.frame: one for one in desk.standing().held if one.scene == scene}
        return {
            "revision": desk.standing().revision,
            "scene": scene,
            "frames": found.frames,
            "paper": found.paper,
            "stage": {"width": stage.width, "height": stage.height, "field_mm": stage.field_mm},
            "panels": [{"name": n, "frame": f, "frames": c} for n, f, c in found.panels],
            "events": [event._asdict() for event in found.events],
            "sounds": [
                {"sound": s.cue.sound, "kind": s.cue.kind, "at": float(s.at)} for s in found.soundings
            ],
            "reports": list(found.reports),
            "rows": [
                _row(row)
                | {
                    "kind": held[row.frame].exposure.kind if row.frame in held else "drawn",
                    "key": held[row.frame].key if row.frame in held else "",
                }
                for row in found.rows
            ],
        }


def _row(row: Row) -> dict[str, Any]:
    return {
        "frame": row.frame,
        "frames": row.frames,
        "panel": row.panel,
        "view": row.view._asdict(),
        "placed": [placed_as_data(one) for one in row.placed],
        "poses": {who: dict(pose) for who, pose in row.poses.items()},
        "sounds": list(row.sounds),
        "note": row.note,
        "says": [said._asdict() for said in row.says],
    }


def placed_as_data(one: Placed) -> dict[str, Any]:
    """A piece as the page draws it."""
    return {
        "who": one.who,
        "piece": one.piece,
        "cutout": one.cutout,
        "matrix": [round(value, 6) for value in one.matrix],
        "pin": [round(value, 4) for value in one.pin],
        "angle": round(one.angle, 4),
        "level": one.level,
    }
