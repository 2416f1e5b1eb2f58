"""What one document says of another: names that must be there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from splitpin.character.character import Character, faults_of
from splitpin.cutout.cutout import Cutout
from splitpin.film.document import Film
from splitpin.folder.gather import Gathering
from splitpin.folder.kinds import FILM_FILE
from splitpin.folder.mistake import Mistake
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.motion.posed import Posed
from splitpin.motion.speak import Speak
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
    if film.scenes and gathering.documents[FILM_FILE].trusts(Fault(("scenes",), "", "", "")):
        gathering.warnings += [
            Mistake(
                f"scenes/{name}.toml",
                None,
                "the film does not show this scene",
                "every scene among `scenes` in film.toml",
                f"write {name!r} there, or move this document out of scenes/",
            )
            for name in known
            if name not in film.scenes
        ]
    if not film.scenes and not gathering.tree.locked("scenes"):
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
        _sound(gathering, file, ("cues", i, "sound"), cue.sound)


def _sound(gathering: Gathering, file: str, path: tuple[str | int, ...], sound: str) -> None:
    wanted = f"sounds/{sound}"
    if sound.startswith("sounds/"):
        expected, remedy = "a path from the folder sounds/ on", f"write {sound.removeprefix('sounds/')}"
        gathering.fault(file, Fault(path, f"the path {sound}", expected, remedy))
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
    for i, move in enumerate(scene.moves):
        if isinstance(move, Posed) and not any(move.values):
            fault = Fault(
                ("moves", i, "values"),
                "tables without a single value: nothing is posed",
                "what changes, such as `{x = 10}`",
                "say what is laid anew, or let `hold` wait",
            )
            gathering.fault(file, fault, warn=True)
        if isinstance(move, Speak):
            _sound(gathering, file, ("moves", i, "sound"), move.sound)
    check_cues(gathering, file, scene.cues)


def check_pins(gathering: Gathering, name: str, character: Character, cutouts: Mapping[str, Cutout]) -> None:
    """The pins lie in the pictures of their pieces."""
    for who, piece in character.pieces.items():
        for shows in list(piece.set) or [""]:
            cutout = cutouts.get(piece.cutout_when(shows))
            own = piece.set[shows].pins if shows else {}
            if cutout is None:
                continue
            for pin in {**piece.pins, **own}:
                at = piece.pin_when(pin, shows)
                if at is None or (0 <= at[0] <= cutout.width and 0 <= at[1] <= cutout.height):
                    continue
                holder = ("pieces", who, "set", shows) if pin in own else ("pieces", who)
                gathering.fault(
                    f"characters/{name}.toml",
                    Fault(
                        (*holder, "pins", pin),
                        f"the pin {pin!r} at {at[0]:g}, {at[1]:g} lies outside {cutout.name}.png",
                        f"a place in its {cutout.width} × {cutout.height} pixels, counted from the top left",
                        "set it where the pieces are pinned together",
                    ),
                    warn=True,
                )


def check_origins(gathering: Gathering, origins: Mapping[str, str | None], pictures: Collection[str]) -> None:
    """The found picture that a cut-out was cut from is there."""
    for name, picture in origins.items():
        if picture is not None:
            _known(gathering, f"cutouts/{name}.toml", ("picture",), picture, pictures, "picture", "pictures")


def uses_of(
    characters: Mapping[str, Character], scenes: Mapping[str, Scene]
) -> dict[str, tuple[str, tuple[str | int, ...]]]:
    """For each cut-out that is named anywhere, the document and the place that names it first."""
    uses: dict[str, tuple[str, tuple[str | int, ...]]] = {}
    for name, character in characters.items():
        for path, cutout in cutouts_in(character):
            uses.setdefault(cutout, (f"characters/{name}.toml", path))
    for name, scene in scenes.items():
        file = f"scenes/{name}.toml"
        if scene.background is not None:
            uses.setdefault(scene.background, (file, ("background",)))
        for who, member in scene.cast.items():
            if member.cutout is not None:
                uses.setdefault(member.cutout, (file, ("cast", who, "cutout")))
    return uses


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
    if name not in known and not gathering.tree.locked(place):
        hint = likely(name, known)
        gathering.fault(
            file,
            Fault(
                path,
                f"there is no {what} {name!r}",
                f"a {what} that is in {place}/",
                hint if hint.startswith("did") else _make(gathering, place, name),
            ),
        )


def _make(gathering: Gathering, place: str, name: str) -> str:
    if place == "pictures":
        return f"put the picture {name} in {place}/, or name another"
    if f"{name}.png" in gathering.tree.names(place):
        return f"write {place}/{name}.toml beside {name}.png, with `format = 1` and `width_mm`"
    return f"make {place}/{name}.toml, or name another"
