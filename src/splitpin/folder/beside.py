"""What belongs to documents in the same subfolder: cut-outs, provenance, takes."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from pathlib import PurePosixPath

from splitpin.cutout.cutout import Cutout, CutoutDocument
from splitpin.folder import pictures, sounds
from splitpin.folder.gather import Gathering
from splitpin.folder.mistake import Mistake
from splitpin.folder.naming import NAMES, is_name, plain_name
from splitpin.folder.takes import Take, is_note, read_name
from splitpin.folder.tree import unfit
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.measure.provenance import Provenance, missing

Place = tuple[str, tuple[str | int, ...]]
"""A document of the folder, and a place in it."""


def measured_cutouts(
    gathering: Gathering, documents: Mapping[str, CutoutDocument], uses: Mapping[str, Place]
) -> dict[str, Cutout]:
    """Join each cut-out's document with the size of its picture.

    Parameters
    ----------
    gathering
        What was read so far.
    documents
        The cut-outs' documents by name.
    uses
        The first place that names each cut-out: where a picture that is gone is missed.
    """
    cutouts: dict[str, Cutout] = {}
    for name, document in documents.items():
        file, path = uses.get(name, (f"cutouts/{name}.toml", ()))
        if f"{name}.png" not in gathering.tree.names("cutouts"):
            gathering.fault(file, _no_picture(name, path))
            continue
        if not gathering.named(file, path, f"cutouts/{name}.png"):
            continue
        size = gathering.picture(f"cutouts/{name}.png")
        if size is not None:
            cutouts[name] = Cutout(name, size.width, size.height, document.width_mm / size.width)
            if size.width == size.height == 1:
                gathering.warnings.append(
                    Mistake(
                        f"cutouts/{name}.png",
                        None,
                        "a picture of a single pixel",
                        "a picture of the cut-out",
                        "cut or save it again",
                    )
                )
    names = gathering.tree.names("cutouts")
    tell_misnamed(gathering, "cutouts", (".png",))
    for picture in names:
        stem = PurePosixPath(picture).stem
        if picture.endswith(".png") and f"{stem}.toml" not in names and stem not in uses:
            gathering.warnings.append(
                Mistake(
                    f"cutouts/{picture}",
                    None,
                    "nothing says how wide it is on the table",
                    f"cutouts/{stem}.toml with `format = 1` and `width_mm`",
                    "write it, or move the picture to pictures/",
                )
            )
    return cutouts


def tell_misnamed(gathering: Gathering, place: str, endings: Collection[str]) -> None:
    """Warn of pictures that no document can name.

    Parameters
    ----------
    gathering
        What was read so far.
    place
        ``cutouts`` or ``pictures``; a sound is named by its file, whatever that is called.
    endings
        The endings of pictures there.
    """
    for file in gathering.tree.names(place):
        path = PurePosixPath(file)
        if path.suffix.lower() in endings and not is_name(path.stem) and unfit(file) is None:
            better = plain_name(path.stem)
            document = f"{path.stem}.toml"
            beside = f", and {document} likewise" if document in gathering.tree.names(place) else ""
            gathering.warnings.append(
                Mistake(
                    f"{place}/{file}", None, "a name that no document can say", f"a name of {NAMES}",
                    f"rename it to {better}{path.suffix}{beside}",
                )
            )  # fmt: skip


def _no_picture(name: str, path: tuple[str | int, ...]) -> Fault:
    return Fault(
        path,
        f"there is no picture for cutouts/{name}.toml",
        f"the file cutouts/{name}.png",
        f"put {name}.png in cutouts/, with the same capitals, or take {name}.toml away",
    )


def check_provenance(
    gathering: Gathering, place: str, documents: Mapping[str, Provenance], missed: Collection[str]
) -> None:
    """See that each document has its one file, that the file is as found, and what is not known of it.

    Parameters
    ----------
    gathering
        What was read so far.
    place
        ``pictures`` or ``sounds``.
    documents
        What is known of the files there.
    missed
        The files or their stems that other documents name: there it is told when one is not there.
    """
    endings = pictures.ENDINGS if place == "pictures" else sounds.ENDINGS
    files = [n for n in gathering.tree.names(place) if PurePosixPath(n).suffix.lower() in endings]
    if place == "pictures":
        tell_misnamed(gathering, place, endings)
    told: dict[str, str] = {}
    for name, document in documents.items():
        at = f"{place}/{name}.toml"
        if (whole := getattr(document, "of", None)) is not None:
            _check_page(gathering, at, whole, documents)
            continue
        meant = [name] if name in files else [f for f in files if PurePosixPath(f).stem == name]
        if not meant and (name in missed or any(PurePosixPath(m).stem == name for m in missed)):
            continue
        if len(meant) != 1:
            # A film plays without a sound that is still to be recorded.
            gathering.fault(at, _no_one_file(name, meant, endings), warn=place == "sounds" and not meant)
            continue
        if meant[0] in told:
            gathering.fault(
                at, Fault((), f"{told[meant[0]]} is about {meant[0]} too", "one document", "take one away")
            )
            continue
        told[meant[0]] = at
        file = f"{place}/{meant[0]}"
        good = gathering.picture(file) if place == "pictures" else gathering.sound(file)
        if good is not None and document.sha256 is not None and document.sha256 != _digest(gathering, file):
            gathering.fault(
                at,
                Fault(
                    ("sha256",),
                    f"{file} is not the file that was found: its SHA-256 differs",
                    "the picture or sound as found",
                    "bring back the original, or write the sum of the new file",
                ),
            )
        gathering.warnings += [_missing(at, what) for what in missing(document)]
    for name in files:
        if name not in told:
            gathering.warnings += [_missing(f"{place}/{name}", what) for what in missing(None)]


def _missing(file: str, what: str) -> Mistake:
    return Mistake(
        file,
        None,
        f"not known: {what}",
        "what the credits need",
        "find it out and note it; `splitpin credits` lists what is used in the film and unresolved",
    )


def _no_one_file(name: str, meant: list[str], endings: Collection[str]) -> Fault:
    found = f"{' and '.join(meant)} beside it" if meant else "no file beside it that it could be about"
    wanted = name if PurePosixPath(name).suffix in endings else f"{name}{' or '.join(endings)}"
    return Fault((), found, f"one file {wanted}", "put the file beside it, or rename this document")


def _check_page(gathering: Gathering, at: str, whole: str, documents: Mapping[str, Provenance]) -> None:
    first = documents.get(whole)
    if first is None or getattr(first, "of", None) is not None:
        gathering.fault(
            at,
            Fault(
                ("of",),
                f"no document pictures/{whole}.toml with a file beside it",
                "the picture whose file holds this page",
                likely(whole, [n for n in documents if getattr(documents[n], "of", None) is None]),
            ),
        )


def takes_of(gathering: Gathering, scenes: list[str]) -> dict[str, tuple[Take, ...]]:
    """The good takes of each scene, by frame and number."""
    for name in gathering.tree.names("takes"):
        if name not in scenes:
            gathering.warnings.append(
                Mistake(
                    f"takes/{name}", None, f"there is no scene {name}", "a folder for a scene", "rename it"
                )
            )
    takes: dict[str, tuple[Take, ...]] = {}
    for scene in scenes:
        place = f"takes/{scene}"
        gathering.mistakes += gathering.tree.clashes(place)
        good: dict[tuple[int, int], Take] = {}
        for name in gathering.tree.names(place):
            take = read_name(scene, name)
            if is_note(name):
                continue
            if take is None:
                gathering.warnings.append(
                    Mistake(
                        f"{place}/{name}",
                        None,
                        f"{name} is not the name of a take",
                        "the first frame of its exposure in six digits, such as 000034.png or 000034-2.png",
                        "rename it",
                    )
                )
            elif (twin := good.get((take.frame, take.number))) is not None:
                gathering.mistakes.append(
                    Mistake(
                        take.file, None, f"the same take as {twin.file}", "one file a take", "take one away"
                    )
                )
            elif gathering.picture(take.file) is not None:
                good[take.frame, take.number] = take
        takes[scene] = tuple(good[key] for key in sorted(good))
    return takes


def _digest(gathering: Gathering, file: str) -> str:
    with (gathering.root / file).open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()
