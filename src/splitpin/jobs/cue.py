"""Hang a sound on a scene, at an exposure or on what happens there; take one down again."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from pathlib import Path
from typing import Literal, NamedTuple

from splitpin.device.soundfile_reader import ENDINGS
from splitpin.folder.edit import DELETED, Edit
from splitpin.folder.mistake import FolderError
from splitpin.jobs.effect import keep_effect
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.sound_papers import papers_of
from splitpin.jobs.staging import Staged, change, stage
from splitpin.jobs.together import together
from splitpin.measure.likely import likely
from splitpin.measure.rate import seconds_of

Kind = Literal["voice", "effect", "music"]


class Hung(NamedTuple):
    """A cue that was hung."""

    scene: str
    cue: int
    """Its place among the scene's cues, from 0."""
    sound: str
    """The file in ``sounds/``."""
    made: bool
    """Whether the sound was made for it."""


def hang(
    root: Path,
    scene: str,
    sound: str,
    frame: int | None = None,
    event: str = "",
    kind: Kind = "effect",
    gain: float = 0.0,
    told: Mapping[str, str] | None = None,
) -> Hung:
    """Hang a sound on a scene; an effect of the kit is made where there is no such sound.

    Parameters
    ----------
    root
        The film folder.
    scene
        The scene.
    sound
        A file in ``sounds/``; or an effect of the kit, such as ``thud``, which becomes one.
    frame
        The frame of the scene at which it starts; the first when left out.
    event
        The event of a move that it hangs on instead: ``roll.landing``, ``walk.step.2``.
    kind
        What it is, for the mix.
    gain
        Louder or softer, dB.
    told
        What an effect is told: see :func:`splitpin.jobs.effect.keep_effect`.

    Raises
    ------
    FolderError
        When there is no such scene, frame, sound, or effect; when both a frame and an event are named.
    SoundError
        When an effect cannot be told that.
    RefusedError
        With the mistakes that the scene would have.
    """
    staged = stage(root, scene)
    if event and frame is not None:
        raise staged.refuse("a frame and an event", "one of them", "leave out the other")
    where: dict[str, object] = {"event": event} if event else _at(staged, frame or 0)
    file, made = _sound(root, staged, sound, told or {})
    cue: dict[str, object] = {"sound": file, **where}
    if kind != "effect":
        cue["kind"] = kind
    if gain:
        cue["gain"] = float(gain)
    number = len(staged.scene.cues)
    edit = (
        Edit(staged.file, ("cues", number), cue, insert=True)
        if number
        else Edit(staged.file, ("cues",), [cue])
    )
    try:
        together(root, [edit])
    except (FolderError, RefusedError):
        if made:
            for name in (f"sounds/{file}", papers_of(root / "sounds" / file)):
                (root / name).unlink(missing_ok=True)
        raise
    return Hung(scene, number, file, made)


def take_down(root: Path, scene: str, cue: int) -> str:
    """Take a cue out of a scene; the sound stays in the film.

    Returns
    -------
    str
        The sound that it was.

    Raises
    ------
    FolderError
        When there is no such scene or cue.
    RefusedError
        When the scene has mistakes.
    """
    staged = stage(root, scene)
    cues = staged.scene.cues
    if not 0 <= cue < len(cues):
        expected = f"0 to {len(cues) - 1}" if cues else "a scene with cues"
        raise staged.refuse(f"cue {cue}", expected, "count them in the document from 0")
    alone = len(cues) == 1
    change(root, scene, [Edit(staged.file, ("cues",) if alone else ("cues", cue), DELETED)])
    return cues[cue].sound


def sounds_in(root: Path) -> tuple[str, ...]:
    """The sound files of a film, whether anything hangs them or not."""
    place = root / "sounds"
    files = place.iterdir() if place.is_dir() else ()
    return tuple(sorted(file.name for file in files if file.suffix.lower() in ENDINGS and file.is_file()))


def _at(staged: Staged, frame: int) -> dict[str, object]:
    """The panel, and the seconds in it, of a frame as moves and cues count it: as if nothing were held."""
    sheet = staged.sheet
    if not 0 <= frame < sheet.frames:
        raise staged.refuse(f"frame {frame}", f"0 to {sheet.frames - 1}", "count them in `splitpin sheet`")
    rows = sheet.rows
    n = bisect_right([row.frame for row in rows], frame) - 1
    first = next(k for k, row in enumerate(rows) if row.panel == rows[n].panel)
    late = staged.plan[n] - staged.plan[first] + min(frame - rows[n].frame, rows[n].frames - 1)
    where: dict[str, object] = {"panel": rows[n].panel} if len(sheet.panels) > 1 else {}
    if late:
        where["start"] = round(float(seconds_of(late, staged.folder.film.exact_rate)), 6)
    return where


def _sound(root: Path, staged: Staged, sound: str, told: Mapping[str, str]) -> tuple[str, bool]:
    there = sounds_in(root)
    if sound in there and not told:
        return sound, False
    alike = [name for name in there if Path(name).stem == sound]
    if len(alike) == 1 and not told:
        return alike[0], False
    if "." in sound:
        raise FolderError(
            staged.file, f"no sound is called {sound[:80]!r}", "a file in sounds/, or an effect of the kit",
            likely(sound, there),
        )  # fmt: skip
    return keep_effect(sound, told, root).file.name, True
