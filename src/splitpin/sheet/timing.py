"""When things happen in a scene, in whole frames."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.measure.rate import nearest_frame
from splitpin.motion.move import Move, Span
from splitpin.scene.scene import Panel, Scene


class PanelSpan(NamedTuple):
    """A panel's frames in the scene."""

    name: str
    start: int
    frames: int

    @property
    def end(self) -> int:
        """The first frame after it."""
        return self.start + self.frames


class Timing(NamedTuple):
    """The clock of one scene."""

    rate: Fraction
    on: int
    panels: tuple[PanelSpan, ...]

    @property
    def frames(self) -> int:
        """How long the scene is."""
        return self.panels[-1].end

    def panel(self, name: str | None) -> PanelSpan | None:
        """The panel of that name; the first one for None; None when there is no such panel."""
        if name is None:
            return self.panels[0]
        return next((p for p in self.panels if p.name == name), None)


def exact(seconds: float) -> Fraction:
    """Seconds as they were typed: 0.1 is a tenth."""
    return Fraction(seconds).limit_denominator(1_000_000)


def time_panels(panels: Sequence[Panel], rate: Fraction, on: int) -> Timing:
    """Give each panel its frames.

    Ends are rounded to frames, not lengths, so that the scene is as long as its board to half a frame,
    however many panels it has. A panel has at least one frame.
    """
    spans: list[PanelSpan] = []
    ideal, start = Fraction(0), 0
    for panel in panels:
        ideal += exact(panel.seconds) if panel.seconds is not None else (panel.frames or 1) / rate
        end = max(start + 1, nearest_frame(ideal, rate))
        spans.append(PanelSpan(panel.name, start, end - start))
        start = end
    return Timing(rate, on, tuple(spans))


def unknown_panel(timing: Timing, name: str, path: tuple[str | int, ...]) -> Fault:
    """The fault of naming a panel that is not there."""
    names = [p.name for p in timing.panels]
    return Fault(path, f"there is no panel {name!r}", f"one of {', '.join(names)}", likely(name, names))


def time_moves(scene: Scene, timing: Timing) -> tuple[dict[int, Span], list[Fault]]:
    """The frames that each move works on, by its place in the scene's list.

    A move starts on an exposure of its panel (the nearest one at or before the time asked for) and lasts a
    whole number of exposures, at least one.
    """
    faults: list[Fault] = []
    spans: dict[int, Span] = {}
    names = [move.name or move.move for move in scene.moves]
    waiting = list(range(len(scene.moves)))
    while waiting:
        ready = [i for i in waiting if (a := scene.moves[i].after) is None or _ended(a, names, spans)]
        if not ready:
            break
        for i in ready:
            waiting.remove(i)
            span = _span(i, scene.moves[i], timing, names, spans, faults)
            if span is not None:
                spans[i] = span
    for i in waiting:
        after = scene.moves[i].after or ""
        if after not in names:
            faults.append(
                Fault(
                    ("moves", i, "after"),
                    f"there is no move {after!r}",
                    f"the name of a move: {', '.join(sorted(set(names)))}",
                    likely(after, names),
                )
            )
        elif names.index(after) in waiting:
            faults.append(
                Fault(
                    ("moves", i, "after"),
                    f"moves wait for one another: {names[i]!r} after {after!r}",
                    "a move that can start by itself",
                    "give one of them a panel and a start instead",
                )
            )
    return spans, faults


def _ended(after: str, names: list[str], spans: dict[int, Span]) -> bool:
    return after in names and names.index(after) in spans


def _span(
    i: int, move: Move, timing: Timing, names: list[str], spans: dict[int, Span], faults: list[Fault]
) -> Span | None:
    def fault(key: str, found: str, expected: str, remedy: str) -> None:
        faults.append(Fault(("moves", i, key), found, expected, remedy))

    on = move.on or timing.on
    if move.seconds is not None and move.positions is not None:
        fault("positions", "both seconds and positions", "one of the two", "leave one of them out")
        return None
    if move.after is not None:
        if names.count(move.after) > 1:
            fault(
                "after",
                f"{names.count(move.after)} moves are called {move.after!r}",
                "a name that only one move has",
                "give the move that comes before a `name` of its own",
            )
            return None
        begin = spans[names.index(move.after)].end
        panel = next((p for p in timing.panels if p.start <= begin < p.end), timing.panels[-1])
    else:
        found = timing.panel(move.panel)
        if found is None:
            faults.append(unknown_panel(timing, move.panel or "", ("moves", i, "panel")))
            return None
        panel, begin = found, found.start
    wait = nearest_frame(exact(move.start), timing.rate)
    start = begin + wait - wait % timing.on
    if start >= timing.frames:
        fault(
            "after" if move.after and not wait else "start",
            f"it starts on frame {start}, and the scene ends with frame {timing.frames - 1}",
            "a start within the scene",
            "start it earlier or make the panel longer",
        )
        return None
    if move.positions is not None:
        return Span(start, move.positions * on, on, timing.rate)
    if move.seconds is not None:
        frames = nearest_frame(exact(move.seconds), timing.rate)
        return Span(start, max(1, (frames + on // 2) // on) * on, on, timing.rate)
    if (takes := move.takes) is not None:
        return Span(start, takes * on, on, timing.rate)
    end = next((p.end for p in timing.panels if p.start <= start < p.end), panel.end)
    return Span(start, end - start, on, timing.rate)
