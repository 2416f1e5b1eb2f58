"""The page's own files, read once and answered from memory: a page of many small modules comes at once."""

from __future__ import annotations

import mimetypes
import re
from collections.abc import Iterator
from hashlib import blake2b
from pathlib import Path
from typing import NamedTuple

from starlette.responses import Response
from starlette.types import Receive, Scope, Send

_KINDS = {".js": "text/javascript", ".woff2": "font/woff2", ".svg": "image/svg+xml"}
"""What systems tell differently, or not at all."""
_IMPORTS = re.compile(rb"""^(?:import|export)\b[^;]*?\bfrom\s+"(\.[^"]+)";""", re.MULTILINE)


class PageFile(NamedTuple):
    """One file of the page."""

    data: bytes
    kind: str
    """Its media type."""
    tag: str
    """Changes with its bytes (an entity tag, RFC 9110)."""


class PageFiles:
    """All files of a folder, as an application that serves them; whoever has one is told so (304).

    Parameters
    ----------
    folder
        The folder; files that are put there later are not seen.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        found = sorted(path for path in self.folder.rglob("*") if path.is_file())
        self.files = {path.relative_to(self.folder).as_posix(): _read(path) for path in found}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request for one file."""
        name = scope["path"].removeprefix(scope.get("root_path", "")).lstrip("/")
        file = self.files.get(name)
        known = dict(scope["headers"]).get(b"if-none-match", b"").decode("latin-1")
        if file is None or scope["method"] not in ("GET", "HEAD"):
            answer = Response(status_code=404 if file is None else 405)
        elif file.tag in known:
            answer = Response(status_code=304, headers={"etag": file.tag})
        else:
            answer = Response(file.data, media_type=file.kind, headers={"etag": file.tag})
        await answer(scope, receive, send)

    def behind(self, name: str) -> Iterator[str]:
        """A module and every one that it imports, each once."""
        waiting, seen = [name], {name}
        while waiting:
            one = waiting.pop()
            yield one
            for said in _IMPORTS.findall(self.files[one].data):
                path = (self.folder / one).parent / said.decode()
                other = path.resolve().relative_to(self.folder).as_posix()
                if other not in seen and other in self.files:
                    seen.add(other)
                    waiting.append(other)


def _read(path: Path) -> PageFile:
    data = path.read_bytes()
    kind = _KINDS.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    return PageFile(data, kind, f'"{blake2b(data, digest_size=12).hexdigest()}"')
