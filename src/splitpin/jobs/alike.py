"""Warnings that say the same of several files, told once."""

from __future__ import annotations

from collections.abc import Sequence

from splitpin.folder.mistake import Mistake

SEVERAL = 3
"""So many files of which the same is said are named together."""
NAMED = 12
"""So many of them are named."""


def grouped(warnings: Sequence[Mistake]) -> tuple[tuple[Mistake, ...], list[tuple[Mistake, ...]]]:
    """The warnings that stand alone, and groups of those that say the same of several whole files."""
    same: dict[tuple[str, str, str], list[Mistake]] = {}
    for m in warnings:
        if m.line is None:
            same.setdefault((m.found, m.expected, m.remedy), []).append(m)
    groups = [tuple(group) for group in same.values() if len(group) >= SEVERAL]
    within = {m for group in groups for m in group}
    return tuple(m for m in warnings if m not in within), groups


def files_of(group: Sequence[Mistake]) -> str:
    """The files of a group, in words."""
    more = f" and {len(group) - NAMED} more" if len(group) > NAMED else ""
    return ", ".join(m.file for m in group[:NAMED]) + more


def lines_of(warnings: Sequence[Mistake]) -> list[str]:
    """One line for each warning, and one for each group of them."""
    alone, groups = grouped(warnings)
    lines = [f"{w.place}: {w.found}; {w.remedy}" for w in alone]
    return lines + [f"{files_of(group)}: {group[0].found}; {group[0].remedy}" for group in groups]
