"""Captions of an outlet: at the rate at which it is shown, beside its file or burnt into its pictures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path

from splitpin.device.stills import card_font
from splitpin.film.burn import BURNING, Burnt, burn
from splitpin.film.caption_text import FORMATS, caption_text
from splitpin.film.captions import Caption, captions
from splitpin.film.roll import Held
from splitpin.folder.save import write_whole
from splitpin.jobs.shop import Shop


def captions_at(shop: Shop, rate: Fraction) -> tuple[Caption, ...]:
    """The captions in frames of the film, set for readers who see so many of them a second."""
    if rate == shop.film.exact_rate:
        return shop.captioned.captions
    # Every frame is shown once: what is said stays on its frames, and only how long they last is another.
    return captions(shop.captioned.spoken, shop.ready.frames, rate, shop.film.captions)


def later(shown: Sequence[Caption], frames: int) -> tuple[Caption, ...]:
    """The captions of a file that opens with so many frames."""
    return tuple(c._replace(start=c.start + frames, end=c.end + frames) for c in shown)


def signature_of(burnt: Burnt) -> str:
    """What a segment's pictures depend on besides itself."""
    return f" burnt {BURNING} {burnt!r}" if burnt else ""


def burnt_over(shop: Shop, shown: Iterable[Held], burnt: Burnt) -> Iterable[Held]:
    """The pictures of a segment, with its captions where it has any."""
    return burn(shown, burnt, shop.stage, card_font()) if burnt else shown


def write_beside(path: Path, shown: Sequence[Caption], rate: Fraction, *, wanted: bool) -> list[Path]:
    """Write the captions as text beside a file; players find them by their name, so that old ones must go.

    Parameters
    ----------
    path
        The file.
    shown
        In frames of the file.
    rate
        Its frames a second.
    wanted
        Whether there shall be any.
    """
    files = []
    for form in FORMATS:
        file = path.with_suffix(f".{form}")
        if shown and wanted:
            write_whole(file, caption_text(shown, rate, form).encode())
            files.append(file)
        else:
            file.unlink(missing_ok=True)
    return files
