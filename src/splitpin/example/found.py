"""The found pictures: those that the wheel of scikit-image carries, as they are, with where they come from.

What is said of each is what the library says of it (``skimage.data``, the docstring of the function of that
name).
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import NamedTuple


class Found(NamedTuple):
    """Where a picture comes from."""

    source: str
    licence: str
    by: str = ""
    date: str = ""
    note: str = ""

    def printed(self, name: str, how: str) -> Found:
        """A print of this picture, which is called ``name``: whose it is does not change by printing it."""
        return self._replace(note=f"Printed by code from pictures/{name}.png: {how}. {self.note}")

    def toml(self, sha256: str) -> str:
        """The document beside the picture."""
        says = {"source": self.source, "by": self.by, "date": self.date, "licence": self.licence}
        says |= {"sha256": sha256, "note": self.note}
        return "format = 1\n" + "".join(f'{key} = "{value}"\n' for key, value in says.items() if value)


FOUND: dict[str, Found] = {
    "chelsea": Found(
        "scikit-image, skimage.data.chelsea",
        "CC0-1.0",
        by="Stefan van der Walt",
        note="Chelsea the cat. No copyright restrictions, CC0 by the photographer.",
    ),
    "coffee": Found(
        "scikit-image, skimage.data.coffee",
        "CC0-1.0",
        by="Rachel Michetti",
        note="Courtesy of Pikolo Espresso Bar. No copyright restrictions, CC0 by the photographer.",
    ),
    "coins": Found(
        "scikit-image, skimage.data.coins; Brooklyn Museum Collection, archives, image 51611",
        "LicenseRef-no-known-copyright-restrictions",
        by="Brooklyn Museum",
        note="Greek coins from Pompeii. No known copyright restrictions.",
    ),
    "brick": Found(
        "scikit-image, skimage.data.brick; from CC0Textures, Bricks25",
        "CC0-1.0",
        note="Grey, cropped and put into perspective by scikit-image.",
    ),
    "grass": Found(
        "scikit-image, skimage.data.grass; from DeviantArt, linolafett, Grass-01",
        "CC0-1.0",
        by="linolafett",
        note="Grey and cropped by scikit-image.",
    ),
    "gravel": Found(
        "scikit-image, skimage.data.gravel; from CC0Textures, Gravel04",
        "CC0-1.0",
        note="Grey, scaled and cropped by scikit-image.",
    ),
}
"""The pictures by name."""


def found_path(name: str) -> Path:
    """The file of a found picture in the installed library."""
    return Path(str(files("skimage") / "data" / f"{name}.png"))
