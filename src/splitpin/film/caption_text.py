"""Captions as text: WebVTT (W3C, WebVTT: The Web Video Text Tracks Format) and SubRip."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Literal

from splitpin.film.captions import Caption

Format = Literal["vtt", "srt"]
FORMATS: tuple[Format, ...] = ("vtt", "srt")


def caption_text(captions: Iterable[Caption], rate: Fraction, form: Format) -> str:
    """All captions in one form."""
    return vtt(captions, rate) if form == "vtt" else srt(captions, rate)


def vtt(captions: Iterable[Caption], rate: Fraction) -> str:
    """WebVTT: who speaks stands in a voice span."""
    cues = []
    for caption in captions:
        lines = "\n".join(_voiced(p.speaker, "\n".join(map(_escaped, p.lines))) for p in caption.parts)
        cues.append(f"{_time(caption.start, rate, '.')} --> {_time(caption.end, rate, '.')}\n{lines}\n")
    return "\n".join(["WEBVTT\n", *cues])


def srt(captions: Iterable[Caption], rate: Fraction) -> str:
    """SubRip: numbered, and with a dash before each of two who speak at once."""
    return "\n".join(
        f"{number}\n{_time(c.start, rate, ',')} --> {_time(c.end, rate, ',')}\n" + "\n".join(c.lines) + "\n"
        for number, c in enumerate(captions, 1)
    )


def _voiced(speaker: str, text: str) -> str:
    return f"<v {_escaped(speaker)}>{text}</v>" if speaker else text


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _time(frame: int, rate: Fraction, mark: str) -> str:
    """Hours, minutes, seconds and thousandths, rounded once."""
    seconds, thousandths = divmod(round(frame / rate * 1000), 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}{mark}{thousandths:03d}"
