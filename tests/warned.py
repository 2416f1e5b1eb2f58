"""The same for what a check tells as a warning: mouths, sounds, titles, captions, enlargement.

The forecast leaves these to the check, so that nothing is told twice; they are measured with it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path

import numpy as np
from tests.foreseen import RATE, STAGE, alive, between, card, known, things

from splitpin.cutout.cutout import Cutout
from splitpin.cutout.letters_recipe import LettersRecipe
from splitpin.film.caption_checks import unread
from splitpin.film.caption_rules import CaptionRules
from splitpin.film.captions import Spoken, captions
from splitpin.film.document import Film
from splitpin.film.lettering_checks import unreadable
from splitpin.film.soundtrack import Length, unheard
from splitpin.folder.load import FilmFolder
from splitpin.folder.mouths import mouths_amiss
from splitpin.folder.sheets import Sheets
from splitpin.jobs.enlarged import enlarged
from splitpin.picture.detail import Detail

LETTERS_A_SECOND = 17
LOOK = "bdefghklmnoprstuvw"


def mouths(chance: np.random.Generator, fault: bool) -> bool:
    """A voice without a mouth that moves, or a mouth without a voice; or both."""
    its = things()
    puppet = its.characters["puppet"]
    pieces = puppet["pieces"] | {"jaw": {"cutout": "foot", "on": "body.shoulder"}}
    its.characters["puppet"] = {"format": 1, "pieces": pieces}
    scene = alive(2.0, cat={"character": "puppet", "y": -30})
    scene["panels"][0] |= {"speaker": "cat", "says": "Mrow."}
    silent = fault and bool(chance.integers(2))
    if not silent:
        scene["cues"] = [{"sound": "mrow.wav", "kind": "voice", "start": between(chance, 0, 1)}]
    if silent or not fault:
        scene["moves"] += [{"move": "speak", "who": "cat", "sound": "mrow.wav", "seconds": 1.0}]
    made = known(scene, its)
    return any(True for _ in mouths_amiss(made.scene, made.sheet, made.figures, ()))


def sounds(chance: np.random.Generator, fault: bool) -> bool:
    """A sound that runs past the end of the film, or starts after it; or ends before."""
    seconds, length = between(chance, 1.5, 3), between(chance, 0.2, 1.2)
    late = between(chance, 0.06, 1.5) if fault else -between(chance, 0.06, 0.2)
    start = max(0.0, seconds - length + late)
    scene = alive(seconds) | {"cues": [{"sound": "tick.wav", "start": start}]}
    made = known(scene, things())
    told = unheard([made.sheet], (), RATE, {"tick.wav": Length(round(length * 48000), silent=False)})
    return bool(told)


def titles(chance: np.random.Generator, fault: bool) -> bool:
    """Words that stand for less than reading and a second at each end; or for longer."""
    text = "".join(chance.choice(list(LOOK)) for _ in range(int(chance.integers(4, 60))))
    needs = len(text) / LETTERS_A_SECOND + 2
    seconds = round(needs * (between(chance, 0.4, 0.9) if fault else between(chance, 1.1, 2)), 2)
    its = things()
    its.alphas["words"], its.mm["words"] = card(200, 40), 1.0
    made = known(alive(seconds, title={"cutout": "words"}), its)
    recipe = LettersRecipe(kind="letters", text=text)
    return bool(unreadable(made.sheet, STAGE, made.cutouts, {"words": recipe}, CaptionRules()))


def spoken(chance: np.random.Generator, fault: bool) -> bool:
    """A line with less time than its letters take to read; or with more."""
    text = " ".join("la" * int(chance.integers(1, 4)) for _ in range(int(chance.integers(3, 14))))
    needs = max(len(text) / LETTERS_A_SECOND, 0.833)
    frames = round(24 * needs * (between(chance, 0.3, 0.8) if fault else between(chance, 1.15, 2)))
    line = Spoken(text, "", Fraction(0), Fraction(frames), frames)
    return bool(unread([line], captions([line], frames, RATE), RATE))


def enlargements(chance: np.random.Generator, fault: bool) -> bool:
    """A cut-out shown larger than twice what its pixels hold; or smaller."""
    factor = between(chance, 2.2, 6) if fault else between(chance, 0.5, 1.8)
    its = things()
    made = known(alive(1.5, card={"cutout": "card", "scale": between(chance, 0.5, 1.5)}), its)
    size = made.scene.cast["card"].scale * its.mm["card"] * STAGE.width / STAGE.field_mm
    film = Film(format=1, title="a film", picture=(STAGE.width, STAGE.height), field_mm=STAGE.field_mm)
    cutouts: dict[str, Cutout] = dict(made.cutouts)
    folder = FilmFolder(Path(), film, {}, {}, cutouts, {}, {}, {}, frozenset(), {}, (), ())
    sheets = Sheets({made.sheet.scene: made.sheet}, (), ())
    return bool(enlarged(folder, sheets, {"card": Detail(factor / size, "sharpness")}))


TOLD: Mapping[str, Callable[[np.random.Generator, bool], bool]] = {
    "mouths": mouths, "sounds": sounds, "titles": titles, "captions": spoken, "enlarged": enlargements,
}  # fmt: skip
"""Of each kind: whether a check tells of a scene that has the fault, or has not."""


def warned(kind: str, n: int, fault: bool) -> bool:
    """Whether the nth scene of a kind is told of."""
    return TOLD[kind](np.random.default_rng([n, fault, 100 + sorted(TOLD).index(kind)]), fault)
