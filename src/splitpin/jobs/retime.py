"""Hold exposures for longer or shorter: the board grows by it, and what comes after comes so much later."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from splitpin.folder.edit import Edit
from splitpin.folder.mistake import FolderError
from splitpin.jobs.sheet import sheet_of
from splitpin.jobs.together import together
from splitpin.measure.rate import as_seconds, exact


def retime(root: Path, scene: str, held: Mapping[int, int]) -> int:
    """Say for how many frames exposures are held.

    Parameters
    ----------
    root, scene
        The scene.
    held
        The first frames of exposures, and for how many frames each shall be held; none takes it out.

    Returns
    -------
    int
        How many frames the scene is longer for it.

    Raises
    ------
    FolderError
        When there is no such scene or exposure, nothing would be left of a panel, or the panels keep to the
        beats of a sound.
    RefusedError
        When the scene has mistakes, or would have.
    """
    found = sheet_of(root, scene)
    document, said = f"scenes/{scene}.toml", found.folder.scenes[scene]
    if said.snap is not None:
        raise FolderError(
            document, f"panels that keep to the beats of {said.snap}", "panels as long as they are written",
            "take `snap` out of the scene first",
        )  # fmt: skip
    rows = {row.frame: row for row in found.sheet.rows}
    for frame, frames in held.items():
        if frame not in rows:
            remedy = "look at the sheet for the first frames of its exposures"
            raise FolderError(document, f"no exposure on frame {frame}", "one of the sheet", remedy)
        if frames < 0:
            raise FolderError(document, f"{frames} frames", "0 or more", "0 takes an exposure out")
    edits: list[Edit] = []
    total = 0
    for i, (panel, (name, _, frames)) in enumerate(zip(said.panels, found.sheet.panels, strict=True)):
        more = {hold.frame: hold.longer for hold in panel.holds}
        was = panel.held
        for row in (rows[frame] for frame in held if rows[frame].panel == name):
            natural = row.frames - row.longer
            for frame in [f for f in more if row.since <= f < row.since + natural]:
                del more[frame]
            if held[row.frame] != natural:
                more[row.since] = held[row.frame] - natural
        longer = sum(more.values()) - was
        if more == {hold.frame: hold.longer for hold in panel.holds}:
            continue
        if frames + longer < 1:
            raise FolderError(
                document, f"nothing left of panel {name}", "one exposure at least", "take the whole panel out"
            )
        values = dict(panel.model_dump(exclude_unset=True))
        if panel.seconds is None:
            values["frames"] = frames + longer
        else:
            values["seconds"] = as_seconds(exact(panel.seconds) + longer / found.sheet.rate)
        values["holds"] = [{"frame": frame, "longer": n} for frame, n in sorted(more.items())]
        if not more:
            del values["holds"]
        edits.append(Edit(document, ("panels", i), values))
        total += longer
    if edits:
        together(root, edits)
    return total
