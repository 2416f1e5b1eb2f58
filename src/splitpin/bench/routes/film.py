"""The film as a whole: its documents, how long it is, what is wrong with it."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from splitpin.bench.answers import as_data
from splitpin.bench.desk import Desk
from splitpin.bench.room import TheDesk
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import Mistake
from splitpin.jobs.check import check
from splitpin.jobs.whereabouts import whereabouts

router = APIRouter(tags=["film"])


@router.get("/film")
def film(desk: TheDesk) -> dict[str, Any]:
    """Everything that the documents say, and where each exposure stands in the film."""
    standing = desk.standing()
    folder = standing.shop.ready.folder if standing.shop and not standing.mistakes else load(desk.root)
    return {
        "revision": standing.revision,
        "folder": str(desk.root),
        "name": desk.root.name,
        "film": folder.film.model_dump(mode="json"),
        "documents": _documents(folder),
        "exposures": [
            {
                "frame": held.frame,
                "frames": held.exposure.row.frames,
                "scene": held.scene,
                "panel": held.exposure.row.panel,
                "kind": held.exposure.kind,
                "key": held.key,
            }
            for held in standing.held
        ],
        "frames": sum(held.exposure.row.frames for held in standing.held),
        "mistakes": as_data(standing.mistakes),
        "history": history(desk),
    }


@router.get("/warnings")
def warnings(desk: TheDesk) -> dict[str, Any]:
    """What a person should know, and on which frame of the film; finding it takes longer than reading."""
    found = check(desk.root)

    def told(mistake: Mistake) -> dict[str, object]:
        where = whereabouts(found, mistake)
        scene, frame = (None, None) if where is None else where
        return {**mistake._asdict(), "scene": scene, "frame": frame}

    return {
        "mistakes": [told(one) for one in found.mistakes],
        "warnings": [told(one) for one in found.warnings],
    }


def history(desk: Desk) -> dict[str, Any]:
    """What can be taken back and done again next."""
    done, undone = desk.done, desk.undone
    return {
        "undo": done[-1].label if done else None,
        "redo": undone[-1].label if undone else None,
        "steps": len(done),
    }


def _documents(folder: FilmFolder) -> dict[str, Any]:
    kinds: dict[str, Any] = {
        "scenes": folder.scenes,
        "characters": folder.characters,
        "pictures": folder.pictures,
        "sounds": folder.sounds,
    }
    told = {
        kind: {name: document.model_dump(mode="json") for name, document in found.items()}
        for kind, found in kinds.items()
    }
    told["cutouts"] = {
        name: {"width_mm": cutout.width_mm, "width": cutout.width, "height": cutout.height}
        for name, cutout in folder.cutouts.items()
    }
    return told
