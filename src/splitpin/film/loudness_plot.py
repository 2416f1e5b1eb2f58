"""A drawing of how loud a film is from start to end, with its scenes: SVG as text."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from math import isfinite
from typing import NamedTuple

LOUDEST, SOFTEST = 0.0, -54.0
"""LUFS at the top and at the bottom; what is softer lies on the bottom."""
EVERY = 6
"""LU between two lines."""

WIDE, HIGH = 1200, 420
FONT = 'font-family="sans-serif" font-size="12" fill="#333"'
LEFT, RIGHT, TOP, BOTTOM = 64, 16, 64, 44
"""Margins."""

STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600)
"""Seconds between two marks of time."""


class Curves(NamedTuple):
    """What is drawn; see :class:`splitpin.sound.loudness.Meter`."""

    momentary: Sequence[float]
    """LUFS of each 400 ms, one every 100 ms."""
    short_term: Sequence[float]
    """LUFS of each 3 s, one every 100 ms."""
    integrated: float
    """LUFS of the whole."""
    range: float
    """Loudness range, LU."""
    true_peak: float
    """dBTP."""


def loudness_svg(title: str, seconds: float, scenes: Sequence[tuple[str, float]], curves: Curves) -> str:
    """Draw the loudness of a film over its time.

    Parameters
    ----------
    title
        Its heading.
    seconds
        How long the film is.
    scenes
        Each scene's name, and the second in which it starts.
    curves
        Its loudness. Each value stands at the end of the time it is of, as a meter would show it.
    """
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{HIGH}" {FONT}>',
        f'<rect width="{WIDE}" height="{HIGH}" fill="#fbf7ee"/>',
        f'<text x="{LEFT}" y="22" font-size="16">{escape(title)}</text>',
        f'<text x="{WIDE - RIGHT}" y="22" text-anchor="end">{_numbers(curves)}</text>',
        *_scenes(seconds, scenes),
        *_lines(seconds),
        _curve(curves.momentary, 0.4, seconds, 'stroke="#c9b79a" stroke-width="1"'),
        _curve(curves.short_term, 3.0, seconds, 'stroke="#1f4e79" stroke-width="2"'),
    ]
    if isfinite(curves.integrated):
        y = _y(curves.integrated)
        parts.append(
            f'<path d="M{LEFT} {y:.1f}H{WIDE - RIGHT}" stroke="#b3402a" stroke-dasharray="6 4" fill="none"/>'
        )
    return "\n".join([*parts, "</svg>", ""])


def _numbers(curves: Curves) -> str:
    if not isfinite(curves.integrated):
        return "nothing is heard"
    whole = f'<tspan fill="#b3402a">{curves.integrated:.1f} LUFS</tspan>'
    spread = f"range {curves.range:.1f} LU · true peak {curves.true_peak:.1f} dBTP"
    return f'{whole} · {spread} · <tspan fill="#1f4e79">3 s</tspan> · <tspan fill="#9a835c">0.4 s</tspan>'


def _x(second: float, seconds: float) -> float:
    return LEFT + (WIDE - LEFT - RIGHT) * second / max(seconds, 1e-9)


def _y(lufs: float) -> float:
    share = (LOUDEST - min(max(lufs, SOFTEST), LOUDEST)) / (LOUDEST - SOFTEST)
    return TOP + (HIGH - TOP - BOTTOM) * share


def _scenes(seconds: float, scenes: Sequence[tuple[str, float]]) -> list[str]:
    """Every second scene is shaded; a name is written where there is room for some of it."""
    parts = []
    tall = HIGH - TOP - BOTTOM
    ends = [*(start for _, start in scenes[1:]), seconds]
    for k, ((name, start), end) in enumerate(zip(scenes, ends, strict=True)):
        x, wide = _x(start, seconds), _x(end, seconds) - _x(start, seconds)
        if k % 2:
            parts.append(f'<rect x="{x:.1f}" y="{TOP}" width="{wide:.1f}" height="{tall}" fill="#f1e8d6"/>')
        letters = int((wide - 6) // 7)
        if letters >= 3:
            short = name if len(name) <= letters else f"{name[: letters - 1]}…"
            parts.append(f'<text x="{x + 3:.1f}" y="{TOP - 8}">{escape(short)}</text>')
    return parts


def _lines(seconds: float) -> list[str]:
    parts = []
    for lufs in range(int(LOUDEST), int(SOFTEST) - 1, -EVERY):
        y = _y(lufs)
        parts.append(f'<path d="M{LEFT} {y:.1f}H{WIDE - RIGHT}" stroke="#d9cdb6" fill="none"/>')
        parts.append(f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{lufs}</text>')
    parts.append(f'<text x="{LEFT - 8}" y="{TOP - 8}" text-anchor="end">LUFS</text>')
    step = next((s for s in STEPS if seconds / s <= 12), STEPS[-1])
    for mark in range(0, int(seconds) + 1, step):
        x = _x(mark, seconds)
        parts.append(f'<path d="M{x:.1f} {HIGH - BOTTOM}v6" stroke="#333" fill="none"/>')
        clock = f"{mark // 60}:{mark % 60:02d}"
        parts.append(f'<text x="{x:.1f}" y="{HIGH - BOTTOM + 22}" text-anchor="middle">{clock}</text>')
    return parts


def _curve(values: Sequence[float], window: float, seconds: float, style: str) -> str:
    points = " ".join(
        f"{_x(window + 0.1 * k, seconds):.1f},{_y(value):.1f}" for k, value in enumerate(values)
    )
    return f'<polyline points="{points}" fill="none" stroke-linejoin="round" {style}/>'
