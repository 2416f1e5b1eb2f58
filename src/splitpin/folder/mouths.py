"""Voices without a mouth and mouths without a voice, in one scene."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from splitpin.character.figure import Figure
from splitpin.measure.fault import Fault
from splitpin.motion.speak import PIECES, Speak
from splitpin.scene.scene import Cue, Scene
from splitpin.sheet.sheet import Sheet


def mouths_amiss(
    scene: Scene, sheet: Sheet, figures: Mapping[str, Figure], across: Sequence[Cue]
) -> Iterator[Fault]:
    """What a person should know of who speaks and what is heard, with its place in the scene's document.

    Parameters
    ----------
    scene, sheet
        The scene as it is written, and its sheet.
    figures
        Its cast.
    across
        The sounds that run across scenes; a mouth may speak one of these.
    """
    spoken = {(move.who, move.sound): i for i, move in enumerate(scene.moves) if isinstance(move, Speak)}
    panels = {panel.name: panel for panel in scene.panels}
    heard = {cue.sound for cue in (*scene.cues, *across)}
    told: set[int] = set()
    for sounding in sheet.soundings:
        if sounding.cue.kind != "voice":
            continue
        at = next((p for p, start, frames in sheet.panels if start <= sounding.at < start + frames), None)
        who = panels[at].speaker if at is not None else None
        if who is None or who not in figures or (who, sounding.cue.sound) in spoken:
            continue
        place = next((i for i, cue in enumerate(scene.cues) if cue is sounding.cue), None)
        mouth = next((name for name in PIECES if name in figures[who].character.pieces), None)
        if place is None or place in told or mouth is None:
            continue
        told.add(place)
        yield Fault(
            ("cues", place, "sound"),
            f"{who} says {sounding.cue.sound} in {at}, and its {mouth} does not move",
            "a mouth that speaks what is heard",
            f'add a move: move = "speak", who = "{who}", sound = "{sounding.cue.sound}"',
        )
    for (who, sound), i in spoken.items():
        if sound not in heard:
            yield Fault(
                ("moves", i, "sound"),
                f"{who} speaks {sound}, and nothing plays it here",
                "a cue that plays it",
                f'add a cue: sound = "{sound}", kind = "voice"',
            )
