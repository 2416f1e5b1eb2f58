"""splitpin: a cut-out film studio in a folder.

Comes in: the path of a film folder. Goes out: :func:`open`, the studio from Python.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from splitpin.api import DELETED, Edit, FolderError, Made, Mistake, OpenFilm, RefusedError, open  # noqa: A004  (meant)

__all__ = [
    "DELETED",
    "Edit",
    "FolderError",
    "Made",
    "Mistake",
    "OpenFilm",
    "RefusedError",
    "__version__",
    "open",
]


def __getattr__(name: str) -> object:
    # Fetched when first used: asking for the version or the help must not load codecs and compilers.
    if name in __all__:
        from splitpin import api

        return getattr(api, name)
    raise AttributeError(f"splitpin has no {name!r}")
