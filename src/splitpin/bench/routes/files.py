"""Files of the film as they are: cut-outs, pictures, sounds, what was made."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import FileResponse

from splitpin.bench.room import TheDesk
from splitpin.folder.tree import Tree

router = APIRouter(tags=["files"])


@router.get("/files/{path:path}", response_class=FileResponse)
def file(desk: TheDesk, path: str, download: bool = False) -> FileResponse:
    """A file in the film's folder; nothing outside of it, and nothing hidden."""
    found = Tree(desk.root).find(path)
    # Whatever lies there, the browser never takes it for a page of ours.
    kind = "attachment" if download or found.suffix.lower() in (".svg", ".html", ".htm", ".xml") else "inline"
    return FileResponse(found, filename=found.name, content_disposition_type=kind)
