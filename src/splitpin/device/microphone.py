"""The microphone of this computer.

It is heard through the library ``sounddevice`` where that is installed, else through what the film library
can open here: PulseAudio or ALSA on Linux, AVFoundation on a Mac.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator

import av
import numpy as np

from splitpin.sound.source import SAMPLING, Sound, SoundError

OPENINGS = {"linux": (("pulse", "default"), ("alsa", "default")), "darwin": (("avfoundation", ":0"),)}
"""Input formats and devices to try, by system."""


class Microphone:
    """Records from the microphone that the system takes for the usual one."""

    def record(self, seconds: float) -> Iterator[Sound]:
        """What is heard for so many seconds, block by block, at 48 kHz on both sides.

        Raises
        ------
        SoundError
            When there is no microphone, or none that may be used.
        """
        try:
            device = importlib.import_module("sounddevice")
        except (ImportError, OSError):  # the second where the system has no library for it
            yield from _by_film_library(seconds)
            return
        block = SAMPLING // 10
        try:
            with device.InputStream(samplerate=SAMPLING, channels=1, dtype="float32") as stream:
                for start in range(0, round(seconds * SAMPLING), block):
                    heard, _ = stream.read(min(block, round(seconds * SAMPLING) - start))
                    yield np.repeat(np.asarray(heard, dtype=np.float32), 2, axis=1)
        except device.PortAudioError as problem:
            raise _none(str(problem)) from problem


def _by_film_library(seconds: float) -> Iterator[Sound]:
    why = "nothing to hear it through"
    for form, name in OPENINGS.get(sys.platform, ()):
        try:
            source = av.open(name, format=form, mode="r")
        except (OSError, ValueError) as problem:  # what cannot be opened, what this build does not know
            why = str(problem)
            continue
        with source:
            left = round(seconds * SAMPLING)
            resampler = av.AudioResampler(format="flt", layout="stereo", rate=SAMPLING)
            for frame in source.decode(audio=0):
                for out in resampler.resample(frame):
                    block = out.to_ndarray().reshape(-1, 2)[:left].astype(np.float32)
                    left -= len(block)
                    yield block
                if left <= 0:
                    return
        return
    raise _none(why)


def _none(why: str) -> SoundError:
    return SoundError(
        "microphone",
        f"no microphone that can be used ({why})"[:300],
        "one that is plugged in and may be used",
        "allow it in the system's settings, or `pip install sounddevice`; or bring a file recorded elsewhere",
    )
