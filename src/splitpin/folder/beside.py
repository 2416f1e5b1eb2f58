"""What belongs to documents in the same subfolder: cut-outs, provenance, takes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import PurePosixPath

from splitpin.cutout.cutout import Cutout, CutoutDocument
from splitpin.folder import pictures, sounds
from splitpin.folder.gather import Gathering
from splitpin.folder.mistake import Mistake
from splitpin.folder.takes import Take, read_name
from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.measure.provenance import Provenance


def measured_cutouts(gathering: Gathering, documents: Mapping[str, CutoutDocument]) -> dict[str, Cutout]:
    """Join each cut-out's document with the size of its picture."""
    cutouts: dict[str, Cutout] = {}
    for name, document in documents.items():
        if not gathering.named(f"cutouts/{name}.toml", (), f"cutouts/{name}.png"):
            continue
        size = gathering.picture(f"cutouts/{name}.png")
        if size is not None:
            cutouts[name] = Cutout(name, size.width, size.height, document.width_mm / size.width)
    return cutouts


def check_provenance(gathering: Gathering, place: str, documents: Mapping[str, Provenance]) -> None:
    """See that each document has its one file, that the file is as found, and which one lacks a licence."""
    endings = pictures.ENDINGS if place == "pictures" else sounds.ENDINGS
    files = [n for n in gathering.tree.names(place) if PurePosixPath(n).suffix.lower() in endings]
    told: dict[str, str] = {}
    for name, document in documents.items():
        at = f"{place}/{name}.toml"
        if (whole := getattr(document, "of", None)) is not None:
            _check_page(gathering, at, whole, documents)
            continue
        meant = [name] if name in files else [f for f in files if PurePosixPath(f).stem == name]
        if len(meant) != 1:
            found = (
                f"{' and '.join(meant)} beside it" if meant else "no file beside it that it could be about"
            )
            ending = " or ".join(endings)
            gathering.fault(
                at,
                Fault(
                    (), found, f"one file {name}{ending}", "put the file beside it, or rename this document"
                ),
            )
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
        if document.licence is None:
            gathering.fault(
                at,
                Fault((), f"nothing says on what terms {file} may be used", "`licence`", "ask, and note it"),
                warn=True,
            )
    for name in files:
        if name not in told and (place == "pictures"):
            gathering.warnings.append(
                Mistake(
                    f"{place}/{name}",
                    None,
                    "nothing says where it comes from",
                    f"{place}/{PurePosixPath(name).stem}.toml with `source` and `licence`",
                    "note where it was found",
                )
            )


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
