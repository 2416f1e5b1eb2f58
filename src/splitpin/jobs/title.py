"""Titles and credits: scenes of lettering, added to a film."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from pathlib import Path
from textwrap import shorten
from typing import Any, Literal, NamedTuple

import tomlkit

from splitpin.cutout.cutout import MM_PER_INCH
from splitpin.cutout.letters import set_letters
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.film.document import Film
from splitpin.film.lettering_checks import reading_seconds
from splitpin.folder.edit import Edit, apply
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.load import load
from splitpin.folder.mistake import FolderError, Mistake
from splitpin.folder.naming import refuse_misnamed
from splitpin.folder.save import write_whole
from splitpin.jobs.credits import Credits, credits_of
from splitpin.jobs.letter import font_of, letter
from splitpin.jobs.ready import RefusedError

WIDTH, HEIGHT = 0.80, 0.76
"""How much of the picture words fill at most: inside the 90 % that are safe, with air around them."""
TITLE, CREDITS = 0.085, 0.032
"""How high capitals are, against the picture's height."""
OPTICAL = 0.02
"""The middle that the eye sees lies this much of the height above the measured one."""
CARD = 8
"""Seconds a card of credits stands at most: each looks for one name, nobody reads them all (our choice)."""
ROLLING = 8
"""Seconds in which a line rolls from the lower to the upper edge, at least: common practice."""
CALLED = "Credits"
"""The title of a scene of credits: what they say is too long for one."""

Place = Literal["first", "last"]


class Titled(NamedTuple):
    """What was added."""

    scene: Path
    cutouts: tuple[Path, ...]
    seconds: float
    warnings: tuple[Mistake, ...]


def title(
    root: Path,
    name: str,
    recipe: LettersRecipe,
    *,
    seconds: float | None = None,
    place: Place = "first",
    sized: bool = False,
    again: bool = False,
) -> Titled:
    """Add a title.

    Parameters
    ----------
    root
        The film folder.
    name
        The scene's, and its cut-out's.
    recipe
        The words. They are broken and made as small as it takes to stay clear of the edges.
    seconds
        How long it stands; reading time and a second at each end when left out.
    place
        Where in the film.
    sized
        Whether ``size_mm`` of the recipe is meant; else it follows from the picture.
    again
        Write over a scene and a cut-out of that name.

    Raises
    ------
    FolderError, CutError, RefusedError
        When a name is taken, a document has mistakes, or something cannot be read or written.
    """
    film = _film(root, name, again=again)
    fitted = _fitted(root, film, recipe, None if sized else TITLE)
    long = Fraction(str(seconds)) if seconds is not None else reading_seconds(recipe.text, film.captions)
    frames = max(1, ceil(long * film.exact_rate))
    made = letter(root, name, fitted, again=again)
    scene = _scene(film, recipe.text, [(name, frames, recipe.text)])
    return _added(root, film, name, scene, (made.picture,), frames, place, made.warnings)


def credits_scene(
    root: Path,
    name: str,
    recipe: LettersRecipe,
    *,
    roll: bool = False,
    marked: bool = False,
    place: Place = "last",
    sized: bool = False,
    again: bool = False,
) -> Titled:
    """Add the credits, as the rights ledger has them.

    Parameters
    ----------
    root, name, place, sized, again
        As for :func:`title`; the cut-outs are numbered where there are several cards.
    recipe
        How they are set; its text is put in.
    roll
        One long strip that rolls up, instead of cards.
    marked
        Take what is unresolved in as it is, marked as not known, instead of refusing.

    Raises
    ------
    RefusedError
        With everything unresolved, unless ``marked``; or every mistake in the folder.
    FolderError, CutError
        As for :func:`title`.
    """
    film = _film(root, name, again=again)
    found = credits_of(root)
    if found.unresolved and not marked:
        raise RefusedError(_unresolved(found))
    recipe = recipe.model_copy(update={"text": found.roll.strip(), "read": False})
    if roll:
        return _rolled(root, film, name, _wide(film, recipe, None if sized else CREDITS), place, again=again)
    cards = _cards(root, film, _wide(film, recipe, None if sized else CREDITS))
    shown: list[tuple[str, int, str]] = []
    pictures: list[Path] = []
    warnings: tuple[Mistake, ...] = ()
    for number, text in enumerate(cards, 1):
        own = name if len(cards) == 1 else f"{name}-{number}"
        card = _fitted(root, film, recipe.model_copy(update={"text": text}), None if sized else CREDITS)
        made = letter(root, own, card, again=again)
        pictures.append(made.picture)
        warnings += made.warnings
        long = min(Fraction(CARD), reading_seconds(text, film.captions))
        shown.append((own, ceil(long * film.exact_rate), text))
    frames = sum(frames for _, frames, _ in shown)
    return _added(root, film, name, _scene(film, CALLED, shown), tuple(pictures), frames, place, warnings)


def _rolled(root: Path, film: Film, name: str, recipe: LettersRecipe, place: Place, *, again: bool) -> Titled:
    made = letter(root, name, recipe, again=again)
    stage = film.stage
    mm = film.field_mm / stage.width
    high = stage.height * mm
    way = (high + made.height_mm) / mm
    # Whole pixels a frame, on ones: anything else shimmers.
    step = max(1, int(stage.height / (ROLLING * film.exact_rate)))
    frames = ceil(way / step)
    start = -(high + made.height_mm) / 2
    scene: dict[str, Any] = {
        "format": 1,
        "title": CALLED,
        "on": 1,
        "panels": [{"name": "roll", "frames": frames, "action": "The credits roll."}],
        "cast": {"roll": {"cutout": name, "y": round(start, 4)}},
        "moves": [
            {
                "move": "slide", "who": "roll", "positions": frames, "ease": "even",
                "by": [0.0, round(frames * step * mm, 4)],
            }
        ],
    }  # fmt: skip
    return _added(root, film, name, scene, (made.picture,), frames, place, made.warnings)


def _film(root: Path, name: str, *, again: bool) -> Film:
    refuse_misnamed("NAME", name, "title")
    folder = load(root)
    wrong = [m for m in folder.mistakes if m.file == FILM_FILE and "scenes" not in m.found]
    if wrong:
        raise RefusedError(wrong)
    if (root / "scenes" / f"{name}.toml").exists() and not again:
        raise FolderError(
            f"scenes/{name}.toml", "a scene of that name", "a new name", "name another, or say --again"
        )
    return folder.film


def _wide(film: Film, recipe: LettersRecipe, size: float | None) -> LettersRecipe:
    """As wide as words may be, of a size that suits the picture, and fine enough for it."""
    high = film.field_mm * film.stage.height / film.stage.width
    update: dict[str, object] = {"ppi": float(ceil(2 * film.stage.width / film.field_mm * MM_PER_INCH))}
    if recipe.widest_mm is None:
        update["widest_mm"] = round(film.field_mm * WIDTH, 2)
    if size is not None:
        update["size_mm"] = round(size * high, 2)
    return recipe.model_copy(update=update)


def _fitted(root: Path, film: Film, recipe: LettersRecipe, size: float | None) -> LettersRecipe:
    """The same, made smaller until it is clear of the edges."""
    recipe = _wide(film, recipe, size)
    high = film.field_mm * film.stage.height / film.stage.width
    font = font_of(recipe, root)
    while True:
        height, width = set_letters(recipe, font).rgba.shape[:2]
        mm = MM_PER_INCH / recipe.ppi
        over = max(width * mm / (film.field_mm * (WIDTH + 0.06)), height * mm / (high * HEIGHT))
        if over <= 1 or recipe.size_mm < 0.5:
            return recipe
        smaller = recipe.size_mm * max(0.5, min(0.96, over**-0.5))
        recipe = recipe.model_copy(update={"size_mm": round(smaller, 2)})


def _cards(root: Path, film: Film, recipe: LettersRecipe) -> list[str]:
    """The roll in parts that each fill one card: whole paragraphs where they can be, else whole lines."""
    high = film.field_mm * film.stage.height / film.stage.width
    font = font_of(recipe, root)

    def fits(text: str) -> bool:
        letters = set_letters(recipe.model_copy(update={"text": text}), font)
        return bool(letters.rgba.shape[0] * MM_PER_INCH / recipe.ppi <= high * HEIGHT)

    cards: list[str] = []
    for paragraph in recipe.text.split("\n\n"):
        if cards and fits(f"{cards[-1]}\n\n{paragraph}"):
            cards[-1] += f"\n\n{paragraph}"
            continue
        lines = paragraph.split("\n")
        cards.append(lines[0])
        for line in lines[1:]:
            if fits(f"{cards[-1]}\n{line}"):
                cards[-1] += f"\n{line}"
            else:
                cards.append(line)
    return cards


def _scene(film: Film, called: str, cards: list[tuple[str, int, str]]) -> dict[str, Any]:
    high = film.field_mm * film.stage.height / film.stage.width
    names = [f"card-{i}" for i in range(1, len(cards) + 1)] if len(cards) > 1 else ["card"]
    panels, moves = [], []
    cast: dict[str, dict[str, object]] = {}
    for i, (name, (cutout, frames, text)) in enumerate(zip(names, cards, strict=True)):
        panels.append({"name": name, "frames": frames, "action": f"It says: {_short(text)}"})
        cast[name] = {"cutout": cutout, "y": round(OPTICAL * high, 2)}
        if i:
            cast[name]["hidden"] = True
            moves.append({"move": "leave", "who": names[i - 1], "panel": name})
            moves.append({"move": "appear", "who": name, "panel": name})
    scene: dict[str, Any] = {"format": 1, "title": _short(called), "panels": panels}
    return scene | {"cast": cast} | ({"moves": moves} if moves else {})


def _short(text: str) -> str:
    """Words as one line that a list can hold."""
    return shorten(text, 120, placeholder=" …") or text[:120]


def _added(
    root: Path,
    film: Film,
    name: str,
    scene: dict[str, Any],
    pictures: tuple[Path, ...],
    frames: int,
    place: Place,
    warnings: tuple[Mistake, ...],
) -> Titled:
    file = root / "scenes" / f"{name}.toml"
    write_whole(file, tomlkit.dumps(scene).encode())
    if name not in film.scenes:
        at = 0 if place == "first" else len(film.scenes)
        apply(root, Edit(FILM_FILE, ("scenes", at), name, insert=True))
    return Titled(file, pictures, float(frames / film.exact_rate), warnings)


def _unresolved(found: Credits) -> list[Mistake]:
    return [
        Mistake(
            f"{credit.kind}s/{credit.name}", None, f"not known: {'; '.join(credit.unresolved)}",
            "every picture and sound with its source and terms",
            "write it in its document, or say --marked to take it in as not known",
        )
        for credit in found.unresolved
    ]  # fmt: skip
