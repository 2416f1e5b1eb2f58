"""The cards of the board: put one in, take one out, lay them in another order, split one, join two.

What hangs on a panel (moves, cues, touches) goes with it, and happens when it happened before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from splitpin.folder.edit import DELETED, Edit
from splitpin.folder.load import FilmFolder, load
from splitpin.folder.mistake import FolderError
from splitpin.folder.naming import refuse_misnamed
from splitpin.jobs.together import together
from splitpin.measure.likely import likely
from splitpin.measure.rate import as_seconds, exact
from splitpin.motion.speak import Speak
from splitpin.scene.scene import Panel, Scene
from splitpin.sheet.timing import time_panels

HANGING = ("moves", "cues", "touches")
"""The lists of a scene whose items name a panel."""
A_CARD = 2.0
"""Seconds of a new card."""


class Card:
    """One panel of a scene, as it lies in the film folder.

    Parameters
    ----------
    root
        The film folder.
    scene, panel
        Their names.

    Raises
    ------
    FolderError
        When there is no such scene or panel.
    """

    def __init__(self, root: Path, scene: str, panel: str) -> None:
        self.folder: FilmFolder = load(root)
        self.scene = scene_of(self.folder, scene)
        self.name, self.document = panel, f"scenes/{scene}.toml"
        names = [one.name for one in self.scene.panels]
        if panel not in names:
            raise FolderError(self.document, f"no panel {panel[:80]!r}", "a panel", likely(panel, names))
        self.place = names.index(panel)

    @property
    def panel(self) -> Panel:
        """What it says."""
        return self.scene.panels[self.place]

    @property
    def frames(self) -> int:
        """How long it is as it is written, in whole frames."""
        return time_panels(self.scene.panels, self.rate, 1)[0].panels[self.place].frames

    @property
    def rate(self) -> Fraction:
        """Frames a second."""
        return self.folder.film.exact_rate


def scene_of(folder: FilmFolder, scene: str) -> Scene:
    """A scene by its name.

    Raises
    ------
    FolderError
        When there is none of that name.
    """
    if scene not in folder.scenes:
        raise FolderError(
            f"scenes/{scene[:80]}.toml", "no such scene", "a scene", likely(scene, folder.scenes)
        )
    return folder.scenes[scene]


def add_panel(root: Path, scene: str, at: int, name: str | None = None) -> str:
    """Put a new card on the board; gives back what it is called.

    Parameters
    ----------
    root
        The film folder.
    scene
        The scene it belongs to.
    at
        Before which card it comes, counted from 0; at the end where there is none.
    name
        What it is called; ``panel-N`` when left out.

    Raises
    ------
    FolderError
        When there is no such scene, or the name is none.
    RefusedError
        When a card has the name already.
    """
    found = scene_of(load(root), scene)
    document = f"scenes/{scene}.toml"
    at = min(at, len(found.panels))
    name = name or _free(found, f"panel-{len(found.panels) + 1}")
    refuse_misnamed("the card", name, "panel")
    new = {"name": name, "seconds": A_CARD}
    pinned = list(_pinned(found, document)) if at == 0 else []
    together(root, [*pinned, Edit(document, ("panels", at), new, insert=True)])
    return name


def remove_panel(root: Path, scene: str, panel: str) -> None:
    """Take a card off the board, with the moves, sounds and touches that belong to it.

    Raises
    ------
    FolderError
        When there is no such card, or it is the only one of its scene.
    RefusedError
        When something else hangs on what happens in it.
    """
    card = Card(root, scene, panel)
    if len(card.scene.panels) == 1:
        raise FolderError(
            card.document, "its only card", "a scene of one card or more", "take the whole scene out"
        )
    edits = list(_pinned(card.scene, card.document)) if card.place == 0 else []
    for key, i, hung in _hanging(card.scene, panel, backwards=True):
        if hung.get("after") is None:
            edits.append(Edit(card.document, (key, i), DELETED))
    together(root, [*edits, Edit(card.document, ("panels", card.place), DELETED)])


def move_panel(root: Path, scene: str, panel: str, at: int, to: str | None = None) -> None:
    """Lay a card in another place.

    Parameters
    ----------
    root, scene, panel
        The card.
    at
        Where it lies afterwards, counted from 0 among the cards of its scene.
    to
        Another scene that it goes to, with its sounds.

    Raises
    ------
    FolderError
        When there is no such card or scene; or when it would go to another scene, and something moves in it
        or it is the only card where it is.
    RefusedError
        When the other scene has a card of that name.
    """
    card = Card(root, scene, panel)
    if to is not None and to != scene:
        together(root, list(_to_another(card, to, at)))
        return
    if at == card.place:
        return
    edits = list(_pinned(card.scene, card.document)) if 0 in (at, card.place) else []
    panels = [_said(one) for one in card.scene.panels]
    panels.insert(at, panels.pop(card.place))
    together(root, [*edits, Edit(card.document, ("panels",), panels)])


def split_panel(root: Path, scene: str, panel: str, frames: int) -> str:
    """Make two cards of one: nothing that is seen or heard changes.

    The first keeps the words; both have the drawing.

    Parameters
    ----------
    root, scene, panel
        The card.
    frames
        How long the first one is.

    Returns
    -------
    str
        What the second one is called.

    Raises
    ------
    FolderError
        When there is no such card, or it is not so long.
    """
    card = Card(root, scene, panel)
    if not 0 < frames < card.frames:
        raise FolderError(
            card.document, f"a split of {panel} after {frames} frames", f"1 to {card.frames - 1}",
            "split it where it has a frame on each side",
        )  # fmt: skip
    if card.panel.holds:
        raise FolderError(
            card.document, f"exposures of {panel} that are held", "a card without holds",
            "let them go on the sheet first",
        )  # fmt: skip
    since = frames / card.rate
    first = _said(card.panel)
    second: dict[str, Any] = {"name": _free(card.scene, f"{panel}-2")}
    if card.panel.seconds is None:
        first["frames"], second["frames"] = frames, card.frames - frames
    else:
        first["seconds"] = as_seconds(since)
        second["seconds"] = as_seconds(exact(card.panel.seconds) - since)
    if card.panel.drawing is not None:
        second["drawing"] = card.panel.drawing
    edits = [
        Edit(card.document, ("panels", card.place), first),
        Edit(card.document, ("panels", card.place + 1), second, insert=True),
    ]
    for key, i, hung in _hanging(card.scene, panel):
        if key == "touches" and hung["frame"] >= frames:
            edits += _moved(card.document, key, i, second["name"], "frame", hung["frame"] - frames)
        elif key != "touches" and exact(hung.get("start", 0.0)) >= since:
            begin = as_seconds(exact(hung["start"]) - since)
            edits += _moved(card.document, key, i, second["name"], "start", begin)
    together(root, edits)
    return str(second["name"])


def join_panel(root: Path, scene: str, panel: str) -> None:
    """Make one card of a card and the next: nothing that is seen or heard changes.

    It keeps the name, and the drawing where there is one; words are put together.

    Raises
    ------
    FolderError
        When there is no such card, none after it, or two people speak on them.
    """
    card = Card(root, scene, panel)
    if card.place + 1 == len(card.scene.panels):
        raise FolderError(card.document, f"no card after {panel}", "one to join", "join it from before")
    one, other = card.panel, card.scene.panels[card.place + 1]
    if one.says and other.says and one.speaker != other.speaker:
        raise FolderError(
            card.document, f"{panel} and {other.name} are spoken by two", "one voice on a card",
            "take the line of one of them out first",
        )  # fmt: skip
    joined = _said(one)
    for key in ("action", "sound", "says", "note"):
        words = [text for text in (getattr(one, key), getattr(other, key)) if text]
        joined |= {key: " ".join(words)} if words else {}
    for key in ("speaker", "drawing"):
        if (value := getattr(one, key) or getattr(other, key)) is not None:
            joined[key] = value
    if one.seconds is not None and other.seconds is not None:
        joined["seconds"] = as_seconds(exact(one.seconds) + exact(other.seconds))
    else:
        joined.pop("seconds", None)
        joined["frames"] = card.frames + Card(root, scene, other.name).frames
    edits: list[Edit] = []
    behind = card.frames - one.held  # what hangs on a card counts without its holds
    if holds := [*one.holds, *(h.model_copy(update={"frame": h.frame + behind}) for h in other.holds)]:
        joined["holds"] = [_said(hold) for hold in holds]
    for key, i, hung in _hanging(card.scene, other.name):
        if key == "touches":
            edits += _moved(card.document, key, i, panel, "frame", hung["frame"] + behind)
        else:
            begin = exact(hung.get("start", 0.0)) + behind / card.rate
            edits += _moved(card.document, key, i, panel, "start", as_seconds(begin))
    edits.append(Edit(card.document, ("panels", card.place), joined))
    edits.append(Edit(card.document, ("panels", card.place + 1), DELETED))
    together(root, edits)


def name_panel(root: Path, scene: str, panel: str, name: str) -> None:
    """Call a card something else, everywhere in its scene.

    Raises
    ------
    FolderError
        When there is no such card, or the name is none.
    RefusedError
        When another card has the name.
    """
    card = Card(root, scene, panel)
    refuse_misnamed("the card", name, "panel")
    edits = [
        Edit(card.document, (key, i, "panel"), name)
        for key, i, hung in _hanging(card.scene, panel)
        if hung.get("panel") == panel
    ]
    together(root, [*edits, Edit(card.document, ("panels", card.place, "name"), name)])


def _to_another(card: Card, to: str, at: int) -> Iterator[Edit]:
    other, document = scene_of(card.folder, to), f"scenes/{to}.toml"
    if len(card.scene.panels) == 1:
        raise FolderError(
            card.document, "its only card", "a scene of one card or more", "take the whole scene out"
        )
    hung = list(_hanging(card.scene, card.name, backwards=True))
    if lost := [one for one in hung if one[0] != "cues"]:
        raise FolderError(
            card.document, f"{card.name} with {len(lost)} moves and touches", "a card in which nothing moves",
            "lay it elsewhere in its own scene: who moves in it is not in the other",
        )  # fmt: skip
    if card.place == 0:
        yield from _pinned(card.scene, card.document)
    if at == 0:
        yield from _pinned(other, document)
    place = min(at, len(other.panels))
    yield Edit(document, ("panels", place), _said(card.panel), insert=True)
    cues = [{**cue, "panel": card.name} for _, _, cue in reversed(hung)]
    if cues and not other.cues:
        yield Edit(document, ("cues",), cues)
    else:
        for n, cue in enumerate(cues):
            yield Edit(document, ("cues", len(other.cues) + n), cue, insert=True)
    for key, i, _ in hung:
        yield Edit(card.document, (key, i), DELETED)
    yield Edit(card.document, ("panels", card.place), DELETED)


def _hanging(
    scene: Scene, panel: str, *, backwards: bool = False
) -> Iterator[tuple[str, int, Mapping[str, Any]]]:
    """What hangs on a panel: its list, its place in it, and what it says.

    What waits for a move or an event hangs on that, whatever panel it names; what names none hangs on the
    first one, but a mouth that goes by its sound.
    """
    first = scene.panels[0].name
    for key in HANGING:
        items: Sequence[Any] = getattr(scene, key)
        places = range(len(items))
        for i in reversed(places) if backwards else places:
            said = _said(items[i])
            waits = said.get("event") or said.get("after")
            by_sound = isinstance(items[i], Speak) and items[i].start == 0
            if waits is None and (items[i].panel or (None if by_sound else first)) == panel:
                yield key, i, said


def _pinned(scene: Scene, document: str) -> Iterator[Edit]:
    """Let everything name its panel that hangs on the first one by saying nothing."""
    for key, i, hung in _hanging(scene, scene.panels[0].name):
        if hung.get("panel") is None:
            yield Edit(document, (key, i, "panel"), scene.panels[0].name)


def _moved(document: str, key: str, i: int, panel: str, when: str, value: object) -> list[Edit]:
    return [Edit(document, (key, i, "panel"), panel), Edit(document, (key, i, when), value)]


def _free(scene: Scene, wanted: str) -> str:
    taken, name, number = {panel.name for panel in scene.panels}, wanted, 1
    while name in taken:
        number += 1
        name = f"{wanted}-{number}"
    return name


def _said(model: Any) -> dict[str, Any]:
    return dict(model.model_dump(exclude_unset=True))
