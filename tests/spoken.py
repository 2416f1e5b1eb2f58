"""Spoken sentences of which somebody else says when each phone is heard: the truth of track reading.

Two voices that nobody here made: espeak-ng, which tells where its phonemes are while it speaks, and LibriVox
sentences out of Debian's ``pocketsphinx-testdata``, aligned by PyPI's ``pocketsphinx`` with its own model.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import shutil
import subprocess
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

import numpy as np
import soundfile
import soxr

SENTENCES = (
    "Bob kept a big pile of maps in the back of his room.",
    "Please put the lamp by the bed before you come up.",
    "My mother bought a small brown table at the market.",
    "The cat sat in the sun, and nothing else happened all day.",
    "Where are the keys, and who has taken the old red coat?",
    "Pepper and butter make the pumpkin soup much better.",
    "Seven sheep slept in the grass, under a silver sky.",
    "He jumped over the bench, and bumped into a post.",
    "I do not know, said the girl, but I will ask her teacher.",
    "A number of people came home with empty pockets.",
    "The moon was up, the lake was still, and we could hear the owls.",
    "Give me a moment, I must wrap this parcel in paper.",
    "Two tall trees stood at the gate, near the stone wall.",
    "Tomorrow the baker will bring bread, jam and plum pie.",
    "She ran down the hill to catch the last train to London.",
    "Maybe the blue boat belongs to my uncle, the plumber.",
    "Good dogs dig deep, and good cats catch quick rats.",
    "The opera was simply superb, but the programme was long.",
    "You choose the shoes, he chose the shirt.",
    "Climb up on my back, and hold the umbrella above us.",
    "Our father read the letter twice, then laughed out loud.",
    "Some bees bumble about, but most simply buzz by.",
    "This is the road we took when we were very young.",
    "Stop it, Tom, or the whole map will be upside down.",
)
"""Ordinary sentences, written for this; about one phone in seven shuts the lips."""

VOICES = (("en", 175), ("en-us+f3", 150), ("en+m3", 200))
"""Voices of espeak-ng and their words a minute."""

LIBRIVOX = Path("/usr/share/pocketsphinx/test/data/librivox")
"""Where Debian's ``pocketsphinx-testdata`` lies."""

_CUP = ("much", "young")
"""pocketsphinx's dictionary writes the vowel of *cup* and the neutral one of *a* and *the* alike. In the
sentences these words alone have the former (flite's dictionary, run). The neutral one is of no class, here as
with the other voices."""

LABIAL = "labial"
PAUSE = "pause"

VOWELS_F1 = {
    "iy": 267, "ih": 392, "eh": 526, "ae": 664, "aa": 718,
    "ao": 568, "uh": 437, "uw": 307, "ah": 631, "er": 489,
}  # fmt: skip
"""First formants of men's vowels, Hz: Peterson & Barney 1952 by Praat's built-in table [P]."""

_ESPEAK_VOWELS = {
    "i:": "iy", "i": "iy", "I": "ih", "I2": "ih", "E": "eh", "a": "ae", "aa": "ae", "A:": "aa", "0": "aa",
    "A@": "aa", "O:": "ao", "O@": "ao", "O2": "ao", "O": "ao", "U": "uh", "u:": "uw", "u": "uw", "V": "ah",
    "3:": "er", "3": "er",
}  # fmt: skip
CLOSURE = 0.06
"""espeak-ng tells of a b as the lips close and of a p as they part; seconds that they are shut. [T]"""

SILENCE = 0.3
"""Seconds of silence before and after what espeak-ng says."""


class Phone(NamedTuple):
    """One phone, or a pause."""

    kind: str
    """``labial``, ``pause``, a vowel of :data:`VOWELS_F1`, or ``other``."""
    start: float
    end: float
    label: str = ""
    """The phone as who tells of it calls it; nothing where it is told apart here."""


class Spoken(NamedTuple):
    """A sentence, how it sounds and what is said when."""

    name: str
    text: str
    sound: np.ndarray[Any, np.dtype[np.float32]]
    phones: tuple[Phone, ...]
    words: tuple[tuple[str, float, float], ...] = ()


class UnavailableError(Exception):
    """What is not installed here."""


class _Id(ctypes.Union):
    _fields_ = (("number", ctypes.c_int), ("name", ctypes.c_char_p), ("string", ctypes.c_char * 8))


class _Event(ctypes.Structure):
    """``espeak_EVENT`` of ``speak_lib.h``."""

    _fields_ = (
        ("type", ctypes.c_int), ("uid", ctypes.c_uint), ("text_position", ctypes.c_int),
        ("length", ctypes.c_int), ("audio_position", ctypes.c_int), ("sample", ctypes.c_int),
        ("user", ctypes.c_void_p), ("id", _Id),
    )  # fmt: skip


_CALLBACK = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(_Event)
)


@cache
def _espeak() -> tuple[Any, int]:
    name = ctypes.util.find_library("espeak-ng")
    if name is None:
        raise UnavailableError("libespeak-ng is not installed (Debian's package libespeak-ng1)")
    library = ctypes.CDLL(name)
    return library, library.espeak_Initialize(2, 0, None, 0x0001)


@cache
def espeak(text: str, voice: str, rate: int) -> Spoken:
    """A sentence spoken by espeak-ng."""
    library, sampling = _espeak()
    sound: list[int] = []
    events: list[tuple[int, float, str, int]] = []

    def heard(wave: Any, count: int, event: Any) -> int:
        sound.extend(wave[:count] if count > 0 else ())
        i = 0
        while event[i].type != 0:
            if event[i].type in (1, 7):
                label = bytes(event[i].id.string).split(b"\0")[0].decode("utf-8", "replace")
                place = event[i].text_position - 1
                events.append((event[i].type, event[i].audio_position / 1000, label, place))
            i += 1
        return 0

    callback = _CALLBACK(heard)
    library.espeak_SetSynthCallback(callback)
    if library.espeak_SetVoiceByName(voice.encode()):
        raise UnavailableError(f"espeak-ng has no voice {voice}")
    library.espeak_SetParameter(1, rate, 0)
    data = text.encode()
    library.espeak_Synth(data, len(data) + 1, 0, 0, 0, 1, None, None)
    library.espeak_Synchronize()
    wave = soxr.resample(np.array(sound, np.float32) / 32768, sampling, 48_000)
    wave = np.pad(wave, round(SILENCE * 48_000))
    length = len(wave) / 48_000
    phonemes = [(t + SILENCE, label) for kind, t, label, _ in events if kind == 7]
    starts = [(t + SILENCE, text[at:].split()[0]) for kind, t, _, at in events if kind == 1]
    words = tuple(
        (word, t, after[0]) for (t, word), after in zip(starts, [*starts[1:], (length, "")], strict=True)
    )
    return Spoken(f"{voice} {rate}", text, wave, _phones_of(phonemes, length), words)


def _phones_of(events: list[tuple[float, str]], length: float) -> tuple[Phone, ...]:
    """Phones of espeak-ng's events, the closures of b and p parted from what follows them."""
    phones: list[Phone] = [Phone(PAUSE, 0.0, events[0][0] if events else length)]
    for i, (t, label) in enumerate(events):
        end = events[i + 1][0] if i + 1 < len(events) else length
        label = label.strip("',|%=~")
        if label == "b":
            middle = min(t + CLOSURE, end)
            phones += [Phone(LABIAL, t, middle, label), Phone("other", middle, end)]
        elif label == "p":
            start = max(t - CLOSURE, phones[-1].start)
            phones[-1] = phones[-1]._replace(end=start)
            phones += [Phone(LABIAL, start, t, label), Phone("other", t, end)]
        elif label == "m":
            phones.append(Phone(LABIAL, t, end, label))
        elif label.startswith("_"):
            phones.append(Phone(PAUSE, t, end))
        else:
            phones.append(Phone(_ESPEAK_VOWELS.get(label, "other"), t, end, label))
    return _pauses_joined(phones)


def _pauses_joined(phones: list[Phone]) -> tuple[Phone, ...]:
    out: list[Phone] = []
    for phone in phones:
        if out and out[-1].kind == phone.kind == PAUSE:
            out[-1] = out[-1]._replace(end=phone.end)
        elif phone.end > phone.start:
            out.append(phone)
    return tuple(out)


@cache
def librivox() -> tuple[Spoken, ...]:
    """The LibriVox sentences, aligned."""
    try:
        from pocketsphinx import Config, Decoder
    except ImportError:
        raise UnavailableError("pocketsphinx is not installed (PyPI's package pocketsphinx)") from None
    if not LIBRIVOX.is_dir():
        raise UnavailableError("Debian's package pocketsphinx-testdata is not installed")
    out = []
    for line in (LIBRIVOX / "transcription").read_text().splitlines():
        text, name = line.removeprefix("<s> ").removesuffix(")").split(" </s> (")
        wave, sampling = soundfile.read(LIBRIVOX / f"{name}.wav", dtype="int16")
        decoder = Decoder(Config(samprate=float(sampling), loglevel="FATAL"))
        for stage in range(2):
            if stage == 0:
                decoder.set_align_text(text)
            else:
                decoder.set_alignment()
            decoder.start_utt()
            decoder.process_raw(wave.tobytes(), full_utt=True)
            decoder.end_utt()
        phones: list[Phone] = []
        words: list[tuple[str, float, float]] = []
        for word in decoder.get_alignment():
            if not word.name.startswith(("<", "[")):
                start, length = word.start / 100, word.duration / 100
                words.append((word.name.split("(")[0], start, start + length))
            for phone in word:
                label = phone.name.lower()
                kind = "other"
                if label == "sil":
                    kind = PAUSE
                elif label in ("p", "b", "m"):
                    kind = LABIAL
                elif label in VOWELS_F1 and (label != "ah" or words[-1][0] in _CUP):
                    kind = label
                end = (phone.start + phone.duration) / 100
                phones.append(Phone(kind, phone.start / 100, end, label))
        sound = soxr.resample(wave.astype(np.float32) / 32768, sampling, 48_000)
        out.append(Spoken(name[-4:], text, sound, _pauses_joined(phones), tuple(words)))
    return tuple(out)


FLITE_VOICES = ("rms", "slt", "kal16", "awb")
"""Voices of flite made from recordings of people: two men and a woman by statistics, one out of pieces."""


@cache
def flite(text: str, voice: str) -> Spoken:
    """A sentence spoken by flite, a third voice, which tells when each phone ends."""
    if shutil.which("flite") is None:
        raise UnavailableError("flite is not installed (Debian's package flite)")
    with TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        done = subprocess.run(
            ["flite", "-voice", voice, "-psdur", "-t", text, "-o", str(path)],
            capture_output=True, check=True, text=True,
        )  # fmt: skip
        wave, sampling = soundfile.read(path, dtype="float32")
    phones, start = [], 0.0
    for label, end in (part.split(":") for part in done.stdout.split()):
        kind = {"pau": PAUSE, "p": LABIAL, "b": LABIAL, "m": LABIAL, "ax": "other"}.get(label)
        kind = kind or (label if label in VOWELS_F1 else "other")
        phones.append(Phone(kind, start, float(end), label))
        start = float(end)
    return Spoken(voice, text, soxr.resample(wave, sampling, 48_000), _pauses_joined(phones))
