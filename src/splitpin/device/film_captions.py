"""The caption track of a film: timed text that players show when asked (3GPP TS 26.245, ``tx3g``)."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

import av
from av.subtitles.stream import SubtitleStream

from splitpin.device.coded import CodedPacket

MOST_BYTES = 65_535
"""The text of a sample has its length in two bytes before it."""

THREE_LETTERS = {
    "bg": "bul", "ca": "cat", "cs": "ces", "cy": "cym", "da": "dan", "de": "deu", "el": "ell", "en": "eng",
    "es": "spa", "et": "est", "eu": "eus", "fi": "fin", "fr": "fra", "ga": "gle", "hr": "hrv", "hu": "hun",
    "is": "isl", "it": "ita", "lt": "lit", "lv": "lav", "mk": "mkd", "mt": "mlt", "nb": "nob", "nl": "nld",
    "nn": "nno", "no": "nor", "pl": "pol", "pt": "por", "ro": "ron", "ru": "rus", "sk": "slk", "sl": "slv",
    "sq": "sqi", "sr": "srp", "sv": "swe", "tr": "tur", "uk": "ukr",
    "ar": "ara", "fa": "fas", "he": "heb", "hi": "hin", "ja": "jpn", "ko": "kor", "zh": "zho",
}  # fmt: skip
"""The language of a track in MP4 has three letters (ISO 639-2/T); these are commonly written with two."""

STYLE = (
    "[Script Info]\nScriptType: v4.00+\nPlayResX: 384\nPlayResY: 288\n\n[V4+ Styles]\nFormat: Name, Fontname,"
    " Fontsize, PrimaryColour, SecondaryColour, OutlineColour, BackColour, Bold, Italic, Underline,"
    " StrikeOut, ScaleX, ScaleY, Spacing, Angle, BorderStyle, Outline, Shadow, Alignment, MarginL, MarginR,"
    " MarginV, Encoding\nStyle: "
    "Default,Sans-Serif,16,&Hffffff,&Hffffff,&H0,&H0,0,0,0,0,100,100,0,0,1,1,0,2,10,10,10,1"
    "\n\n[Events]\nFormat: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text\n"
)
"""White letters in the middle below, in the form in which the codec library takes the look of a track."""


class CaptionTrack(NamedTuple):
    """All captions of a film."""

    samples: tuple[tuple[int, int, str], ...]
    """First frame, the one after the last, and the text of each, its lines parted by line feeds."""
    language: str = "und"
    """BCP 47."""


def iso_language(tag: str) -> str:
    """The three letters of a language tag.

    >>> iso_language("pt-BR"), iso_language("gsw"), iso_language("xx")
    ('por', 'gsw', 'und')
    """
    first = tag.split("-")[0].lower()
    return first if len(first) == 3 else THREE_LETTERS.get(first, "und")


def add_captions(film: av.container.OutputContainer, track: CaptionTrack, rate: Fraction) -> SubtitleStream:
    """Give a film a stream for captions; its clock is the film's, so that they lie on frames."""
    stream: SubtitleStream = film.add_stream("mov_text")
    stream.codec_context.subtitle_header = STYLE.encode()
    stream.codec_context.time_base = 1 / rate
    stream.time_base = 1 / rate
    stream.metadata["language"] = iso_language(track.language)
    return stream


def caption_packets(samples: Sequence[tuple[int, int, str]]) -> list[CodedPacket]:
    """Each caption as a sample of timed text; where there is none, the container shows nothing."""
    return [
        CodedPacket(start, end - start, True, struct.pack(">H", len(text)) + text)
        for start, end, words in samples
        for text in (words.encode()[:MOST_BYTES],)
    ]
