"""The envelope of a character: how many of each piece are wanted; begin one, pin its pieces otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from splitpin.character import pinning
from splitpin.character.character import Character
from splitpin.character.figure import Figure, assemble
from splitpin.character.pinning import PinError
from splitpin.cutout.cutout import Cutout
from splitpin.folder.crossing import cutouts_in
from splitpin.folder.edit import DELETED, Edit
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError
from splitpin.folder.naming import is_name, refuse_misnamed
from splitpin.jobs.together import together
from splitpin.measure.likely import likely
from splitpin.measure.plain import Point

SMALL_MM = 15.0
"""What is smaller than this both ways is easily lost."""
SPARES = 2
"""So many more of a small piece are put into the envelope."""

Change = Callable[[Character, Mapping[str, Cutout]], Character]
"""What becomes of a character, with the measured cut-outs of the film."""


class Counted(NamedTuple):
    """A cut-out of a character, as it is listed on the envelope."""

    piece: str
    shows: str
    """Which of the piece's replacement set; empty text for a plain piece."""
    cutout: str
    width_mm: float
    height_mm: float
    wanted: int
    """How many lie on the table at once at most."""
    spares: int


def envelope(folder: FilmFolder, name: str, small: float = SMALL_MM, spares: int = SPARES) -> list[Counted]:
    """List the pieces of a character, in the order in which it names them.

    Parameters
    ----------
    folder
        The film.
    name
        The character.
    small
        Pieces smaller than this both ways, mm, get spares.
    spares
        How many.

    Raises
    ------
    FolderError
        When there is no such character, or one of its cut-outs cannot be measured.
    """
    figure = figure_of(folder, name)
    casts = [[m.character for m in scene.cast.values()].count(name) for scene in folder.scenes.values()]
    wanted = max([1, *casts])
    listed = []
    for piece, spec in figure.character.pieces.items():
        for shows in list(spec.set) or [""]:
            cutout = figure.cutouts[spec.cutout_when(shows)]
            wide, high = cutout.width_mm * spec.scale, cutout.height_mm * spec.scale
            more = spares if max(wide, high) < small else 0
            listed.append(Counted(piece, shows, cutout.name, wide, high, wanted, more))
    return listed


def figure_of(folder: FilmFolder, name: str) -> Figure:
    """A character with its cut-outs.

    Raises
    ------
    FolderError
        When there is no such character, or one of its cut-outs cannot be measured.
    """
    character = character_of(folder, name)
    used = [cutout for _, cutout in cutouts_in(character)]
    return assemble(name, character, {cutout: folder.cutouts[cutout] for cutout in _there(folder, used)})


def character_of(folder: FilmFolder, name: str) -> Character:
    """A character that hangs together.

    Raises
    ------
    FolderError
        When there is none of that name.
    """
    if name not in folder.characters:
        raise FolderError(
            f"characters/{name[:80]}.toml", "no such character, or one with mistakes", "one of the film's",
            likely(name, folder.characters),
        )  # fmt: skip
    return folder.characters[name]


def begin(root: Path, name: str, pieces: Mapping[str, str], title: str = "") -> None:
    """Begin a character of two or more cut-outs.

    Parameters
    ----------
    root
        The film folder.
    name
        What the character is called.
    pieces
        The cut-out of each piece; the first carries the others.
    title
        What stands on its envelope.

    Raises
    ------
    FolderError
        When a name is none or taken, or a cut-out is not there.
    """
    refuse_misnamed("the character's name", name, "character")
    document = f"characters/{name}.toml"
    if (root / document).exists():
        raise FolderError(document, "a character of that name", "a new name", "call it something else")
    for piece in pieces:
        refuse_misnamed("a piece's name", piece, "piece")
    folder = load(root)
    cutouts = {cutout: folder.cutouts[cutout] for cutout in _there(folder, pieces.values())}
    try:
        character = pinning.begun(pieces, cutouts, title)
    except PinError as problem:
        raise FolderError(document, problem.found, problem.expected, problem.remedy) from None
    together(root, [Edit(document, (), {"format": 1} | _written(character))])


def change(root: Path, name: str, *how: Change) -> None:
    """Pin a character's pieces otherwise; comments and order of its document stay.

    Parameters
    ----------
    root
        The film folder.
    name
        The character.
    how
        What becomes of it, one after the other; made by the functions below.

    Raises
    ------
    FolderError
        When there is no such character, or it cannot be pinned so.
    RefusedError
        When the film would have mistakes then.
    """
    folder = load(root)
    character = character_of(folder, name)
    document = f"characters/{name}.toml"
    _there(folder, [cutout for _, cutout in cutouts_in(character)])
    try:
        changed = character
        for one in how:
            changed = one(changed, folder.cutouts)
    except PinError as problem:
        raise FolderError(document, problem.found, problem.expected, problem.remedy) from None
    edits = [
        Edit(document, path, value) for path, value in _otherwise(_written(character), _written(changed))
    ]
    if edits:
        together(root, edits)


def add(piece: str, cutout: str, at: Point = (0.0, 0.0)) -> Change:
    """Add a piece; its middle lies at ``at``, mm about the root's pin at rest."""
    refuse_misnamed("a piece's name", piece, "piece")
    return lambda character, cutouts: pinning.added(character, _with(cutouts, cutout), piece, cutout, at)


def lay(piece: str, at: Point) -> Change:
    """Lay a piece elsewhere: its pin comes to ``at``."""
    return partial(_change, pinning.laid, piece, at)


def pin(piece: str, at: Point) -> Change:
    """Put the pin by which a piece hangs through the place ``at``."""
    return partial(_change, pinning.pinned, piece, at)


def hang(piece: str, holder: str) -> Change:
    """Hang a piece on another."""
    return partial(_change, pinning.hung, piece, holder)


def take(piece: str) -> Change:
    """Take a piece away."""
    return lambda character, cutouts: pinning.without(character, cutouts, piece)


def replacement(piece: str, name: str, cutout: str) -> Change:
    """Give a piece a cut-out more that can lie in its place."""
    refuse_misnamed("a replacement's name", name, "other")
    return lambda character, cutouts: pinning.replaced(character, _with(cutouts, cutout), piece, name, cutout)


def _change(
    how: Callable[[Character, Mapping[str, Cutout], str, Any], Character], piece: str, what: object,
    character: Character, cutouts: Mapping[str, Cutout],
) -> Character:  # fmt: skip
    return how(character, cutouts, piece, what)


def _with(cutouts: Mapping[str, Cutout], wanted: str) -> Mapping[str, Cutout]:
    if wanted not in cutouts:
        raise PinError(f"no cut-out {wanted[:80]!r}", "a name in cutouts/", likely(wanted, cutouts))
    return cutouts


def _there(folder: FilmFolder, cutouts: Sequence[str] | Any) -> list[str]:
    names = list(dict.fromkeys(cutouts))
    for name in names:
        if name not in folder.cutouts:
            raise FolderError(
                f"cutouts/{name[:80]}.png", "no such cut-out, or not a readable one", "a cut-out of the film",
                likely(name, folder.cutouts) if is_name(name) else "choose another",
            )  # fmt: skip
    return names


def _written(character: Character) -> dict[str, Any]:
    """As it stands in a document, without what is left out."""
    return character.model_dump(mode="json", exclude_defaults=True)


def _otherwise(
    before: Any, after: Any, path: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], object]]:
    """What must be changed to get from one to the other, as deep down as can be."""
    for key in [*before, *(key for key in after if key not in before)]:
        old, new = before.get(key, DELETED), after.get(key, DELETED)
        if isinstance(old, dict) and isinstance(new, dict):
            yield from _otherwise(old, new, (*path, key))
        elif old != new:
            yield (*path, key), new
