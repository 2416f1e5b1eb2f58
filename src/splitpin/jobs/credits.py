"""Whose pictures and sounds are in the film, and what of them is unresolved."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from splitpin.film.credits import Credit, record_of, roll_of
from splitpin.folder.load import FilmFolder
from splitpin.jobs.ready import Ready, ready
from splitpin.measure.provenance import Provenance, missing
from splitpin.sheet.seen import sights


class Credits(NamedTuple):
    """The rights ledger of what is seen and heard."""

    credits: tuple[Credit, ...]
    own: tuple[str, ...]
    """Cut-outs in view of which no found picture is told: taken to be the film maker's own."""
    roll: str
    """The credits as lines of text, for an audience at the end of the film."""
    record: str
    """The same file by file, with the terms as the documents have them, for an adviser."""

    @property
    def unresolved(self) -> tuple[Credit, ...]:
        """Those of which something should still be found out."""
        return tuple(c for c in self.credits if c.unresolved)


def credits_of(root: Path) -> Credits:
    """Read the rows, and tell whose pictures are in view and whose sounds are heard.

    A cut-out counts when any of it lies within the view of one exposure at least.

    Raises
    ------
    RefusedError
        While the folder has mistakes.
    """
    found = ready(root)
    folder = found.folder
    documents = {
        name: d.value for name, d in folder.documents.items() if name.startswith("cutouts/") and d.value
    }
    seen: dict[str, list[str]] = {}
    own: dict[str, None] = {}
    for sheet in found.sheets:
        for cutout in dict.fromkeys(s.cutout for s in sights(sheet, folder.film.stage, folder.cutouts)):
            picture = getattr(documents.get(f"cutouts/{cutout}.toml"), "picture", None)
            if picture is None:
                own[cutout] = None
            elif sheet.scene not in seen.setdefault(picture, []):
                seen[picture].append(sheet.scene)
    heard = _heard(found)
    all_of_them = [
        _credit("picture", name, seen[name], folder.pictures.get(name), "picture") for name in sorted(seen)
    ]
    all_of_them += [
        _credit("sound", name, heard[name].scenes, _of_sound(folder, name), heard[name].group)
        for name in sorted(heard)
    ]
    return Credits(
        tuple(all_of_them),
        tuple(sorted(own)),
        roll_of(folder.film.title, folder.film.people, all_of_them),
        record_of(folder.film.title, all_of_them),
    )


class _Use(NamedTuple):
    """Where a sound is heard, and as what."""

    scenes: list[str]
    group: str


def _heard(found: Ready) -> dict[str, _Use]:
    heard: dict[str, _Use] = {}
    length = sum(sheet.frames for sheet in found.sheets)
    film = found.folder.film
    start = 0
    for sheet in found.sheets:
        for sounding in sheet.soundings:
            if start + sounding.at < length:
                use = heard.setdefault(sounding.cue.sound, _Use([], sounding.cue.kind))
                if sheet.scene not in use.scenes:
                    use.scenes.append(sheet.scene)
        start += sheet.frames
    for cue in film.cues:
        if float(cue.start or 0) * float(film.exact_rate) < length:
            heard.setdefault(cue.sound, _Use([], cue.kind))
    return heard


def _of_sound(folder: FilmFolder, name: str) -> Provenance | None:
    documents: Mapping[str, Provenance] = folder.sounds
    return documents.get(name) or documents.get(PurePosixPath(name).stem)


def _credit(kind: str, name: str, scenes: list[str], document: Provenance | None, group: str) -> Credit:
    known = document or Provenance(format=1)
    return Credit(
        kind, name, tuple(scenes), known.source, known.by, known.date, known.licence or "", missing(document),
        known.title, group,
    )  # fmt: skip
