"""A drawing of how often a film flashes from start to end: SVG as text."""

from __future__ import annotations

from html import escape

from splitpin.film.flashing import CHANGES, Kind, Verdict
from splitpin.film.loudness_plot import STEPS

WIDE, HIGH = 1200, 360
LEFT, RIGHT, TOP, BOTTOM = 64, 16, 64, 44
FONT = 'font-family="sans-serif" font-size="12" fill="#333"'
INK: dict[Kind, str] = {"general": "#285380", "red": "#a5311f"}
DASH: dict[Kind, str] = {"general": "", "red": ' stroke-dasharray="5 3"'}
LEAST = 5.0
"""Flashes a second at the top of the drawing, at least."""


def flash_svg(title: str, verdict: Verdict) -> str:
    """Draw how many flashes lie in the second before each frame, in the field that has most.

    Parameters
    ----------
    title
        Its heading.
    verdict
        What a screening found.
    """
    seconds = max(float(verdict.seconds), 1e-6)
    most = max((float(counts.max(initial=0)) / 2 for counts in verdict.flashes.values()), default=0.0)
    top = max(LEAST, most + 1)
    word = "screened: nothing found" if verdict.passed else f"{len(verdict.spans)} found"

    def x(second: float) -> float:
        return LEFT + (WIDE - LEFT - RIGHT) * second / seconds

    def y(flashes: float) -> float:
        return TOP + (HIGH - TOP - BOTTOM) * (1 - flashes / top)

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{HIGH}" {FONT}>',
        f'<rect width="{WIDE}" height="{HIGH}" fill="#fbf7ee"/>',
        f'<text x="{LEFT}" y="22" font-size="16">{escape(title)}: flashes in a second</text>',
        f'<text x="{WIDE - RIGHT}" y="22" text-anchor="end">{escape(word)}; guidance, no certificate</text>',
    ]
    for span in verdict.spans:
        left, right = x(float(span.start)), x(float(span.end))
        parts.append(
            f'<rect x="{left:.1f}" y="{TOP}" width="{max(2.0, right - left):.1f}" '
            f'height="{HIGH - TOP - BOTTOM}" fill="{INK[span.kind]}" opacity="0.14"/>'
        )
    for flashes in range(int(top) + 1):
        line = 'stroke="#24272c" stroke-width="1.5"' if flashes == CHANGES // 2 else 'stroke="#d8cfba"'
        parts.append(f'<path d="M{LEFT} {y(flashes):.1f}H{WIDE - RIGHT}" {line}/>')
        parts.append(f'<text x="{LEFT - 8}" y="{y(flashes) + 4:.1f}" text-anchor="end">{flashes}</text>')
    parts.append(f'<text x="{LEFT + 6}" y="{y(CHANGES // 2) - 5:.1f}">three: the most that may be</text>')
    step = next((s for s in STEPS if seconds / s <= 12), STEPS[-1])
    for mark in range(0, int(seconds) + 1, step):
        parts.append(f'<path d="M{x(mark):.1f} {HIGH - BOTTOM}v6" stroke="#333"/>')
        parts.append(f'<text x="{x(mark):.1f}" y="{HIGH - BOTTOM + 20}" text-anchor="middle">{mark} s</text>')
    for n, (kind, counts) in enumerate(verdict.flashes.items()):
        # Only where the count changes is a corner.
        path, before = [f"M{LEFT} {y(0):.1f}"], 0
        for time, count in zip(verdict.times, counts, strict=True):
            if count != before:
                path.append(f"H{x(float(time)):.1f}V{y(count / 2):.1f}")
                before = int(count)
        path.append(f"H{x(seconds):.1f}")
        parts.append(
            f'<path d="{"".join(path)}" fill="none" stroke="{INK[kind]}" stroke-width="2"{DASH[kind]}/>'
        )
        at = LEFT + 130 * n
        parts.append(f'<path d="M{at} 42h26" stroke="{INK[kind]}" stroke-width="2"{DASH[kind]}/>')
        parts.append(f'<text x="{at + 32}" y="46">{kind}</text>')
    return "\n".join([*parts, "</svg>\n"])
