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
    title: str = ""

    def printed(self, name: str, how: str) -> Found:
        """A print of this picture, which is called ``name``: whose it is does not change by printing it."""
        return self._replace(note=f"Printed by code from pictures/{name}.png: {how}. {self.note}")

    def toml(self, sha256: str) -> str:
        """The document beside the picture."""
        says = {"title": self.title, "source": self.source, "by": self.by, "date": self.date}
        says |= {"licence": self.licence, "sha256": sha256, "note": self.note}
        return "format = 1\n" + "".join(f'{key} = "{value}"\n' for key, value in says.items() if value)


FOUND: dict[str, Found] = {
    "chelsea": Found(
        "scikit-image",
        "CC0-1.0",
        by="Stefan van der Walt",
        note="skimage.data.chelsea. No copyright restrictions, CC0 by the photographer.",
        title="Chelsea the cat",
    ),
    "coffee": Found(
        "scikit-image",
        "CC0-1.0",
        by="Rachel Michetti",
        note="skimage.data.coffee. Courtesy of Pikolo Espresso Bar. CC0 by the photographer.",
        title="A cup of coffee",
    ),
    "coins": Found(
        "Brooklyn Museum Collection, archives, image 51611, in scikit-image",
        "LicenseRef-no-known-copyright-restrictions",
        by="Brooklyn Museum",
        note="skimage.data.coins. No known copyright restrictions.",
        title="Greek coins from Pompeii",
    ),
    "brick": Found(
        "CC0Textures, in scikit-image",
        "CC0-1.0",
        note="skimage.data.brick. Grey, cropped and put into perspective by scikit-image.",
        title="Bricks25",
    ),
    "grass": Found(
        "DeviantArt, in scikit-image",
        "CC0-1.0",
        by="linolafett",
        note="skimage.data.grass. Grey and cropped by scikit-image.",
        title="Grass-01",
    ),
    "gravel": Found(
        "CC0Textures, in scikit-image",
        "CC0-1.0",
        note="skimage.data.gravel. Grey, scaled and cropped by scikit-image.",
        title="Gravel04",
    ),
}
"""The pictures by name."""


def found_path(name: str) -> Path:
    """The file of a found picture in the installed library."""
    return Path(str(files("skimage") / "data" / f"{name}.png"))
