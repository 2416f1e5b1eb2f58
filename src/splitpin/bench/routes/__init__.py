"""What the page can ask for: one file for each thing, each only a translation into jobs."""

from splitpin.bench.routes import (
    edits,
    events,
    files,
    film,
    frames,
    make,
    mat,
    pictures,
    rights,
    sheet,
    shelf,
)

ROUTERS = (
    shelf.router,
    film.router,
    pictures.router,
    mat.router,
    edits.router,
    sheet.router,
    frames.router,
    files.router,
    make.router,
    rights.router,
    events.router,
)
"""Every route, in the order of the way of the work."""
