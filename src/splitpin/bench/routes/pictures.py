"""Found pictures: bring them, look at them, make them fit, see where they are enlarged too far."""

from __future__ import annotations

import shutil
from pathlib import Path, PurePosixPath
from tempfile import mkdtemp
from typing import Annotated, Any
from weakref import finalize

import numpy as np
from fastapi import APIRouter, File, Form, Query, Response, UploadFile
from fastapi import Path as InPath
from numpy.typing import NDArray
from pydantic import BaseModel, Field

from splitpin.bench.answers import as_data
from splitpin.bench.held import Held
from splitpin.bench.room import TheDesk, TheRoom
from splitpin.bench.work import Work
from splitpin.device.previews import jpeg
from splitpin.folder.naming import plain_name
from splitpin.jobs.bring import Brought, bring
from splitpin.jobs.enlarged import WHY, enlarged_of
from splitpin.jobs.fit import note_fit
from splitpin.jobs.found import Found, as_found, find_found, known_ppi
from splitpin.jobs.origin import stamp_of
from splitpin.jobs.papers import Told
from splitpin.jobs.portfolio import Print, portfolio
from splitpin.picture.find_fit import Wanted, find_fit
from splitpin.picture.fit import Fit, fitted, preview, reduced

router = APIRouter(tags=["pictures"])
Name = Annotated[str, InPath(min_length=1, max_length=100)]
Side = Annotated[int, Field(ge=16, le=12_000)]
"""Pixels of the longer side, at most."""
MOST_FILES = 200
Rgb = NDArray[np.uint8]
_scans: Held[Rgb] = Held(2)
"""As they were found, decoded."""
_smaller: Held[Rgb] = Held(6)
"""The same at the sizes at which they are looked at."""
_prints: Held[bytes] = Held(400)
"""Prints of the desk: some 20 kB each."""
_trials: Held[bytes] = Held(6)
"""Pictures made fit for a trial, as JPEG."""


class Trial(BaseModel):
    """Steps to be looked at before they are noted."""

    fit: Fit = Fit()
    side: Side = 1600


@router.get("/pictures")
def pictures(desk: TheDesk) -> dict[str, Any]:
    """Every found picture, with what is known of it and what was made of it."""
    told = portfolio(desk.root)
    return {"pictures": [_as_data(one) for one in told.prints], "mistakes": as_data(told.mistakes)}


@router.post("/pictures", status_code=202)
def add(
    room: TheRoom,
    desk: TheDesk,
    files: Annotated[list[UploadFile], File(max_length=MOST_FILES)],
    source: Annotated[str, Form(max_length=1000)] = "",
    by: Annotated[str, Form(max_length=1000)] = "",
    date: Annotated[str, Form(max_length=100)] = "",
    licence: Annotated[str, Form(max_length=100)] = "",
) -> dict[str, Any]:
    """Bring pictures and sounds into the film; what is told holds for all of them."""
    coming = _Coming()
    paths = []
    for number, file in enumerate(files):
        # Each lies alone, so that two of one name are two.
        path = coming.place / str(number) / _file_name(file.filename or "")
        path.parent.mkdir()
        with path.open("wb") as out:
            shutil.copyfileobj(file.file, out)
        paths.append(path)
    told = Told(source, by, date, licence or None)
    label = f"bring {paths[0].name}" if len(paths) == 1 else f"bring {len(paths)} files"

    def action(_: Work) -> dict[str, Any]:
        try:
            done = bring(desk.root, paths, told, writing=desk.stepping(label))
        finally:
            coming.gone()
        return {"brought": [_brought(one) for one in done]}

    return room.queue.add(label, action).as_data()


@router.get("/pictures/{name}/print.jpg", response_class=Response)
def picture(
    desk: TheDesk,
    name: Name,
    side: Annotated[int, Query(ge=16, le=12_000)] = 480,
    fit: bool = True,
    stamp: Annotated[str, Query(max_length=40)] = "",
) -> Response:
    """A found picture, made fit or as it was found; kept by the browser when its stamp is the right one."""
    found = find_found(desk.root, name)
    now = stamp_of(found)

    def make() -> bytes:
        small = _small(found, side)
        return jpeg(fitted(small, reduced(found.document.fit, _share(found, small))) if fit else small)

    data = (_prints if side <= 640 else _trials).get((now, side, fit), make)
    kept = "private, max-age=31536000, immutable" if stamp == now else "no-cache"
    return Response(data, media_type="image/jpeg", headers={"cache-control": kept})


@router.post("/pictures/{name}/trial", response_class=Response)
def trial(desk: TheDesk, name: Name, asked: Trial) -> Response:
    """A found picture made fit by steps that are not noted yet: reduced, so that it follows the hand."""
    found = find_found(desk.root, name)
    small = _small(found, asked.side)
    return Response(jpeg(fitted(small, reduced(asked.fit, _share(found, small)))), media_type="image/jpeg")


@router.post("/pictures/{name}/look", status_code=202)
def look(room: TheRoom, desk: TheDesk, name: Name) -> dict[str, Any]:
    """Look a scan through for steps that would make it fit; nothing is noted."""
    found = find_found(desk.root, name)

    def action(_: Work) -> dict[str, Any]:
        rgb = _scan(found)
        seen = find_fit(rgb, Wanted())
        ppi = known_ppi(found)
        return {
            "looked": name,
            "fit": seen.fit.model_dump(mode="json", exclude_defaults=True),
            "by": seen.tilt.by,
            "page": seen.tilt.page,
            "soft": None if seen.soft is None else round(seen.soft, 2),
            "lpi": [round(ppi / s.cell, 1) if ppi else None for s in seen.fit.screens],
            "ppi": ppi,
        }

    return room.queue.add(f"look {name} through", action).as_data()


@router.put("/pictures/{name}/fit")
def fit_it(desk: TheDesk, name: Name, steps: Fit) -> dict[str, Any]:
    """Note the steps that make a picture fit; idle ones leave it as it was found."""
    found = find_found(desk.root, name)
    label = f"leave {name} as it was found" if steps.idle else f"make {name} fit"
    desk.step(label, lambda: note_fit(desk.root, found, steps))
    return {"revision": desk.revision}


@router.get("/pictures/{name}/enlarged")
def enlarged(desk: TheDesk, name: Name) -> dict[str, Any]:
    """Where the film enlarges what was made of a picture past the detail that it has."""
    find_found(desk.root, name)
    found = enlarged_of(desk.root, name)
    return {
        "enlarged": [{**one._asdict(), "factor": round(one.factor, 2), "why": WHY[one.by]} for one in found]
    }


class _Coming:
    """Where files lie that were sent, until they are brought: gone with this, also when nobody does."""

    def __init__(self) -> None:
        self.place = Path(mkdtemp(prefix="splitpin-"))
        self.gone = finalize(self, shutil.rmtree, self.place, ignore_errors=True)


def _scan(found: Found) -> Rgb:
    # Steps change nothing of the scan: its key is the stamp of the picture without them.
    plain = found._replace(document=found.document.model_copy(update={"fit": Fit()}))
    return _scans.get(stamp_of(plain), lambda: as_found(found))


def _small(found: Found, side: int) -> Rgb:
    plain = found._replace(document=found.document.model_copy(update={"fit": Fit()}))
    return _smaller.get((stamp_of(plain), side), lambda: preview(_scan(found), side))


def _share(found: Found, small: Rgb) -> float:
    return float(small.shape[1] / _scan(found).shape[1])


def _file_name(told: str) -> str:
    """A name under which a file may lie, most like what the browser told."""
    name = PurePosixPath(told.replace("\\", "/").replace("\0", "")).name
    stem, ending = PurePosixPath(name).stem, PurePosixPath(name).suffix
    return plain_name(stem) + "".join(c for c in ending[:12] if c.isalnum() or c == ".").lower()


def _brought(one: Brought) -> dict[str, Any]:
    names = ("kind", "name", "document", "duplicate", "notes", "width", "height", "ppi")
    return {name: getattr(one, name) for name in names} | {
        "kept": [kept._asdict() for kept in one.kept],
        "file": Path(one.file).name,
    }


def _as_data(one: Print) -> dict[str, Any]:
    return {
        "name": one.name,
        "file": one.file,
        "document": one.document.model_dump(mode="json"),
        "told": one.told,
        "width": one.size.width if one.size else None,
        "height": one.size.height if one.size else None,
        "stamp": one.stamp,
        "unresolved": list(one.unresolved),
        "cutouts": list(one.cutouts),
        "mistakes": as_data([one.mistake] if one.mistake else []),
    }
