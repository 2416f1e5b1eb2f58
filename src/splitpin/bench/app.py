"""The workbench as an application: its routes, its page, and what watches the folder."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

from fastapi import FastAPI, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse
from watchfiles import awatch

from splitpin import __version__
from splitpin.bench.answers import install
from splitpin.bench.guard import Guard
from splitpin.bench.pagefiles import PageFiles
from splitpin.bench.room import Room
from splitpin.bench.routes import ROUTERS
from splitpin.folder.mistake import FolderError
from splitpin.folder.tracked import UNTRACKED

WEB = Path(__file__).parent / "web"
PLACES = ("shelf", "pictures", "mat", "envelopes", "board", "table", "sheet", "camera", "reel")
"""The places of the desk, as their addresses name them."""
PATIENCE = 200
"""Milliseconds of quiet after which a change from outside is taken in."""


def build(room: Room) -> FastAPI:
    """The application without its guard."""

    @asynccontextmanager
    async def living(_: FastAPI) -> AsyncIterator[None]:
        watching = asyncio.create_task(_watch(room))
        try:
            yield
        finally:
            watching.cancel()
            with suppress(asyncio.CancelledError):
                await watching
            room.close()

    app = FastAPI(
        title="splitpin's workbench",
        version=__version__,
        lifespan=living,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
    )
    app.state.room = room
    install(app)
    for router in ROUTERS:
        app.include_router(router, prefix="/api")
    files = PageFiles(WEB)
    pages = {place: whole_page(files, place) for place in PLACES}

    async def desk(request: Request) -> HTMLResponse:
        place = request.url.path.split("/")[1]
        return HTMLResponse(pages.get(place) or pages["shelf" if room.open is None else "reel"])

    for place in PLACES:
        app.add_api_route(f"/{place}", desk, include_in_schema=False)
        app.add_api_route(f"/{place}/{{what:path}}", desk, include_in_schema=False)
    app.add_api_route("/", desk, include_in_schema=False)
    app.mount("/web", files, name="web")
    return app


def whole_page(files: PageFiles, place: str) -> bytes:
    """The page, with links to every module that a place begins with: they come at once, not in turn."""
    names = {*files.behind("main.js"), *files.behind(f"places/{place}.js")}
    links = "".join(f'    <link rel="modulepreload" href="/web/{name}" />\n' for name in sorted(names))
    return files.files["index.html"].data.replace(b"  </head>", f"{links}  </head>".encode())


def guarded(room: Room, key: str, port: int) -> Guard:
    """The application as it is served."""
    return Guard(build(room), key, port)


async def _watch(room: Room) -> None:
    """Take in what somebody else changes in the folder of the open film."""
    while True:
        desk = room.open
        if desk is None:
            await asyncio.sleep(0.3)
            continue

        def of_the_film(_: object, path: str, root: Path = desk.root) -> bool:
            parts = Path(path).relative_to(root).parts if Path(path).is_relative_to(root) else ()
            hidden = any(part.startswith(".") or part.endswith("~") for part in parts)
            return bool(parts) and not hidden and parts[0] not in UNTRACKED

        stop = asyncio.Event()
        leaving = asyncio.create_task(_left(room, desk.root, stop))
        try:
            async for _ in awatch(desk.root, watch_filter=of_the_film, debounce=PATIENCE, stop_event=stop):
                with suppress(FolderError, OSError):
                    await run_in_threadpool(desk.look)
        except (OSError, RuntimeError):
            await asyncio.sleep(1.0)
        finally:
            leaving.cancel()


async def _left(room: Room, root: Path, stop: asyncio.Event) -> None:
    while room.open is not None and room.open.root == root:
        await asyncio.sleep(0.3)
    stop.set()
