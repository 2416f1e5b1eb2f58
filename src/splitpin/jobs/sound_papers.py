"""Which film a sound belongs to, and which document is about it."""

from __future__ import annotations

from pathlib import Path

from splitpin.folder.kinds import FILM_FILE, SOUND


def film_of(file: Path) -> Path | None:
    """The film folder in whose ``sounds/`` a file lies; None where it lies in none."""
    whole = file.resolve()
    root = whole.parent.parent
    return root if whole.parent.name == SOUND.place and (root / FILM_FILE).is_file() else None


def papers_of(file: Path) -> str:
    """The document of a sound of a film, from the film folder, whether it is there or not."""
    own = f"{file.name}.toml"
    name = own if file.with_name(own).exists() else f"{file.stem}.toml"
    return f"{SOUND.place}/{name}"
