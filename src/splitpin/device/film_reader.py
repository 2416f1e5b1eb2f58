"""Reading the picture of any film file, frame after frame, reduced as it comes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple, NoReturn

import av
import numpy as np
from av.container import InputContainer
from av.error import FFmpegError
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Interpolation
from av.video.stream import VideoStream
from numpy.typing import NDArray

from splitpin.folder.mistake import FolderError

UNKNOWN = 2
"""An unspecified matrix (ITU-T H.273, table 4)."""
WEIGHTS = {1: (0.2126, 0.0722), 5: (0.299, 0.114), 6: (0.299, 0.114), 7: (0.212, 0.087), 9: (0.2627, 0.0593)}
"""Of red and of blue in luma, by the matrix's number (ITU-T H.273, table 4)."""
STANDARD_DEFINITION = 576
"""Lines up to which a film that names no matrix is taken for BT.601; common practice."""
MOST_PIXELS = 8192 * 8192
USUAL = Fraction(25)
READABLE = "a film: MP4, MOV, MKV, WebM, AVI, GIF or the like"


class FilmAhead(NamedTuple):
    """What a film file says of its picture, before it is read."""

    width: int
    height: int
    rate: Fraction
    """Frames a second, as far as the file tells; for what has no even rate, about so many."""
    frames: int
    """About how many; 0 where nothing is known."""


class ReadFrame(NamedTuple):
    """One frame."""

    time: Fraction
    """Seconds since the first, when it is shown."""
    lasts: Fraction
    """Seconds, as far as the file tells."""
    held: VideoFrame

    def small(self, width: int, height: int) -> NDArray[np.uint8]:
        """Reduced to so many pixels, each the mean of what it covers: uint8 (height, width, 3), sRGB."""
        frame = self.held
        if frame.format.is_rgb or frame.format.name.startswith(("gray", "pal8", "mono")):
            small = frame.reformat(width, height, "rgb24", interpolation=Interpolation.AREA)
            return np.asarray(small.to_ndarray(), np.uint8)
        # Turned into RGB here, not by the library, which rounds greys up or down by one or two.
        full = frame.color_range == ColorRange.JPEG or frame.format.name.startswith("yuvj")
        planes = frame.reformat(
            width, height, "yuvj444p" if full else "yuv444p", interpolation=Interpolation.AREA
        ).to_ndarray(channel_last=False)
        return rgb_of(np.asarray(planes, np.uint8), _weights(frame), full)


def rgb_of(planes: NDArray[np.uint8], weights: tuple[float, float], full: bool) -> NDArray[np.uint8]:
    """RGB of luma and two differences (ITU-T H.273, 8.3).

    Parameters
    ----------
    planes
        uint8 (3, height, width).
    weights
        Of red and of blue in luma.
    full
        Whether luma goes from 0 to 255, not from 16 to 235.

    Returns
    -------
    ndarray
        uint8 (height, width, 3).
    """
    red, blue = weights
    y, cb, cr = planes.astype(np.float32)
    y = y / 255 if full else (y - 16) / 219
    across = 255 if full else 224
    cb, cr = (cb - 128) / across, (cr - 128) / across
    r = y + 2 * (1 - red) * cr
    b = y + 2 * (1 - blue) * cb
    g = (y - red * r - blue * b) / (1 - red - blue)
    return np.asarray(np.rint(np.stack([r, g, b], axis=-1) * 255).clip(0, 255), np.uint8)


def _weights(frame: VideoFrame) -> tuple[float, float]:
    matrix = int(frame.colorspace)
    if matrix == UNKNOWN:
        matrix = 6 if frame.height <= STANDARD_DEFINITION else 1
    return WEIGHTS.get(matrix, WEIGHTS[1])


class FilmReader:
    """A film that is being read."""

    def __init__(self, where: str, film: InputContainer, stream: VideoStream, ahead: FilmAhead) -> None:
        self.ahead = ahead
        self._where, self._film, self._stream = where, film, stream

    def frames(self) -> Iterator[ReadFrame]:
        """Each frame in the order in which they are shown.

        Raises
        ------
        FolderError
            When the file is spoilt.
        """
        first: Fraction | None = None
        next_up, shape = Fraction(0), None
        usual = 1 / self.ahead.rate
        try:
            for frame in self._film.decode(self._stream):
                if shape not in (None, (frame.width, frame.height)):
                    _refuse(self._where, "its picture changes its size", "one size all along", "make it anew")
                shape = frame.width, frame.height
                base = frame.time_base or self._stream.time_base
                now = next_up if frame.pts is None or base is None else frame.pts * base - (first or 0)
                if first is None:
                    first, now = now, Fraction(0)
                # A time that does not go on is a slip of the file: the frame is shown all the same.
                now = max(now, next_up) if now < next_up - usual else now
                lasts = frame.duration * base if frame.duration and base is not None else usual
                yield ReadFrame(now, lasts, frame)
                next_up = now + lasts
        except (FFmpegError, ValueError) as problem:
            found = f"it cannot be read beyond {float(next_up):.2f} s ({_words(problem)})"
            _refuse(self._where, found, READABLE, "copy it anew, or make it again")
        if shape is None:
            _refuse(self._where, "no frame in it can be read", READABLE, "copy it anew, or make it again")


@contextmanager
def film_reader(path: Path, where: str = "") -> Iterator[FilmReader]:
    """Open a film file.

    Parameters
    ----------
    path
        The file.
    where
        What a person knows it by; the path when left out.

    Raises
    ------
    FolderError
        When it is not there, is no film, or has no picture.
    """
    where = where or str(path)
    if not path.is_file():
        _refuse(where, "a folder" if path.is_dir() else "nothing there", READABLE, "look at the name")
    try:
        container = av.open(str(path), metadata_errors="ignore")
    except (FFmpegError, OSError, ValueError) as problem:
        _refuse(where, f"no film that can be read ({_words(problem)})", READABLE, "look at what it is")
    with container:
        # A picture of the sleeve in a sound file is no film.
        streams = [s for s in container.streams.video if not s.disposition & s.disposition.attached_pic]
        if not streams:
            _refuse(where, "it has no picture", READABLE, "name a film")
        stream = streams[0]
        if not 0 < stream.width * stream.height <= MOST_PIXELS:
            size = f"a picture of {stream.width} x {stream.height}"
            _refuse(where, size, "at most 67 million pixels", "make it smaller")
        stream.thread_type = "AUTO"
        rate = stream.average_rate or stream.guessed_rate or USUAL
        lasts = container.duration or 0
        frames = stream.frames or round(lasts / 1_000_000 * rate)
        yield FilmReader(
            where, container, stream, FilmAhead(stream.width, stream.height, Fraction(rate), frames)
        )


def _words(problem: Exception) -> str:
    return str(getattr(problem, "strerror", None) or problem)


def _refuse(where: str, found: str, expected: str, remedy: str) -> NoReturn:
    raise FolderError(where, found, expected, remedy)
