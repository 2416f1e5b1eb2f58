"""What somebody left unfinished in a film folder who was stopped: it goes away when it is surely nobody's."""

from __future__ import annotations

import re
import time
from contextlib import suppress
from pathlib import Path

from splitpin.folder.save_set import NOTE
from splitpin.folder.tracked import UNTRACKED

YOUNG = 3600.0
"""Seconds for which an unfinished file may still be somebody's work."""
_UNFINISHED = re.compile(r"\..+\.[0-9a-f]{8}~")


def sweep(root: Path, age: float = YOUNG) -> None:
    """Take unfinished files away from a film's folder and the folders of its documents.

    Where a note says that files belong together nothing is touched: whoever reads there finishes them.

    Parameters
    ----------
    root
        The film folder; it need not be there.
    age
        Seconds: what was written within them stays.
    """
    with suppress(OSError):
        for place in [root, *(p for p in root.iterdir() if p.is_dir() and p.name not in UNTRACKED)]:
            _sweep(place, age)


def _sweep(place: Path, age: float) -> None:
    with suppress(OSError):
        names = [path for path in place.iterdir() if path.name.startswith(".")]
        if any(path.name.endswith(f"~{NOTE}") for path in names):
            return
        for path in names:
            if _UNFINISHED.fullmatch(path.name):
                with suppress(OSError):
                    if time.time() - path.stat().st_mtime > age:
                        path.unlink()
