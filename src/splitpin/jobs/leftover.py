"""Films in ``made/`` from earlier makes that the film of today would not make."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from splitpin.film.document import Film
from splitpin.film.outlet import STANDARD
from splitpin.folder.tree import folded
from splitpin.jobs.names import LONGEST, OURS, file_stem, outlets_of, path_of

ENDINGS = (".mp4", ".mov", ".wav", ".flac", ".otio", ".pdf", ".gif", ".webp")
"""How the names of films, and of their sound alone, end."""


def left_over(made: Path, film: Film) -> list[str]:
    """One line that names what was made under an older title, outlet or scene; nothing is taken away.

    Parameters
    ----------
    made
        The folder ``made/``.
    film
        The film as it is now.
    """
    old = sorted(p.name for p in made.iterdir() if _is_film(p) and not _belongs(p.name, film))
    if not old:
        return []
    listed = ", ".join(f"made/{name}" for name in old[:5]) + (f" and {len(old) - 5} more" if old[5:] else "")
    return [
        f"{listed}: from earlier makes, by a title, outlet or scene that is no more; throw away what is old"
    ]


def _is_film(path: Path) -> bool:
    if path.name.startswith(".") or path.name in OURS:
        return False
    # Of pictures nobody can say whether somebody else put them there.
    return (
        path.suffix in ENDINGS
        if path.is_file()
        else any((path / f"000001.{form}").is_file() for form in ("png", "tiff"))
    )


def _belongs(name: str, film: Film) -> bool:
    outlets = {**outlets_of(film), **STANDARD, **outlets_of(film)}
    if any(folded(name) == folded(path_of(film, outlet).name) for outlet in outlets):
        return True
    start = folded(f"{file_stem(film.title)}-")
    for number, outlet in enumerate(outlets):
        end = folded(f"{f'-{outlet}' if number else ''}{outlets[outlet].ending}")
        text = folded(name)
        if text.startswith(start) and text.endswith(end):
            some = text[len(start) : len(text) - len(end)]
            # Names of many scenes are cut short; better say nothing of a film than something wrong.
            if len(start) + len(some) >= LONGEST or _joined(some, [folded(s) for s in film.scenes]):
                return True
    return False


def _joined(text: str, scenes: Sequence[str]) -> bool:
    """Whether a text is names of scenes in the film's order, with hyphens between them."""
    for k, scene in enumerate(scenes):
        if text == scene or (
            text.startswith(f"{scene}-") and _joined(text[len(scene) + 1 :], scenes[k + 1 :])
        ):
            return True
    return False
