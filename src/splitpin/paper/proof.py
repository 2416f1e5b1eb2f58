"""What proves that a page was printed at true scale: rules on every page, the outline of a card on one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from splitpin.paper.page import BLACK, HAIR, LINE, PENCIL, THIN, Curve, Curves, Mark, Page, Stroke, Words
from splitpin.paper.stock import EDGE, FOOT, Stock, room_on

RULE_MM = 100.0
CARD = 85.60, 53.98
"""An ISO/IEC 7810 ID-1 card, such as a bank card, mm."""
CARD_CORNER = 3.18
"""Radius of its corners, mm (ISO/IEC 7810: 2.88 to 3.48)."""
ROUND = 0.5522847498
"""How far a curve is drawn towards a corner to be a quarter circle."""


class Stamp(NamedTuple):
    """What every page of a kit says of itself."""

    film: str
    revision: str
    """The date and the sum of the film's documents."""


def proofed(page: Page, number: int, pages: int, stamp: Stamp) -> Page:
    """A page with its head, its foot and its rules; they lie under what it carries."""
    return page._replace(
        marks=(*_words(page, number, pages, stamp), *(_rules() if page.proof else ()), *page.marks)
    )


def rules() -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
    """The ends of the two rules of a page: lying, then standing."""
    x, y = EDGE + 6.0, EDGE + FOOT + 4.0
    return ((x + 6.0, y), (x + 6.0 + RULE_MM, y)), ((x - 3.0, y + 10.0), (x - 3.0, y + 10.0 + RULE_MM))


def _rules() -> Iterator[Mark]:
    lying, standing = rules()
    (x0, y), (x1, _) = lying
    yield Stroke(lying, LINE)
    for mm in range(0, 101, 5):
        long = 2.4 if mm % 50 == 0 else 1.6 if mm % 10 == 0 else 0.9
        yield Stroke(((x0 + mm, y), (x0 + mm, y + long)), THIN)
    yield Words(
        "100 mm: measure it; if it is not, print at 100 %, not “fit to page”", x1 + 2.5, y - 0.2, 6.2, PENCIL
    )
    (x, y0), (_, y1) = standing
    yield Stroke(standing, LINE)
    for mm in range(0, 101, 5):
        long = 2.4 if mm % 50 == 0 else 1.6 if mm % 10 == 0 else 0.9
        yield Stroke(((x, y0 + mm), (x + long, y0 + mm)), THIN)
    yield Words("100 mm", x - 0.4, y1 + 1.6, 6.2, PENCIL, "middle")


def _words(page: Page, number: int, pages: int, stamp: Stamp) -> Iterator[Mark]:
    stock = page.stock
    room = stock.width - 2 * EDGE
    top = stock.height - EDGE - 4.2
    yield Words(page.title, EDGE, top, 10.5, BLACK, room=room * 0.66, bold=True)
    yield Words(stamp.film, stock.width - EDGE, top, 9, PENCIL, "right", room=room * 0.32)
    yield Stroke(((EDGE, top - 2.2), (stock.width - EDGE, top - 2.2)), HAIR, PENCIL)
    yield Words(f"{page.part} · page {number} of {pages}", EDGE, EDGE, 7, PENCIL, room=room * 0.45)
    yield Words(
        f"{stamp.revision} · {stock.name}", stock.width - EDGE, EDGE, 7, PENCIL, "right", room=room * 0.53
    )


def card_page(stock: Stock, measured: float) -> Page:
    """The page that a card is laid on, and that says how to print the others."""
    free = room_on(stock)
    x, y = free.x + (free.width - CARD[0]) / 2, free.top - CARD[1] - 24.0
    marks: list[Mark] = [
        Curves((card_outline(x, y),), LINE),
        Words(
            "Lay a bank card here: it must fill the outline exactly.",
            x + CARD[0] / 2,
            y + CARD[1] / 2,
            8.5,
            PENCIL,
            "middle",
            room=CARD[0] - 6,
        ),
    ]
    at = y - 14.0
    for n, line in enumerate(_told(measured)):
        marks.append(Words(line, free.x, at - n * 6.2, 10, BLACK, room=free.width, bold=n == 0))
    return Page("proof", "Is this page printed at true scale?", stock, tuple(marks))


def _told(measured: float) -> tuple[str, ...]:
    words = (
        "Print every page at 100 %.",
        "In the printer's window choose “actual size” or 100 %, not “fit”, “shrink” or “scale”.",
        "Then measure the two rules of 100 mm along the edges of this page with a good ruler.",
        "Both measure 100 mm, and a card fills the outline: everything in this kit is true.",
        "Both measure the same, but not 100 mm: make the kit again with  --measured  and that number.",
        "They measure different lengths: this printer stretches the paper; take another.",
    )
    if measured == 100.0:
        return words
    return (*words, f"This kit is corrected for a printer whose 100 mm rule measured {measured:g} mm.")


def card_outline(x: float, y: float) -> tuple[Curve, ...]:
    """The outline of a card whose bottom left corner, were it sharp, lies at ``(x, y)``, anticlockwise."""
    w, h = CARD
    r, k = CARD_CORNER, CARD_CORNER * (1 - ROUND)

    def straight(a: tuple[float, float], b: tuple[float, float]) -> Curve:
        third = ((b[0] - a[0]) / 3, (b[1] - a[1]) / 3)
        return a, (a[0] + third[0], a[1] + third[1]), (b[0] - third[0], b[1] - third[1]), b

    return (
        straight((x + r, y), (x + w - r, y)),
        ((x + w - r, y), (x + w - k, y), (x + w, y + k), (x + w, y + r)),
        straight((x + w, y + r), (x + w, y + h - r)),
        ((x + w, y + h - r), (x + w, y + h - k), (x + w - k, y + h), (x + w - r, y + h)),
        straight((x + w - r, y + h), (x + r, y + h)),
        ((x + r, y + h), (x + k, y + h), (x, y + h - k), (x, y + h - r)),
        straight((x, y + h - r), (x, y + r)),
        ((x, y + r), (x, y + k), (x + k, y), (x + r, y)),
    )


__all__ = ["CARD", "RULE_MM", "Stamp", "card_outline", "card_page", "proofed", "rules"]
