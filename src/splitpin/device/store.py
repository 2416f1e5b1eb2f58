"""What has been made, kept by what it depends on: ``made/segments/``."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from splitpin.device.beside import PART, beside, folder_beside
from splitpin.device.coded import Coded, read_coded, write_coded

MAKES = 6
"""What the last so many different makes used is kept."""
USED = "used.json"
OURS = (".coded", ".json", ".wav", ".pictures", PART)


class Store:
    """Coded streams, and folders of pictures, each under the name of all that it depends on.

    Whatever stands here is whole: it was written beside and renamed.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def coded(self, key: str) -> Coded | None:
        """A coded stream; None when it has yet to be made."""
        return read_coded(self.folder / f"{key}.coded")

    def keep(self, key: str, coded: Coded) -> None:
        """Keep a coded stream."""
        write_coded(self.folder / f"{key}.coded", coded)

    def note(self, key: str) -> dict[str, Any] | None:
        """What was noted of something made; None when nothing was."""
        try:
            noted = json.loads((self.folder / f"{key}.json").read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return None
        return noted if isinstance(noted, dict) else None

    def keep_note(self, key: str, note: dict[str, Any]) -> None:
        """Note something of what was made, once it is kept."""
        with beside(self.folder / f"{key}.json") as part:
            part.write_text(json.dumps(note), encoding="utf-8")

    def wave(self, key: str) -> Path:
        """Where a mix is, or would be."""
        return self.folder / f"{key}.wav"

    def pictures(self, key: str) -> Path:
        """Where a segment's pictures are, or would be."""
        return self.folder / f"{key}.pictures"

    @contextmanager
    def keep_pictures(self, key: str) -> Iterator[Path]:
        """A folder to write a segment's pictures to; it counts once the block has ended well."""
        with folder_beside(self.pictures(key)) as part:
            yield part

    def use(self, keys: Iterable[str]) -> None:
        """Note what a make uses, before it begins, and sweep out what the last ones did not."""
        now = sorted(set(keys))
        makes = [now, *(m for m in self._makes() if m != now)][:MAKES]
        with beside(self.folder / USED) as part:
            part.write_text(json.dumps(makes), encoding="utf-8")
        kept = {key for make in makes for key in make}
        for entry in self.folder.iterdir():
            if entry.name != USED and entry.name.split(".")[0] not in kept:
                _remove(entry)

    def _makes(self) -> list[list[str]]:
        try:
            makes = json.loads((self.folder / USED).read_text(encoding="utf-8"))
            return [[str(key) for key in make] for make in makes]
        except (OSError, ValueError, TypeError):
            return []


def _remove(entry: Path) -> None:
    if entry.suffix not in OURS or (entry.suffix == PART and not _forgotten(entry)):
        return
    if entry.is_dir():
        shutil.rmtree(entry, ignore_errors=True)
    else:
        entry.unlink(missing_ok=True)


def _forgotten(entry: Path) -> bool:
    # A fresh one may belong to another make of the same film that is running now.
    return time.time() - entry.stat().st_mtime > 3600
