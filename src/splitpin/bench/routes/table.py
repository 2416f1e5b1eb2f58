"""The table: what a hand does there, and what becomes of it in the scene's document."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query
from pydantic import BaseModel, Field

from splitpin.bench.room import TheDesk
from splitpin.bench.routes.edits import OneEdit
from splitpin.bench.routes.film import history
from splitpin.bench.routes.sheet import placed_as_data
from splitpin.character.channels import read_channels
from splitpin.character.pose import Pose, Value
from splitpin.folder.mistake import FolderError
from splitpin.jobs.lay import Moved, change_move, lay, redraw
from splitpin.jobs.pose import Hold, pose
from splitpin.jobs.restack import restack
from splitpin.jobs.shop import Shop
from splitpin.jobs.staging import change
from splitpin.measure.likely import likely
from splitpin.sheet.channels import VIEW
from splitpin.sheet.hand import Grip, How, Set, pull
from splitpin.sheet.hand import lay as lying
from splitpin.sheet.held import as_planned
from splitpin.sheet.sheet import Row, Sheet
from splitpin.sheet.ways import rows_of, ticks

router = APIRouter(tags=["table"])
Word = Annotated[str, Field(min_length=1, max_length=200)]
Frame = Annotated[int, Field(ge=-1, le=1_000_000)]
Millimetres = Annotated[float, Field(ge=-1e6, le=1e6, allow_inf_nan=False)]
Spot = tuple[Millimetres, Millimetres]
Channels = Annotated[dict[Word, bool | float | str], Field(max_length=400)]
Place = Annotated[int, Field(ge=0, le=100_000)]


class Hand(BaseModel):
    """A hand that holds something."""

    who: Word
    piece: Word
    how: How
    at: Spot
    to: Spot
    snap: bool = False


class Tried(BaseModel):
    """What is tried on the table, before anything is written."""

    frame: Frame
    poses: Annotated[dict[Word, Channels], Field(max_length=100)] = {}
    """What lies otherwise already, by member."""
    hand: Hand | None = None


class Posed(BaseModel):
    """A pose to be written."""

    frame: Frame
    who: Word
    values: Channels
    hold: Hold = "on"
    label: Annotated[str, Field(min_length=1, max_length=100)] = "lay it otherwise"


class NewMove(BaseModel):
    """A move to be laid."""

    frame: Frame
    move: Annotated[dict[Word, Any], Field(max_length=60)]


class Keys(BaseModel):
    """Keys of a move to be changed; null takes one away."""

    keys: Annotated[dict[Word, Any], Field(min_length=1, max_length=60)]


class Drawn(BaseModel):
    """A tick to be drawn elsewhere."""

    frame: Place
    to: Spot


class Changed(BaseModel):
    """Changes of one scene's document."""

    label: Annotated[str, Field(min_length=1, max_length=100)]
    edits: Annotated[list[OneEdit], Field(min_length=1, max_length=100)]


class Stacked(BaseModel):
    """Somebody to be laid higher or lower."""

    who: Word
    piece: Word | None = None
    by: Literal[-1, 1]


@router.get("/scenes/{scene}/table")
def table(
    desk: TheDesk,
    scene: str,
    frame: Frame = 0,
    around: Annotated[int, Query(ge=0, le=200)] = 16,
    whole: bool = True,
) -> dict[str, Any]:
    """The exposures of a scene in brief, and how everything lies on those around a frame.

    ``moved`` tells whose pose is otherwise than on the exposure before; without ``whole`` only ``near`` is
    told, by the place in the list.
    """
    with desk.shop() as shop:
        sheet = _sheet(shop, scene)
        at = max(0, bisect_right(sheet.rows, frame, key=lambda row: row.frame) - 1)
        first = max(0, at - around)
        near = {
            first + n: {
                "view": row.view._asdict(),
                "placed": [placed_as_data(one) for one in row.placed],
                "poses": {who: dict(pose) for who, pose in row.poses.items()},
            }
            for n, row in enumerate(sheet.rows[first : at + around + 1])
        }
        told: dict[str, Any] = {"revision": desk.standing().revision, "near": near}
        return told | (_brief(desk, shop, sheet) if whole else {})


def _brief(desk: TheDesk, shop: Shop, sheet: Sheet) -> dict[str, Any]:
    stage = shop.stage
    shown = {held.exposure.row.frame: held for held in desk.standing().held if held.scene == sheet.scene}
    before: Mapping[str, Pose] = {}
    rows = []
    for row in sheet.rows:
        moved = [who for who, pose in row.poses.items() if before and before[who] != pose]
        held = shown[row.frame]
        rows.append(
            {
                "frame": row.frame,
                "frames": row.frames,
                "panel": row.panel,
                "kind": held.exposure.kind,
                "key": held.key,
                "moved": moved,
            }
        )
        before = row.poses
    return {
        "paper": sheet.paper,
        "stage": {"width": stage.width, "height": stage.height, "field_mm": stage.field_mm},
        "panels": [{"name": n, "frame": f, "frames": c} for n, f, c in sheet.panels],
        "rows": rows,
    }


@router.get("/scenes/{scene}/moves")
def moves(desk: TheDesk, scene: str) -> dict[str, Any]:
    """The moves of a scene in its document's order: their keys, the frames they work on, and the ticks along
    their ways, mm; the first tick is the place before the move.
    """
    with desk.shop() as shop:
        sheet = _sheet(shop, scene)
        says, figures = shop.ready.folder.scenes[scene], shop.ready.folder.figures(scene)
        plan = as_planned(sheet, says.panels)
        told = []
        for i, move in enumerate(says.moves):
            span = sheet.spans.get(i)
            rows = () if span is None else rows_of(sheet, plan, span)
            if span is None or not rows:
                continue
            marks = ticks(sheet, plan, figures, move, span)
            told.append(
                {
                    "move": i,
                    "kind": move.kind,
                    "name": move.name,
                    "who": move.who,
                    "keys": move.model_dump(mode="json", exclude_unset=True),
                    "frame": rows[0].frame,
                    "frames": sum(row.frames for row in rows),
                    "on": span.on,
                    "ticks": [[tick.frame, round(tick.x, 3), round(tick.y, 3)] for tick in marks],
                }
            )
        return {"revision": desk.standing().revision, "moves": told}


@router.post("/scenes/{scene}/try")
def try_out(desk: TheDesk, scene: str, asked: Tried) -> dict[str, Any]:
    """How everything would lie on an exposure; nothing is written. Matrices are those of the sheet."""
    with desk.shop() as shop:
        row = _row(_sheet(shop, scene), asked.frame)
        folder = shop.ready.folder
        table = Set(folder.scenes[scene], folder.figures(scene), row)
        poses = dict(row.poses)
        said: dict[str, dict[str, Value]] = {}
        for who, values in asked.poses.items():
            said[who] = _read(table, scene, who, values)
            poses[who] = {**poses[who], **said[who]}
        if asked.hand is not None:
            hand = asked.hand
            figure = table.figures.get(hand.who)
            if figure is None or hand.piece not in figure.character.pieces:
                known = [] if figure is None else list(figure.character.pieces)
                raise FolderError(
                    f"scenes/{scene}.toml", f"no {hand.who[:80]}.{hand.piece[:80]} on the table",
                    "a piece of a member", likely(hand.piece, known),
                )  # fmt: skip
            grip = Grip(hand.who, hand.piece, hand.how, hand.at, hand.to, hand.snap)
            pulled = {
                channel: round(value, 3) if isinstance(value, float) else value
                for channel, value in pull(table, grip, poses).items()
            }
            said[hand.who] = {**said.get(hand.who, {}), **pulled}
            poses[hand.who] = {**poses[hand.who], **pulled}
        view = {key: poses[VIEW][key] for key in ("x", "y", "width", "angle")}
        return {"poses": said, "placed": [placed_as_data(p) for p in lying(table, poses)], "view": view}


@router.post("/scenes/{scene}/pose")
def write_pose(desk: TheDesk, scene: str, asked: Posed) -> dict[str, Any]:
    """Lay somebody otherwise on an exposure; ``hold`` answers how long it holds."""
    done = desk.step(
        asked.label, lambda: pose(desk.root, scene, asked.frame, asked.who, asked.values, asked.hold)
    )
    return {"frame": done.frame, "hold": done.hold, **_told(desk)}


@router.post("/scenes/{scene}/moves")
def lay_move(desk: TheDesk, scene: str, asked: NewMove) -> dict[str, Any]:
    """Lay a move from an exposure on; ``move`` answers its place in the list."""
    kind = str(asked.move.get("move", "move"))[:40]
    return _moved(desk, desk.step(f"lay a {kind}", lambda: lay(desk.root, scene, asked.frame, asked.move)))


@router.patch("/scenes/{scene}/moves/{move}")
def write_keys(desk: TheDesk, scene: str, move: Place, asked: Keys) -> dict[str, Any]:
    """Change keys of a move."""
    return _moved(desk, desk.step("change a move", lambda: change_move(desk.root, scene, move, asked.keys)))


@router.post("/scenes/{scene}/moves/{move}/tick")
def draw_tick(desk: TheDesk, scene: str, move: Place, asked: Drawn) -> dict[str, Any]:
    """Draw a tick of a move's way elsewhere."""
    done = desk.step("draw the way", lambda: redraw(desk.root, scene, move, asked.frame, asked.to))
    return _moved(desk, done)


@router.post("/scenes/{scene}/stack")
def stack(desk: TheDesk, scene: str, asked: Stacked) -> dict[str, Any]:
    """Lay somebody one place higher or lower."""
    label = "lay it higher" if asked.by > 0 else "lay it lower"
    desk.step(label, lambda: restack(desk.root, scene, asked.who, asked.by, asked.piece))
    return _told(desk)


@router.post("/scenes/{scene}/change")
def write_change(desk: TheDesk, scene: str, asked: Changed) -> dict[str, Any]:
    """Change one scene's document: all of it, or nothing when the scene would have mistakes."""
    edits = [one.edit() for one in asked.edits]
    desk.step(asked.label, lambda: change(desk.root, scene, edits))
    return _told(desk)


def _told(desk: TheDesk) -> dict[str, Any]:
    return {"revision": desk.revision, "history": history(desk)}


def _moved(desk: TheDesk, done: Moved) -> dict[str, Any]:
    return {"move": done.move, **_told(desk)}


def _sheet(shop: Shop, scene: str) -> Sheet:
    sheets = {found.scene: found for found in shop.ready.sheets}
    if scene not in sheets:
        raise FolderError(f"scenes/{scene[:80]}.toml", "no such scene", "a scene", likely(scene, sheets))
    return sheets[scene]


def _row(sheet: Sheet, frame: int) -> Row:
    at = bisect_right(sheet.rows, frame, key=lambda row: row.frame) - 1
    return sheet.rows[max(0, at)]


def _read(table: Set, scene: str, who: str, values: Channels) -> dict[str, Value]:
    where = f"scenes/{scene}.toml"
    if who not in table.row.poses:
        raise FolderError(where, f"{who[:80]!r} is not in the cast", "a member", likely(who, table.row.poses))
    read, faults = read_channels(values, table.row.poses[who], table.figures.get(who), ())
    for fault in faults:
        raise FolderError(where, f"{who}.{fault.path[-1]}: {fault.found}", fault.expected, fault.remedy)
    return read
