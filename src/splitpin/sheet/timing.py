"""When things happen in a scene, in whole frames."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter, defaultdict, deque
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from splitpin.measure.fault import Fault
from splitpin.measure.likely import likely
from splitpin.measure.rate import exact, nearest_frame
from splitpin.motion.move import Move, Span
from splitpin.scene.scene import Panel, Scene

MOST_FRAMES = 216_000
"""The longest scene and the longest move: two hours at 30 frames a second, two and a half at 24."""


class PanelSpan(NamedTuple):
    """A panel's frames in the scene."""

    name: str
    start: int
    frames: int

    @property
    def end(self) -> int:
        """The first frame after it."""
        return self.start + self.frames


class Hanging(NamedTuple):
    """What is known of moves that hang on sounds and on events; moves by their places in the list."""

    begins: Mapping[int, Fraction] = {}
    """The frame at which each of them begins, which need not be whole."""
    lasts: Mapping[int, Fraction] = {}
    """How many frames the sound of each of those lasts that last as long as a sound."""
    waiting: frozenset[int] = frozenset()
    """Those that cannot begin yet."""


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

    def panel_at(self, frame: int) -> PanelSpan:
        """The panel in which a frame of the scene lies."""
        return self.panels[bisect_right(self.panels, frame, key=lambda panel: panel.start) - 1]


def time_panels(panels: Sequence[Panel], rate: Fraction, on: int) -> tuple[Timing, list[Fault]]:
    """Give each panel its frames.

    Ends are rounded to frames, not lengths, so that the scene is as long as its board to half a frame,
    however many panels it has. A panel has at least one frame; what is shorter than half a frame cannot be
    meant and is a fault, and so is a scene of more than ``MOST_FRAMES``.
    """
    faults: list[Fault] = []
    spans: list[PanelSpan] = []
    ideal, start, too_long = Fraction(0), 0, False
    for i, panel in enumerate(panels):
        frames = exact(panel.seconds) * rate if panel.seconds is not None else Fraction(panel.frames or 1)
        if frames < Fraction(1, 2):
            found = f"{panel.seconds:g} seconds, which is not one frame"
            least = f"at least {float(1 / rate):.2g} seconds, one frame"
            faults.append(Fault(("panels", i, "seconds"), found, least, "make it longer, or take it out"))
        ideal += frames
        end = max(start + 1, floor(ideal + Fraction(1, 2)))
        if end > MOST_FRAMES and not too_long:
            too_long = True
            faults.append(_too_long(("panels", i), f"a scene of more than {MOST_FRAMES} frames", rate))
        end = max(start + 1, min(end, MOST_FRAMES))
        spans.append(PanelSpan(panel.name, start, end - start))
        start = end
    return Timing(rate, on, tuple(spans)), faults


def _too_long(path: tuple[str | int, ...], found: str, rate: Fraction) -> Fault:
    hours = MOST_FRAMES / float(rate) / 3600
    return Fault(path, found, f"at most {MOST_FRAMES} ({hours:.2g} hours)", "make it shorter")


def unknown_panel(timing: Timing, name: str, path: tuple[str | int, ...]) -> Fault:
    """The fault of naming a panel that is not there."""
    names = [p.name for p in timing.panels]
    return Fault(path, f"there is no panel {name!r}", f"one of {', '.join(names)}", likely(name, names))


def time_moves(
    scene: Scene, timing: Timing, hanging: Hanging | None = None
) -> tuple[dict[int, Span], list[Fault]]:
    """The frames that each move works on, by its place in the scene's list.

    A move starts on an exposure of its panel (the nearest one at or before the time asked for) and lasts a
    whole number of exposures, at least one.

    Parameters
    ----------
    scene, timing
        The moves and the clock of the scene.
    hanging
        What is known of moves that hang on sounds and events. Those that wait, and all that comes after them,
        are left out.
    """
    faults: list[Fault] = []
    spans: dict[int, Span] = {}
    hanging = hanging or Hanging()
    names = [move.name or move.move for move in scene.moves]
    called = Counter(names)
    first = {name: i for i, name in reversed(list(enumerate(names)))}
    followers: defaultdict[int, list[int]] = defaultdict(list)
    ready: deque[int] = deque()
    for i, move in enumerate(scene.moves):
        if move.after is None or ("." in move.after and move.after.partition(".")[0] in first):
            ready.append(i)
        elif move.after in first:
            followers[first[move.after]].append(i)
        else:
            known = f"the name of a move: {', '.join(sorted(called))}"
            found = f"there is no move {move.after!r}"
            faults.append(Fault(("moves", i, "after"), found, known, likely(move.after, names)))
            ready.append(i)
    done: set[int] = set()
    while ready:
        i = ready.popleft()
        done.add(i)
        ready += followers[i]
        after = (scene.moves[i].after or "").partition(".")[0] or None
        event = "." in (scene.moves[i].after or "")
        if after is not None and called[after] > 1:
            faults.append(
                Fault(
                    ("moves", i, "after"),
                    f"{called[after]} moves are called {after!r}",
                    "a name that only one move has",
                    "give the move that comes before a `name` of its own",
                )
            )
        elif i in hanging.waiting:
            continue
        elif after is None or event or first.get(after) in spans:
            begin = hanging.begins.get(i)
            if after is not None and not event:
                begin = Fraction(spans[first[after]].end)
            span = _span(i, scene.moves[i], timing, begin, hanging.lasts.get(i), faults)
            if span is not None:
                spans[i] = span
    for i in (i for i in range(len(names)) if i not in done):
        faults.append(
            Fault(
                ("moves", i, "after"),
                f"moves wait for one another: {names[i]!r} after {scene.moves[i].after!r}",
                "a move that can start by itself",
                "give one of them a panel and a start instead",
            )
        )
    return spans, faults


def _span(
    i: int, move: Move, timing: Timing, begins: Fraction | None, lasts: Fraction | None, faults: list[Fault]
) -> Span | None:
    """The frames of one move; ``begins`` is where what it hangs on lets it, ``lasts`` its sound in frames."""

    def fault(key: str, found: str, expected: str, remedy: str) -> None:
        faults.append(Fault(("moves", i, key), found, expected, remedy))

    on = move.on or timing.on
    if move.seconds is not None and move.positions is not None:
        fault("positions", "both seconds and positions", "one of the two", "leave one of them out")
        return None
    if begins is not None:
        begin = max(0, floor(begins))
        if begins.denominator != 1 and begin < timing.frames:
            begin -= (begin - timing.panel_at(begin).start) % timing.on
    else:
        found = timing.panel(move.panel)
        if found is None:
            faults.append(unknown_panel(timing, move.panel or "", ("moves", i, "panel")))
            return None
        begin = found.start
    wait = nearest_frame(exact(move.start), timing.rate)
    start = begin + wait - wait % timing.on
    if start >= timing.frames:
        fault(
            "after" if move.after is not None and not wait else "start",
            f"it starts on frame {start}, and the scene ends with frame {timing.frames - 1}",
            "a start within the scene",
            "start it earlier or make the panel longer",
        )
        return None
    if move.positions is not None:
        frames = move.positions * on
    elif move.seconds is not None:
        frames = max(1, (nearest_frame(exact(move.seconds), timing.rate) + on // 2) // on) * on
    elif lasts is not None:
        # the exposures in which it sounds, and one on which the mouth is shut again
        frames = (ceil((max(begins or Fraction(start), Fraction(0)) - start + lasts) / on) + 1) * on
    elif (takes := move.takes) is not None:
        frames = takes * on
    else:
        frames = timing.panel_at(start).end - start
    if frames > MOST_FRAMES:
        key = "positions" if move.positions is not None else "seconds" if move.seconds is not None else "move"
        faults.append(_too_long(("moves", i, key), f"a move of {frames} frames", timing.rate))
        return None
    return Span(start, frames, on, timing.rate)
