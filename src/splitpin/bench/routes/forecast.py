"""What lies ahead of the film on the table."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from splitpin.bench.room import TheDesk
from splitpin.jobs.check import check
from splitpin.jobs.forecast import look_ahead

router = APIRouter(tags=["film"])


@router.get("/forecast")
def forecast(desk: TheDesk) -> dict[str, Any]:
    """Everything foreseen, with its frame in the film; it takes as long as the warnings, and once more."""
    return {"ahead": [one.as_data() for one in look_ahead(check(desk.root))]}
