"""Poses and moves laid by hand end in the scene's document, and the sheet shows just that."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.tinyfilm import write_tiny

from splitpin.folder.mistake import FolderError
from splitpin.jobs.lay import change_move, lay, redraw
from splitpin.jobs.pose import pose
from splitpin.jobs.ready import RefusedError
from splitpin.jobs.restack import restack
from splitpin.jobs.staging import Staged, stage
from splitpin.motion.posed import Posed
from splitpin.sheet.ways import Tick, ticks

HILL = "010-hill"


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    return write_tiny(tmp_path / "tiny")


def document(tiny: Path) -> str:
    return (tiny / f"scenes/{HILL}.toml").read_text(encoding="utf-8")


def shown(staged: Staged, frame: int, who: str, channel: str) -> object:
    row = next(row for row in staged.sheet.rows if row.frame <= frame < row.frame + row.frames)
    return row.poses[who][channel]


def keys(staged: Staged, move: int) -> dict[str, Any]:
    return staged.scene.moves[move].model_dump()


def run(staged: Staged) -> list[Posed]:
    return [move for move in staged.scene.moves if isinstance(move, Posed)]


def test_straight_ahead_three_positions_are_one_run_and_the_last_stays(tiny: Path) -> None:
    pose(tiny, HILL, 4, "cat", {"x": -15})
    pose(tiny, HILL, 6, "cat", {"x": -10, "mouth.shows": "shut"})
    done = pose(tiny, HILL, 8, "cat", {"x": -5}).staged
    (one,) = run(done)
    assert one.values == [{"x": -15.0}, {"x": -10.0, "mouth": {"shows": "shut"}}, {"x": -5.0}]
    assert [shown(done, f, "cat", "x") for f in (2, 4, 6, 8, 10)] == [-20.0, -15.0, -10.0, -5.0, -5.0]
    assert shown(done, 10, "cat", "mouth.shows") == "shut"


def test_a_position_can_be_laid_again(tiny: Path) -> None:
    pose(tiny, HILL, 4, "cat", {"x": -15})
    pose(tiny, HILL, 6, "cat", {"x": -10})
    done = pose(tiny, HILL, 4, "cat", {"x": -17, "head.angle": 2}).staged
    assert run(done)[0].values == [{"x": -17.0, "head": {"angle": 2.0}}, {"x": -10.0}]


def test_on_the_first_exposure_it_is_how_the_scene_opens(tiny: Path) -> None:
    done = pose(tiny, HILL, 0, "cat", {"x": -25, "head.angle": 8})
    assert done.hold == "opening"
    member = done.staged.scene.cast["cat"]
    assert member.x == -25
    assert member.pose == {"head": {"angle": 8.0}, "mouth": {"shows": "open"}}
    assert shown(done.staged, 11, "cat", "x") == -25


def test_a_touch_gives_way_to_a_pose_from_there_on(tiny: Path) -> None:
    """The film touches x and the head's angle on frame 8 (frame 2 of its second panel)."""
    done = pose(tiny, HILL, 8, "cat", {"x": 9}).staged
    assert [touch.set for touch in done.scene.touches] == [{"head": {"angle": -3}}]
    assert shown(done, 10, "cat", "x") == 9
    assert shown(done, 10, "cat", "head.angle") == 5


def test_here_is_a_touch_and_nothing_stays(tiny: Path) -> None:
    done = pose(tiny, HILL, 4, "cat", {"head.angle": 12}, "here").staged
    assert [shown(done, f, "cat", "head.angle") for f in (2, 4, 6)] == [5.0, 12.0, 5.0]


def test_while_a_move_goes_on_only_this_exposure_can_be_laid_otherwise(tiny: Path) -> None:
    lay(tiny, HILL, 0, {"move": "slide", "who": "cat", "to": [20.0, 0.0], "positions": 4})
    done = pose(tiny, HILL, 4, "cat", {"x": 1, "y": 2})
    assert done.hold == "here"
    assert shown(done.staged, 4, "cat", "y") == 2
    assert shown(done.staged, 8, "cat", "y") == 0


def test_what_disturbs_a_pose_is_reckoned_with(tiny: Path) -> None:
    lay(tiny, HILL, -1, {"move": "bounce", "who": "cat", "height": 10.0, "times": 1, "positions": 5})
    done = pose(tiny, HILL, 4, "cat", {"y": 30})
    assert done.hold == "on"
    assert shown(done.staged, 4, "cat", "y") == pytest.approx(30, abs=1e-4)


def test_the_view_is_laid_too(tiny: Path) -> None:
    done = pose(tiny, HILL, 0, "view", {"width": 100, "x": 3}).staged
    assert (done.scene.view.width_mm, done.scene.view.x) == (100, 3)
    assert shown(pose(tiny, HILL, 6, "view", {"width": 80}).staged, 8, "view", "width") == 80


@pytest.mark.parametrize(
    ("frame", "who", "values", "told"),
    [
        (99, "cat", {"x": 1}, "frame 99"),
        (4, "dog", {"x": 1}, "'dog' is not in the cast"),
        (4, "cat", {"haed.angle": 1}, "haed.angle"),
        (4, "cat", {"mouth.shows": "wide"}, "wide"),
        (4, "cat", {"x": "far"}, "far"),
        (4, "cat", {}, "no channel"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_written(
    tiny: Path, frame: int, who: str, values: dict[str, object], told: str
) -> None:
    before = document(tiny)
    with pytest.raises(FolderError, match=told):
        pose(tiny, HILL, frame, who, values)
    assert document(tiny) == before


def test_a_move_starts_on_the_next_exposure_and_ends_where_it_is_told(tiny: Path) -> None:
    done = lay(tiny, HILL, 4, {"move": "slide", "who": "cat", "to": [10, 4], "positions": 3})
    move, span = done.staged.scene.moves[done.move], done.staged.sheet.spans[done.move]
    assert (span.start, span.frames) == (6, 6)
    marks = ticks(done.staged.sheet, done.staged.plan, done.staged.figures, move, span)
    assert (marks[0], marks[-1]) == (Tick(4, -20, 0), Tick(10, 10, 4))
    assert len(marks) == 4


def test_its_last_tick_is_its_end_and_one_between_bends_its_way(tiny: Path) -> None:
    slide = {"move": "slide", "who": "cat", "by": [30, 0], "positions": 6, "ease": "even"}
    laid = lay(tiny, HILL, -1, slide)
    assert keys(redraw(tiny, HILL, laid.move, 10, (25.0, 6.0)).staged, laid.move)["by"] == (45.0, 6.0)
    done = redraw(tiny, HILL, laid.move, 4, (0.0, 20.0)).staged
    # With `by`, places are counted from where it starts.
    assert keys(done, laid.move)["through"] == [(20.0, 20.0)]
    move = done.scene.moves[laid.move]
    marks = ticks(done.sheet, done.plan, done.figures, move, done.sheet.spans[laid.move])
    assert max(mark.y for mark in marks) > 15
    again = redraw(tiny, HILL, laid.move, marks[1].frame, (-15.0, 12.0)).staged
    assert len(keys(again, laid.move)["through"]) == 2
    with pytest.raises(FolderError, match="no tick"):
        redraw(tiny, HILL, laid.move, 5, (0, 0))


def test_the_last_tick_of_a_bend_is_its_angle(tiny: Path) -> None:
    laid = lay(tiny, HILL, 4, {"move": "bend", "who": "cat", "piece": "head", "to": 20.0, "positions": 3})
    move, span = laid.staged.scene.moves[laid.move], laid.staged.sheet.spans[laid.move]
    marks = ticks(laid.staged.sheet, laid.staged.plan, laid.staged.figures, move, span)
    done = redraw(tiny, HILL, laid.move, 10, (marks[1].x, marks[1].y)).staged
    assert 5 < keys(done, laid.move)["to"] < 20


def test_a_move_that_cannot_be_is_refused_with_its_line(tiny: Path) -> None:
    before = document(tiny)
    with pytest.raises(RefusedError) as told:
        lay(tiny, HILL, 4, {"move": "slide", "who": "cat", "to": [1]})
    assert told.value.mistakes[0].file == f"scenes/{HILL}.toml"
    assert told.value.mistakes[0].line
    with pytest.raises(RefusedError):
        lay(tiny, HILL, 4, {"move": "fly", "who": "cat"})
    with pytest.raises(FolderError, match="move 9"):
        change_move(tiny, HILL, 8, {"positions": 2})
    assert document(tiny) == before


def test_keys_of_a_move_change_and_go(tiny: Path) -> None:
    done = change_move(tiny, HILL, 0, {"positions": None, "seconds": 0.25, "after": None}).staged
    assert (done.scene.moves[0].positions, done.scene.moves[0].seconds) == (None, 0.25)
    assert 'name = "pause"' in document(tiny)


def test_the_stack_is_changed_by_members_and_by_pieces(tiny: Path) -> None:
    assert restack(tiny, HILL, "cat", 1).scene.order == ["ball", "cat"]
    assert restack(tiny, HILL, "cat", -1, "head").scene.order == ["ball", "cat.head", "cat"]
    assert restack(tiny, HILL, "cat", -1, "head").scene.order == ["cat.head", "ball", "cat"]
    with pytest.raises(FolderError, match="no piece"):
        restack(tiny, HILL, "cat", 1, "tail")


def test_a_scene_that_is_not_there(tiny: Path) -> None:
    with pytest.raises(FolderError, match="no such scene"):
        stage(tiny, "099-none")


def test_where_an_exposure_is_held_moves_and_poses_are_written_as_if_it_were_not(tiny: Path) -> None:
    text = document(tiny).replace(
        'name = "waits"\nframes = 6\n', 'name = "waits"\nframes = 10\nholds = [{ frame = 2, longer = 4 }]\n'
    )
    (tiny / f"scenes/{HILL}.toml").write_text(text, encoding="utf-8")
    staged = stage(tiny, HILL)
    assert [(row.frame, row.since) for row in staged.sheet.rows] == [
        (0, 0), (2, 2), (8, 4), (10, 0), (12, 2), (14, 4),
    ]  # fmt: skip
    assert staged.plan == (0, 2, 4, 6, 8, 10)
    done = pose(tiny, HILL, 8, "cat", {"x": -15}).staged
    done = pose(tiny, HILL, 10, "cat", {"x": -10}).staged
    (one,) = run(done)
    assert [value["x"] for value in one.values] == [-15, -10]
    assert [shown(done, f, "cat", "x") for f in (2, 7, 8, 10, 14)] == [-20, -20, -15, -10, -10]
    done = pose(tiny, HILL, 12, "cat", {"x": 7}).staged
    assert [touch.set for touch in done.scene.touches] == [{"head": {"angle": -3}}]
    laid = lay(tiny, HILL, 2, {"move": "slide", "who": "ball", "to": [5, 0], "positions": 2})
    move, span = laid.staged.scene.moves[laid.move], laid.staged.sheet.spans[laid.move]
    marks = ticks(laid.staged.sheet, laid.staged.plan, laid.staged.figures, move, span)
    assert [mark.frame for mark in marks] == [2, 8, 10]
