"""Backs fall on their fronts when a kit is printed on both sides."""

from __future__ import annotations

from collections.abc import Sequence

from splitpin.paper.page import Page


def paired(pages: Sequence[Page]) -> list[Page]:
    """The pages, with an empty one wherever a sheet with a back would begin on the back of another."""
    done: list[Page] = []
    for n, page in enumerate(pages):
        backed = page.proof and n + 1 < len(pages) and not pages[n + 1].proof
        if backed and len(done) % 2:
            why = "Left empty, so that backs fall on their fronts"
            done.append(Page(page.part, why, page.stock, (), proof=False))
        done.append(page)
    return done
