"""The label of the box that keeps the paper of a film."""

from __future__ import annotations

from collections.abc import Iterator

from splitpin.paper.envelopes import packed
from splitpin.paper.kitting import Kitting
from splitpin.paper.page import BLACK, HAIR, LINE, PENCIL, Mark, Page, Stroke, Words, box, wrapped
from splitpin.paper.stock import Field, room_on
from splitpin.paper.wanted import wanted
from splitpin.sheet.stack import BACKGROUND

WIDTH, HEIGHT = 148.0, 105.0
"""A6 (ISO 216), lying, mm."""
ASKED = ("box … of …", "digital archive lies on", "second copy", "third copy", "looked at on")
"""What a hand fills in. Three copies: the US National Archives' rule for films, from memory."""


def box_label(kitting: Kitting) -> list[Page]:
    """One label, to cut out and glue on."""
    room = room_on(kitting.stock)
    card = Field(room.x + (room.width - WIDTH) / 2, room.top - HEIGHT - 4.0, WIDTH, HEIGHT)
    return [Page("label", "Label for the box", kitting.stock, tuple(_label(kitting, card)))]


def _label(kitting: Kitting, card: Field) -> Iterator[Mark]:
    yield Stroke(box(card.x, card.y, card.width, card.height), LINE, closed=True, use="cut")
    x, room = card.x + 6.0, card.width - 12.0
    y = card.top - 11.0
    for line in wrapped(kitting.title, room, 20, kitting.type, bold=True)[:2]:
        yield Words(line, x, y, 20, BLACK, room=room, bold=True)
        y -= 8.0
    for text in _told(kitting):
        for line in wrapped(text, room, 8, kitting.type)[:3]:
            yield Words(line, x, y, 8, room=room)
            y -= 3.9
    y = min(y - 2.0, card.y + 8.0 * len(ASKED) - 1.0)
    for words in ASKED:
        if y < card.y + 3.0:
            return
        yield Words(words, x, y, 7, PENCIL)
        yield Stroke(((x + 38.0, y - 0.6), (card.right - 6.0, y - 0.6)), HAIR, PENCIL)
        y -= 8.0


def _told(kitting: Kitting) -> Iterator[str]:
    frames = sum(staged.sheet.frames for staged in kitting.scenes)
    seconds = float(frames / kitting.rate)
    stage = kitting.stage
    length = (
        f"{int(seconds // 60)}:{seconds % 60:05.2f}, {frames} frames at {float(kitting.rate):.6g} a second"
    )
    yield f"{length}; picture {stage.width} × {stage.height}, field {stage.field_mm:g} mm"
    yield f"revision {kitting.revision}"
    kept = packed(kitting)
    many = sum(item.copies for one in kept for item in one.items)
    grounds = sum(item.envelope == BACKGROUND for item in wanted(kitting))
    yield (
        f"{len(kept)} envelopes with {many} pieces ({', '.join(one.title for one in kept)});"
        f" {grounds} backgrounds, kept flat"
    )
    scenes = ", ".join(staged.name for staged in kitting.scenes)
    yield f"scenes: {scenes}"
    yield "Whose pictures and sounds these are stands in the film's credits; ask before they are shown."
