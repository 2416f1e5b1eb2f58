"""The socket on which every window hears what happens."""

from __future__ import annotations

import asyncio
from contextlib import suppress

from fastapi import APIRouter, WebSocket, WebSocketDisconnect

from splitpin.bench.room import Room

router = APIRouter()


@router.websocket("/events")
async def events(socket: WebSocket) -> None:
    """Tell events until the window goes away."""
    room: Room = socket.app.state.room
    await socket.accept()
    async with room.events.listening() as ear:
        desk = room.open
        await socket.send_json({"kind": "hello", "revision": 0 if desk is None else desk.revision})
        gone = asyncio.create_task(_until_gone(socket))
        with suppress(WebSocketDisconnect, RuntimeError):
            while not gone.done():
                coming = asyncio.create_task(ear.get())
                done, _ = await asyncio.wait({coming, gone}, return_when=asyncio.FIRST_COMPLETED)
                if coming not in done:
                    coming.cancel()
                    break
                await socket.send_json(coming.result())
        gone.cancel()


async def _until_gone(socket: WebSocket) -> None:
    with suppress(WebSocketDisconnect, RuntimeError):
        while True:
            await socket.receive_text()
