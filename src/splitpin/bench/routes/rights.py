"""Whose pictures and sounds are in the film."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from splitpin.bench.room import TheDesk
from splitpin.jobs.credits import credits_of

router = APIRouter(tags=["credits"])


@router.get("/credits")
def credit(desk: TheDesk) -> dict[str, Any]:
    """What is unresolved, and the credits roll."""
    found = credits_of(desk.root)
    return {"unresolved": [one._asdict() for one in found.unresolved], "roll": found.roll, "own": found.own}
