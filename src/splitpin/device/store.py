"""What has been made, kept by what it depends on: ``made/segments/``."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from splitpin.device.beside import PART, beside, folder_beside, remove
from splitpin.device.coded import Coded, read_coded, write_coded

MAKES = 6
"""What the last so many different makes of a scene used is kept."""
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

    def drop(self, key: str) -> None:
        """Keep a coded stream no longer."""
        remove(self.folder / f"{key}.coded")

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

    def use(self, uses: Mapping[str, Iterable[str]], parts: Collection[str]) -> None:
        """Note what a make uses, before it begins, and sweep out what several makes did not.

        Parameters
        ----------
        uses
            Keys, by the part of the film they are for. Each part is remembered by itself: making one scene
            again and again lets nothing of the others go.
        parts
            Every part that the film has; of one that it has no more, something goes with each make.
        """
        used = self._used()
        for part, keys in uses.items():
            now = sorted(set(keys))
            used[part] = [now, *(m for m in used.get(part, []) if m != now)][:MAKES]
        for part in used.keys() - set(parts):
            used[part] = [[], *used[part]][:MAKES]
        used = {part: makes for part, makes in used.items() if any(makes)}
        with beside(self.folder / USED) as part_file:
            part_file.write_text(json.dumps(used), encoding="utf-8")
        kept = {key for makes in used.values() for make in makes for key in make}
        for entry in self.folder.iterdir():
            if entry.name != USED and entry.name.split(".")[0] not in kept:
                _remove(entry)

    def _used(self) -> dict[str, list[list[str]]]:
        try:
            used = json.loads((self.folder / USED).read_text(encoding="utf-8"))
            return {part: [[str(key) for key in make] for make in makes] for part, makes in used.items()}
        except (OSError, ValueError, TypeError, AttributeError):
            return {}


def _remove(entry: Path) -> None:
    # Who makes a film is alone in its folder, so whatever is unfinished there was left behind.
    if entry.suffix in OURS:
        remove(entry)
