"""Lay a member of a scene, or a piece of one, higher or lower in the stack."""

from __future__ import annotations

from pathlib import Path

from splitpin.folder.edit import Edit
from splitpin.jobs.staging import Staged, stage, tried, write
from splitpin.measure.likely import likely


def restack(root: Path, scene: str, who: str, by: int, piece: str | None = None) -> Staged:
    """Lift somebody over the next one in the stacking order, or lower it.

    Parameters
    ----------
    root, scene
        The film folder, and the name of a scene.
    who
        A member of the cast.
    by
        How many places higher (above 0) or lower (below 0).
    piece
        A piece of it that shall lie elsewhere than the rest.

    Raises
    ------
    FolderError
        When there is no such scene, member or piece.
    RefusedError
        With the mistakes that the scene has, or would have.
    """
    staged = stage(root, scene)
    cast = staged.scene.cast
    if who not in cast:
        raise staged.refuse(f"{who!r} is not in the cast", "a member", likely(who, cast))
    pieces = staged.figures[who].order
    if piece is not None and piece not in pieces:
        raise staged.refuse(f"{who!r} has no piece {piece!r}", "a piece", likely(piece, pieces))
    order = [*staged.scene.order, *(member for member in cast if member not in staged.scene.order)]
    entry = who if piece is None else f"{who}.{piece}"
    if entry in order:
        at = order.index(entry)
        order.remove(entry)
    else:
        # It leaves its member: the place above it is just over the others, the one below just under them.
        at = order.index(who) + (0 if by > 0 else 1)
    order.insert(min(max(at + by, 0), len(order)), entry)
    edits = [Edit(staged.file, ("order",), order)]
    done = tried(staged, edits)
    write(staged, edits)
    return done
