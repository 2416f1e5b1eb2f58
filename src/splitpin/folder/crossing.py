"""What one document says of another: names that must be there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from splitpin.character.character import Character, faults_of
from splitpin.film.document import Film
from splitpin.folder.gather import Gathering
from splitpin.folder.kinds import FILM_FILE
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.scene.scene import Cue, Scene

Named = Iterator[tuple[tuple[str | int, ...], str]]


def stems(gathering: Gathering, place: str) -> list[str]:
    """The names that documents of a subfolder have, readable or not."""
    return [n.removesuffix(".toml") for n in gathering.tree.names(place) if n.endswith(".toml")]


def check_film(gathering: Gathering, film: Film) -> None:
    """The scenes of the film are there, and so are the sounds that run across them."""
    known = stems(gathering, "scenes")
    for i, name in enumerate(film.scenes):
        _known(gathering, FILM_FILE, ("scenes", i), name, known, "scene", "scenes")
    if not film.scenes:
        hint = f"write `scenes = [{', '.join(map(repr, known))}]`" if known else "make a scene in scenes/"
        gathering.fault(FILM_FILE, Fault(("scenes",), "no scenes", "the scenes in their order", hint))
    for i, cue in enumerate(film.cues):
        for key in ("panel", "event"):
            if getattr(cue, key) is not None:
                gathering.fault(
                    FILM_FILE,
                    Fault(
                        ("cues", i, key),
                        f"`{key}` in a sound that runs across scenes",
                        "`start`, counted from the start of the film",
                        "take it out, or move the sound into its scene",
                    ),
                )
    check_cues(gathering, FILM_FILE, film.cues)


def check_cues(gathering: Gathering, file: str, cues: list[Cue]) -> None:
    """The sounds are sounds; one still to be recorded is a warning, since the film plays without it."""
    for i, cue in enumerate(cues):
        path = ("cues", i, "sound")
        wanted = f"sounds/{cue.sound}"
        if cue.sound.startswith("sounds/"):
            gathering.fault(
                file,
                Fault(
                    path,
                    f"the path {cue.sound}",
                    "a path from the folder sounds/ on",
                    f"write {cue.sound.removeprefix('sounds/')}",
                ),
            )
        elif gathering.named(file, path, wanted, spared=True):
            gathering.sound(wanted)


def check_character(gathering: Gathering, name: str, character: Character) -> bool:
    """The pieces hang together and their cut-outs are there; False when the pieces do not hang together."""
    file = f"characters/{name}.toml"
    faults = faults_of(character)
    for fault in faults:
        gathering.fault(file, fault)
    known = stems(gathering, "cutouts")
    for path, cutout in cutouts_in(character):
        _known(gathering, file, path, cutout, known, "cut-out", "cutouts")
    return not faults


def check_scene(gathering: Gathering, name: str, scene: Scene) -> None:
    """The cut-outs, characters, drawings and sounds of a scene are there."""
    file = f"scenes/{name}.toml"
    cutouts, characters = stems(gathering, "cutouts"), stems(gathering, "characters")
    if scene.background is not None:
        _known(gathering, file, ("background",), scene.background, cutouts, "cut-out", "cutouts")
    for who, member in scene.cast.items():
        if member.character is not None:
            path = ("cast", who, "character")
            _known(gathering, file, path, member.character, characters, "character", "characters")
        if member.cutout is not None:
            _known(gathering, file, ("cast", who, "cutout"), member.cutout, cutouts, "cut-out", "cutouts")
    for i, panel in enumerate(scene.panels):
        if panel.drawing is not None and gathering.named(file, ("panels", i, "drawing"), panel.drawing):
            gathering.picture(panel.drawing)
    check_cues(gathering, file, scene.cues)


def check_origins(gathering: Gathering, origins: Mapping[str, str | None], pictures: Collection[str]) -> None:
    """The found picture that a cut-out was cut from is there."""
    for name, picture in origins.items():
        if picture is not None:
            _known(gathering, f"cutouts/{name}.toml", ("picture",), picture, pictures, "picture", "pictures")


def cutouts_in(character: Character) -> Named:
    """Every cut-out that a character names, with its place in the document."""
    for name, piece in character.pieces.items():
        if piece.cutout is not None:
            yield ("pieces", name, "cutout"), piece.cutout
        for shown, replacement in piece.set.items():
            yield ("pieces", name, "set", shown, "cutout"), replacement.cutout


def _known(
    gathering: Gathering,
    file: str,
    path: tuple[str | int, ...],
    name: str,
    known: Collection[str],
    what: str,
    place: str,
) -> None:
    if name not in known:
        hint = likely(name, known)
        gathering.fault(
            file,
            Fault(
                path,
                f"there is no {what} {name!r}",
                f"a {what} that is in {place}/",
                hint if hint.startswith("did") else f"make {place}/{name}.toml, or name another",
            ),
        )
