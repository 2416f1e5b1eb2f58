"""What the page can ask for: one file for each thing, each only a translation into jobs."""

from splitpin.bench.routes import (
    board,
    characters,
    cues,
    edits,
    events,
    files,
    film,
    forecast,
    frames,
    kinds,
    lines,
    make,
    mat,
    pictures,
    rights,
    sheet,
    shelf,
    table,
)

ROUTERS = (
    shelf.router,
    film.router,
    forecast.router,
    edits.router,
    pictures.router,
    mat.router,
    characters.router,
    board.router,
    table.router,
    sheet.router,
    lines.router,
    cues.router,
    frames.router,
    files.router,
    make.router,
    rights.router,
    events.router,
    kinds.router,
)
"""Every route, in the order of the way of the work."""
