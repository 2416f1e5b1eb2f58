"""Make scans fit: find the steps and note them beside the picture, or write the picture made fit."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from splitpin.device.pictures import write_png
from splitpin.folder.edit import DELETED, Edit, apply
from splitpin.folder.kinds import PICTURE
from splitpin.folder.mistake import FolderError
from splitpin.jobs.found import Found, as_found, find_found, known_ppi
from splitpin.jobs.output import refuse_output
from splitpin.picture.find_fit import Wanted, find_fit, pair
from splitpin.picture.fit import Fit, fitted
from splitpin.picture.turn import inner_box, leaves_corners


class Fitted(NamedTuple):
    """A scan looked through."""

    name: str
    fit: Fit
    by: str
    """What showed how it lies: ``page``, ``lines``, ``nothing``, or ``hand``."""
    ppi: float | None
    width: int
    """Pixels of the picture made fit."""
    height: int
    written: Path | None
    """The document or the picture that was written."""
    soft: float | None = None
    """Pixels of the scan to one real pixel, where it looks enlarged or out of focus; else None."""
    inside: tuple[int, int, int, int] | None = None
    """Where turning left corners that were filled: the box that has none of them."""

    @property
    def screens(self) -> list[dict[str, float | None]]:
        """Each screen's ruling in lines per inch (None while no ppi is known), angle and cell in pixels."""
        return [
            {"lpi": round(self.ppi / s.cell, 2) if self.ppi else None, "angle": s.angle, "cell": s.cell}
            for s in self.fit.screens
        ]


def fit_picture(
    place: Path,
    name: str | None,
    wanted: Wanted,
    ppi: float | None = None,
    out: Path | None = None,
    show: Path | None = None,
    *,
    again: bool = False,
) -> Fitted:
    """Look a scan through.

    In a film folder the steps are written into the picture's document; elsewhere the picture made fit is
    written to ``out``.

    Parameters
    ----------
    place
        A film folder, or a picture.
    name
        The picture's name in the film folder.
    wanted
        Which steps are looked for.
    ppi
        Pixels per inch of the scan; what the document, else the file, tells when left out.
    out
        Where the picture made fit goes, as PNG.
    show
        Where before and after go, side by side, as PNG.
    again
        Write over pictures of these names.

    Raises
    ------
    FolderError
        When the picture cannot be read, or nothing tells where the result shall go.
    """
    found = find_found(place, name)
    if name is None and out is None and show is None:
        raise FolderError(
            str(place), "no place for the result", "-o FILE", "say where the fitted picture shall go"
        )
    for path, other in ((out, None), (show, out)):
        if path is not None:
            refuse_output(path, [".png"], again=again, used=[found.path, other])
    rgb = as_found(found)
    _inside(found, rgb, wanted)
    looked = find_fit(rgb, wanted)
    result = fitted(rgb, looked.fit)
    known = known_ppi(found, ppi)
    for path, picture in ((out, result), (show, None)):
        if path is not None:
            _write(path, pair(rgb, looked, result) if picture is None else picture)
    written = out
    if name is not None:
        written = note_fit(place, found, looked.fit, known if found.document.ppi is None else None)
    by = "hand" if wanted.angle is not None else looked.tilt.by
    return Fitted(
        found.name, looked.fit, by, known, result.shape[1], result.shape[0], written, looked.soft,
        _inside_corners(looked.fit, rgb.shape[1], rgb.shape[0]),
    )  # fmt: skip


def _inside_corners(fit: Fit, width: int, height: int) -> tuple[int, int, int, int] | None:
    box = fit.crop or (0, 0, width, height)
    if not fit.straighten or not leaves_corners(box, width, height, fit.straighten):
        return None
    return inner_box(width, height, fit.straighten)


def _inside(found: Found, rgb: NDArray[np.uint8], wanted: Wanted) -> None:
    if wanted.box is None:
        return
    left, top, width, height = wanted.box
    if width < 1 or height < 1 or left < 0 or top < 0 or left + width > rgb.shape[1]:
        ok = False
    else:
        ok = top + height <= rgb.shape[0]
    if not ok:
        raise FolderError(
            str(found.path),
            f"a crop of {width} × {height} at {left}, {top}",
            f"a box within its {rgb.shape[1]} × {rgb.shape[0]} pixels",
            "give --crop LEFT,TOP,WIDTH,HEIGHT",
        )


def _write(path: Path, picture: NDArray[np.uint8]) -> None:
    try:
        write_png(path, picture)
    except OSError as e:
        raise FolderError(
            str(path),
            f"it cannot be written ({e.strerror or type(e).__name__})",
            "a place that may be written to",
            "look at permissions and free space",
        ) from e


def note_fit(root: Path, found: Found, fit: Fit, ppi: float | None = None) -> Path:
    """Write the steps into a picture's document; one that has none gets it.

    Parameters
    ----------
    root
        The film folder.
    found
        A picture of it.
    fit
        The steps; idle ones are taken away.
    ppi
        Noted too, when given.
    """
    document = f"{PICTURE.place}/{found.name}.toml"
    value: dict[str, Any] = fit.model_dump(exclude_defaults=True)
    if not found.told:
        apply(root, Edit(document, (), {"format": 1}))
    if ppi is not None:
        apply(root, Edit(document, ("ppi",), ppi))
    if value:
        apply(root, Edit(document, ("fit",), _plain(value)))
    elif "fit" in found.document.model_fields_set:
        apply(root, Edit(document, ("fit",), DELETED))
    return root / document


def _plain(value: Any) -> Any:
    """Tuples as lists, which is what TOML knows."""
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    return [_plain(v) for v in value] if isinstance(value, (list, tuple)) else value
