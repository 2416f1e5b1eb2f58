"""Change documents, take it back, do it again."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, Field

from splitpin.bench.room import TheDesk
from splitpin.bench.routes.film import history
from splitpin.folder.edit import DELETED, Edit
from splitpin.folder.history import Step as Done

router = APIRouter(tags=["edits"])
Step = Annotated[str, Field(max_length=200)] | Annotated[int, Field(ge=0, le=100_000)]


class OneEdit(BaseModel):
    """A value and its place in a document."""

    document: Annotated[str, Field(min_length=1, max_length=300)]
    """Its path in the film folder."""
    path: Annotated[list[Step], Field(max_length=20)]
    """The way to the value."""
    value: Any = None
    """What shall stand there; null takes it away."""
    insert: bool = False
    """Put it before that item of a list instead of over it."""

    def edit(self) -> Edit:
        """As the folder knows it."""
        value = DELETED if self.value is None else self.value
        return Edit(self.document, tuple(self.path), value, self.insert)


class Edits(BaseModel):
    """One step of a person's work."""

    label: Annotated[str, Field(min_length=1, max_length=100)]
    """What it is, in words."""
    edits: Annotated[list[OneEdit], Field(min_length=1, max_length=500)]
    join: bool = False
    """It goes on with the step before."""


class Steps(BaseModel):
    """How much shall be done."""

    done: Annotated[int, Field(ge=0, le=10_000_000)]
    """So many steps; what lies beyond them can be done again."""


@router.post("/edits")
def edit(desk: TheDesk, asked: Edits) -> dict[str, Any]:
    """Change values: all or none."""
    desk.edit(asked.label, [one.edit() for one in asked.edits], join=asked.join)
    return {"revision": desk.revision, "history": history(desk)}


@router.post("/undo")
def undo(desk: TheDesk) -> dict[str, Any]:
    """Take back the latest step."""
    step = desk.undo()
    return {"step": None if step is None else step.label, "revision": desk.revision, "history": history(desk)}


@router.post("/redo")
def redo(desk: TheDesk) -> dict[str, Any]:
    """Do again what was taken back."""
    step = desk.redo()
    return {"step": None if step is None else step.label, "revision": desk.revision, "history": history(desk)}


@router.get("/history")
def steps(desk: TheDesk, most: Annotated[int, Query(ge=1, le=10_000)] = 300) -> dict[str, Any]:
    """The steps that are done, the latest last, and those that were taken back, the next one first.

    ``number`` is how many steps are done once that one is; ``begun`` how many earlier ones are not listed.
    """
    done, undone = desk.done, tuple(reversed(desk.undone))
    shown = done[-most:]
    first = len(done) - len(shown) + 1
    return {
        "begun": first - 1,
        "done": [_told(step, first + n) for n, step in enumerate(shown)],
        "undone": [_told(step, len(done) + 1 + n) for n, step in enumerate(undone[:most])],
    }


@router.post("/history")
def go(desk: TheDesk, asked: Steps) -> dict[str, Any]:
    """Go back or forth until so many steps are done."""
    desk.go(asked.done)
    return {"revision": desk.revision, "history": history(desk)}


def _told(step: Done, number: int) -> dict[str, Any]:
    files = [change.path for change in step.changes]
    return {"number": number, "label": step.label, "files": files[:20], "more": max(0, len(files) - 20)}
