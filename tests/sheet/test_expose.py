"""What the exposure sheet promises to everyone who reads it."""

from __future__ import annotations

from fractions import Fraction
from statistics import fmean, pstdev
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splitpin.character.character import Character
from splitpin.character.figure import Figure, assemble, lone
from splitpin.cutout.cutout import Cutout
from splitpin.measure.rate import NAMED, parse_rate
from splitpin.measure.table import Stage
from splitpin.scene.scene import Scene, Tremble
from splitpin.sheet.expose import Exposed, expose
from splitpin.sheet.tremble import disturb

STAGE = Stage(1920, 1080, 400.0)
DISC = Cutout("disc", 100, 100, 0.2)
CAT = Character.model_validate(
    {
        "format": 1,
        "pieces": {
            "body": {"cutout": "disc", "pin": "seat", "pins": {"seat": [50, 100], "neck": [50, 0]}},
            "head": {
                "on": "body.neck",
                "set": {"shut": {"cutout": "disc"}, "open": {"cutout": "disc"}},
                "limits": [-20, 20],
            },
        },
    }
)
FIGURES: dict[str, Figure] = {
    "coin": lone("coin", DISC),
    "cat": assemble("cat", CAT, {"disc": DISC}),
    "cup": lone("cup", DISC),
}


def scene(**keys: Any) -> Scene:
    base: dict[str, Any] = {
        "format": 1,
        "panels": [{"name": "one", "seconds": 1}, {"name": "two", "seconds": 0.5}],
        "cast": {"coin": {"cutout": "disc"}, "cat": {"character": "cat"}, "cup": {"cutout": "disc"}},
    }
    return Scene.model_validate(base | keys)


def exposed(rate: str = "24", on: int = 2, **keys: Any) -> Exposed:
    return expose("test", scene(**keys), FIGURES, STAGE, parse_rate(rate), on)


def slide(**keys: Any) -> dict[str, Any]:
    return {"move": "slide", "who": "coin", "to": [100, 0], "ease": "even", "positions": 10} | keys


@given(
    lengths=st.lists(st.floats(0.05, 5), min_size=1, max_size=12),
    rate=st.sampled_from(NAMED),
    on=st.integers(1, 8),
)
def test_rows_follow_one_another_and_their_frames_add_up_to_the_board(
    lengths: list[float], rate: str, on: int
) -> None:
    board = [{"name": f"p{i}", "seconds": s} for i, s in enumerate(lengths)]
    sheet = exposed(rate, on, panels=board).sheet
    at = 0
    for row in sheet.rows:
        assert row.frame == at
        assert 1 <= row.frames <= on
        at += row.frames
    assert at == sheet.frames == sum(frames for _, _, frames in sheet.panels)
    ideal = sum(Fraction(s).limit_denominator(1_000_000) for s in lengths) * parse_rate(rate)
    assert abs(sheet.frames - ideal) <= Fraction(1, 2) + len(lengths)  # each panel has at least one frame
    if min(lengths) * float(parse_rate(rate)) >= 1:
        assert abs(sheet.frames - ideal) <= Fraction(1, 2)


def test_four_seconds_on_twos_at_24_are_48_positions() -> None:
    """Arithmetic of the trade: 24 frames a second, two frames a position."""
    sheet = exposed(panels=[{"name": "one", "seconds": 4}]).sheet
    assert len(sheet.rows) == 48
    assert {row.frames for row in sheet.rows} == {2}


def test_a_slide_starts_where_the_piece_lay_and_lands_exactly() -> None:
    rows = exposed(moves=[slide()]).sheet.rows
    xs = [next(p.pin[0] for p in row.placed if p.who == "coin") for row in rows]
    assert xs[:10] == pytest.approx([10, 20, 30, 40, 50, 60, 70, 80, 90, 100])
    assert xs[9:] == [100.0] * (len(rows) - 9)


def test_a_move_on_ones_splits_only_the_rows_it_works_on() -> None:
    rows = exposed(moves=[slide(on=1, start=0.25, positions=4)]).sheet.rows
    assert [row.frames for row in rows[:8]] == [2, 2, 2, 1, 1, 1, 1, 2]


def test_a_panel_of_odd_length_ends_with_a_shorter_exposure() -> None:
    rows = exposed(panels=[{"name": "a", "frames": 5}, {"name": "b", "frames": 4}]).sheet.rows
    assert [(row.frame, row.frames, row.panel) for row in rows] == [
        (0, 2, "a"), (2, 2, "a"), (4, 1, "a"), (5, 2, "b"), (7, 2, "b"),
    ]  # fmt: skip


def test_two_travelling_moves_on_one_channel_at_one_time_are_a_mistake() -> None:
    (fault,) = exposed(moves=[slide(), slide(start=0.25, name="second")]).faults
    assert fault.path == ("moves", 1)
    assert "both move x of coin on frames 6 to 19" in fault.found


def test_travelling_moves_on_different_channels_work_together() -> None:
    moves = [slide(), {"move": "bend", "who": "coin", "piece": "piece", "to": 90, "positions": 10}]
    found = exposed(moves=moves)
    assert found.faults == ()
    last = next(p for p in found.sheet.rows[9].placed if p.who == "coin")
    assert last.pin == (100.0, 0.0)
    assert last.angle == pytest.approx(90.0)


def test_after_starts_a_move_when_the_named_one_has_ended() -> None:
    moves = [
        slide(name="back", to=[0, 0], after="there", positions=2),
        slide(name="there", positions=4),
    ]
    rows = exposed(moves=moves).sheet.rows
    xs = [next(p.pin[0] for p in row.placed if p.who == "coin") for row in rows]
    assert xs[3:6] == pytest.approx([100, 50, 0])


def test_moves_that_wait_for_one_another_are_a_mistake() -> None:
    moves = [slide(name="a", after="b"), slide(name="b", after="a")]
    assert [f.path for f in exposed(moves=moves).faults] == [("moves", 0, "after"), ("moves", 1, "after")]


def test_a_touch_holds_for_one_exposure_alone() -> None:
    rows = exposed(touches=[{"who": "cat", "frame": 5, "set": {"x": 7, "head": {"angle": 4}}}]).sheet.rows
    plain = exposed().sheet.rows
    changed = [i for i, (a, b) in enumerate(zip(rows, plain, strict=True)) if a.placed != b.placed]
    assert changed == [2]
    assert rows[2].poses["cat"]["head.angle"] == 4.0


def test_whoever_rides_is_carried_along() -> None:
    cast = {"coin": {"cutout": "disc"}, "cat": {"character": "cat", "rides": "coin.piece.top", "y": 5}}
    figures = dict(FIGURES)
    disc = Character.model_validate(
        {"format": 1, "pieces": {"piece": {"cutout": "disc", "pins": {"top": [50, 0]}}}}
    )
    figures["coin"] = assemble("coin", disc, {"disc": DISC})
    found = expose("t", scene(cast=cast, moves=[slide()]), figures, STAGE, Fraction(24), 2)
    assert found.faults == ()
    body = next(p for p in found.sheet.rows[-1].placed if (p.who, p.piece) == ("cat", "body"))
    assert body.pin == pytest.approx((100.0, 15.0))


def test_members_that_ride_in_a_ring_are_a_mistake() -> None:
    cast = {
        "coin": {"character": "cat", "rides": "cat.body.neck"},
        "cat": {"character": "cat", "rides": "coin.body.neck"},
    }
    figures = {"coin": FIGURES["cat"], "cat": FIGURES["cat"]}
    faults = expose("t", scene(cast=cast), figures, STAGE, Fraction(24), 2).faults
    assert [f.path for f in faults] == [("cast", "coin", "rides")]
    assert "ring" in faults[0].found


def test_a_single_piece_can_lie_above_a_member_that_lies_above_the_rest_of_it() -> None:
    row = exposed(order=["cat", "coin", "cat.head"]).sheet.rows[0]
    lying = [(p.who, p.piece) for p in row.placed]
    assert lying == [("cat", "body"), ("coin", "piece"), ("cat", "head"), ("cup", "piece")]


def test_level_lifts_a_member_over_the_order() -> None:
    cast = {"coin": {"cutout": "disc", "level": 1}, "cup": {"cutout": "disc"}}
    assert [p.who for p in exposed(cast=cast).sheet.rows[0].placed if p.who != "cat"] == ["cup", "coin"]


def test_a_bend_past_the_limits_is_reported_once() -> None:
    cast = {"cat": {"character": "cat", "pose": {"head": {"angle": 33}}}}
    reports = exposed(cast=cast).sheet.reports
    assert reports == ("cat.head is bent to 33° on frame 0; its limits are -20° to 20°",)


def test_a_cue_hangs_on_an_event_and_follows_it() -> None:
    cue = {"sound": "clink.wav", "event": "hop.landing", "start": 0.5}
    hop = {"move": "hop", "who": "coin", "by": [40, 0]}
    early = exposed(moves=[hop], cues=[cue])
    late = exposed(moves=[hop | {"start": 0.25}], cues=[cue])
    assert early.faults == late.faults == ()
    assert late.sheet.soundings[0].at - early.sheet.soundings[0].at == 6
    landing = next(e.frame for e in early.sheet.events if e.name == "landing")
    assert early.sheet.soundings[0].at == landing + 12


def test_a_cue_between_frames_keeps_its_exact_place() -> None:
    sheet = exposed("30000/1001", cues=[{"sound": "a.wav", "panel": "one", "start": 0.1}]).sheet
    assert sheet.soundings[0].at == Fraction(30000, 1001) / 10


def test_a_cue_of_a_panel_hears_and_counts_only_the_events_in_that_panel() -> None:
    """Two hops of two jumps, one in each panel; the second begins on frame 24."""
    hop = {"move": "hop", "who": "coin", "by": [40, 0], "times": 2, "positions": 4}
    moves = [hop, hop | {"panel": "two"}]

    def heard(**keys: Any) -> list[Fraction]:
        return [s.at for s in exposed(moves=moves, cues=[{"sound": "a.wav"} | keys]).sheet.soundings]

    everywhere = heard(event="hop.landing")
    assert len(everywhere) == 4
    assert heard(event="hop.landing", panel="one") == everywhere[:2]
    assert heard(event="hop.landing", panel="two") == everywhere[2:]
    assert heard(event="hop.landing.2", panel="two") == everywhere[3:]
    assert exposed(moves=moves, cues=[{"sound": "a.wav", "event": "hop.landing.3", "panel": "two"}]).faults


def test_another_seed_is_another_flutter_and_two_in_one_scene_differ() -> None:
    def fluttered(seed: int) -> tuple[list[Any], list[Any]]:
        moves = [{"move": "flutter", "who": who, "seconds": 1} for who in ("coin", "cup")]
        rows = exposed(moves=moves, seed=seed).sheet.rows[:12]
        coin, cup = ([dict(row.poses[who]) for row in rows] for who in ("coin", "cup"))
        return coin, cup

    (coin, cup), again, other = fluttered(1), fluttered(1), fluttered(2)
    assert (coin, cup) == again
    assert coin != cup
    assert coin != other[0]
    assert cup != other[1]


def test_an_event_that_never_happens_is_a_mistake_with_a_guess() -> None:
    hop = {"move": "hop", "who": "coin", "by": [40, 0]}
    (fault,) = exposed(moves=[hop], cues=[{"sound": "a.wav", "event": "hop.landin"}]).faults
    assert fault.remedy == "did you mean hop.landing?"


def test_what_would_happen_after_the_end_of_the_scene_does_not_happen_and_sounds_nothing() -> None:
    """A bounce of 4 seconds hits on some frames in a scene of 60, and on some after it."""
    bounce = {"move": "bounce", "who": "coin", "seconds": 4}
    cue = {"sound": "a.wav", "event": "bounce.hit"}
    found = exposed(moves=[bounce], panels=[{"name": "one", "seconds": 2.5}], cues=[cue])
    whole = exposed(moves=[bounce], panels=[{"name": "one", "seconds": 4}])
    hits = [e.frame for e in whole.sheet.events if e.name == "hit"]
    within = [frame for frame in hits if frame < found.sheet.frames]
    assert [e.frame for e in found.sheet.events if e.name == "hit"] == within
    assert [s.at for s in found.sheet.soundings] == within
    assert 0 < len(within) < len(hits)


@pytest.mark.parametrize("keys", [{"event": "hop.landing"}, {"event": "hop.landing.1", "panel": "two"}])
def test_a_cue_on_what_the_scene_is_too_short_for_is_unheard_and_no_mistake(keys: dict[str, str]) -> None:
    hop = {"move": "hop", "who": "coin", "by": [40, 0], "panel": "two", "seconds": 4}
    found = exposed(moves=[hop], cues=[{"sound": "a.wav"} | keys])
    assert found.faults == ()
    assert found.sheet.soundings == ()
    (unheard,) = found.sheet.unheard
    assert unheard.at >= found.sheet.frames


def test_all_mistakes_are_found_at_once() -> None:
    faults = exposed(
        moves=[slide(who="nobody"), slide(panel="three"), slide(start=20.0)],
        touches=[{"who": "cat", "frame": 0, "set": {"tail": {"angle": 1}}}],
        order=["dog"],
    ).faults
    assert {f.path for f in faults} == {
        ("moves", 0, "who"),
        ("moves", 1, "panel"),
        ("moves", 2, "start"),
        ("touches", 0, "set", "tail", "angle"),
        ("order", 0),
    }


@given(mm=st.floats(0.01, 3), seed=st.integers(0, 1000))
def test_hands_tremble_only_for_what_moves_and_the_same_way_each_time(mm: float, seed: int) -> None:
    keys: dict[str, Any] = {"moves": [slide()], "tremble": {"mm": mm, "degrees": 1.0}, "seed": seed}
    once, again = exposed(**keys).sheet.rows, exposed(**keys).sheet.rows
    assert [r.placed for r in once] == [r.placed for r in again]
    steady = exposed(moves=[slide()], seed=seed).sheet.rows
    assert once[0].placed == steady[0].placed  # what opens a scene lies as planned
    for row, planned in zip(once[1:], steady[1:], strict=True):
        for piece, plan in zip(row.placed, planned.placed, strict=True):
            assert (piece != plan) == (piece.who == "coin")
    assert once[9].placed == once[-1].placed  # once laid it stays


def test_rows_in_which_nothing_changed_share_their_pieces() -> None:
    """Everything that draws less where nothing moves stands on this."""
    rows = exposed(moves=[slide()]).sheet.rows
    assert rows[10].placed is rows[-1].placed


@pytest.mark.parametrize(("mm", "degrees"), [(0.5, 0.0), (0.0, 2.0), (0.5, 2.0)])
def test_hands_lay_pieces_as_far_off_and_as_far_round_as_they_are_told(mm: float, degrees: float) -> None:
    """Standard deviations over 3,000 layings; with so many, five in a hundred is far off the mark."""
    piece = next(p for p in exposed().sheet.rows[0].placed if p.who == "coin")
    tremble = Tremble(mm=mm, degrees=degrees)
    laid = [disturb(piece, tremble, 7, frame) for frame in range(3000)]
    for off, told in (
        ([p.pin[0] - piece.pin[0] for p in laid], mm),
        ([p.pin[1] - piece.pin[1] for p in laid], mm),
        ([p.angle - piece.angle for p in laid], degrees),
    ):
        assert pstdev(off) == pytest.approx(told, rel=0.05)
        assert abs(fmean(off)) <= 0.05 * told
    assert all(p.matrix.angle == pytest.approx(p.angle) for p in laid[:50])
