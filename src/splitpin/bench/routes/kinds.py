"""The vocabulary of moves, for the page to show and to ask by."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from splitpin.jobs.sample_moves import SHAPES, STAGE, samples
from splitpin.jobs.vocabulary import vocabulary
from splitpin.motion.easing import EASES

router = APIRouter(tags=["moves"])


@router.get("/moves")
def kinds() -> dict[str, Any]:
    """Every kind of move, with the keys that a form asks for."""
    told = [kind._asdict() | {"keys": [key._asdict() for key in kind.keys]} for kind in vocabulary()]
    return {"moves": told, "eases": EASES}


@router.get("/moves/samples")
def sample_moves() -> dict[str, Any]:
    """A little moving picture of each kind of move: rows of frames held, pieces (shape, matrix), and view."""
    told = {
        word: [
            [row.frames, [[p.cutout, *(round(v, 2) for v in p.matrix)] for p in row.placed], row.view]
            for row in sheet.rows
        ]
        for word, sheet in samples().items()
    }
    stage = {"width": STAGE.width, "height": STAGE.height, "field_mm": STAGE.field_mm}
    return {"stage": stage, "shapes": {n: s._asdict() for n, s in SHAPES.items()}, "samples": told}
