"""Time code: the label of a frame, hours:minutes:seconds:frames.

Drop-frame labels (with ``;`` before the frames) leave out the first two labels of every minute but each tenth
(four at 60000/1001), so that the labels keep up with the clock. No frame is ever left out. After SMPTE
ST 12-1.
"""

from __future__ import annotations

import re
from fractions import Fraction

LABEL = re.compile(r"([0-9]{2}):([0-9]{2}):([0-9]{2})([:;])([0-9]{2})")
PULLED_DOWN = Fraction(1000, 1001)
DROPPED = {Fraction(30000, 1001): 2, Fraction(60000, 1001): 4}
"""How many labels a minute leaves out, at the rates that have drop-frame labels at all."""


def label_of(frame: int, rate: Fraction, *, drop: bool = False) -> str:
    """The time code label of a frame.

    Parameters
    ----------
    frame
        The frame, counted from 0; the labels begin again after 24 hours.
    rate
        Frames a second: a whole number up to 99, or one × 1000/1001.
    drop
        Drop-frame labels.

    Raises
    ------
    ValueError
        When the frame is below 0, or the rate has no such labels.

    Examples
    --------
    >>> label_of(1800, Fraction(30000, 1001), drop=True)
    '00:01:00;02'
    """
    base = frames_in_label(rate)
    if frame < 0:
        raise ValueError(f"frame {frame} has no time code; expected 0 or more")
    if drop:
        frame += _left_out_before(frame, base, _dropped(rate))
    seconds, frames = divmod(frame, base)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours % 24:02}:{minutes:02}:{seconds:02}{';' if drop else ':'}{frames:02}"


def frame_of(label: str, rate: Fraction) -> int:
    """The frame that a time code label belongs to, within 24 hours.

    Parameters
    ----------
    label
        ``HH:MM:SS:FF``, or ``HH:MM:SS;FF`` for drop-frame.
    rate
        Frames a second.

    Raises
    ------
    ValueError
        When the label is not written as one, does not exist at this rate, or is one of those left out.

    Examples
    --------
    >>> frame_of("00:10:00;00", Fraction(30000, 1001))
    17982
    """
    base = frames_in_label(rate)
    found = LABEL.fullmatch(label)
    if found is None:
        raise ValueError(f"{label!r} is not a time code; expected HH:MM:SS:FF, or HH:MM:SS;FF for drop-frame")
    hours, minutes, seconds, frames = (int(found[i]) for i in (1, 2, 3, 5))
    if hours > 23 or minutes > 59 or seconds > 59 or frames >= base:
        raise ValueError(
            f"{label!r} does not exist; expected up to 23:59:59{found[4]}{base - 1:02} at this rate"
        )
    whole_minutes = 60 * hours + minutes
    frame = (60 * whole_minutes + seconds) * base + frames
    if found[4] == ":":
        return frame
    drop = _dropped(rate)
    if minutes % 10 and seconds == 0 and frames < drop:
        first = f"{label[:9]}{drop:02}"
        raise ValueError(
            f"{label!r} is one of the labels that drop-frame leaves out; expected {first} or later"
        )
    return frame - drop * (whole_minutes - whole_minutes // 10)


def before(label: str, frames: int, rate: Fraction) -> str:
    """The label of the frame so many frames before another; before midnight comes the end of the day.

    Examples
    --------
    >>> before("01:00:00:00", 240, Fraction(24))
    '00:59:50:00'
    """
    drop = ";" in label
    # Each ten minutes leave out nine times as many labels as a minute does.
    day = 24 * 3600 * frames_in_label(rate) - (24 * 6 * 9 * _dropped(rate) if drop else 0)
    return label_of((frame_of(label, rate) - frames) % day, rate, drop=drop)


def frames_in_label(rate: Fraction) -> int:
    """How many frame labels a second has: 24 at 24000/1001.

    Raises
    ------
    ValueError
        When the rate has no time code.
    """
    for base in (rate, rate / PULLED_DOWN):
        if base.denominator == 1 and 1 <= base <= 99:
            return int(base)
    raise ValueError(f"{rate} has no time code; expected a whole rate up to 99, or one × 1000/1001")


def _dropped(rate: Fraction) -> int:
    if rate not in DROPPED:
        raise ValueError(
            f"{rate} has no drop-frame labels; expected one of {', '.join(str(known) for known in DROPPED)}"
        )
    return DROPPED[rate]


def _left_out_before(frame: int, base: int, drop: int) -> int:
    minute = 60 * base - drop
    tens, rest = divmod(frame, 10 * minute + drop)
    # The first minute of ten keeps all its labels, so it is longer by `drop` frames.
    return 9 * drop * tens + drop * max(0, (rest - drop) // minute)
