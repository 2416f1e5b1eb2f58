"""How well mouths fit what is really said: seven numbers, each from 0 to 1 (the last two from -1).

All of them are pooled over a set of sentences. One frame (1/24 s) of grace on either side of a phone is given
where it says so: sound and sight are felt as one when the sound is 40 ms early to 200 ms late (Schwartz &
Savariaux 2014, abstract).

recalled
    Of all p, b and m, the share in whose time, with a frame of grace, an exposure shows the mouth shut. (The
    time of p and b is their closure where the truth tells it, the whole phone where it does not.)
pauses
    Of all exposures that lie wholly in a pause, the share that is shut.
false
    Of all exposures that touch no p, b, m or pause, with a frame of grace, the share that is shut.
false_of_shut
    Of all shut exposures that touch no pause, the share that touches no p, b or m, with a frame of grace.
onsets
    Of all ends of pauses and of p, b and m that something with open lips follows, the share with a change
    from shut to not shut within one exposure.
rank
    Spearman's rank correlation between the opening shown during a vowel, mean over its time, and the first
    formant of its class (Peterson & Barney 1952), over all vowels without a glide.
rank_apart
    The same without the vowels that are shut for half of their time or more: a vowel beside p, b or m loses
    to it, since an exposure shows one mouth only.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.stats import rankdata
from tests.spoken import LABIAL, PAUSE, VOWELS_F1, Phone, Spoken

from splitpin.voice.mouth import Mouth, Reading

RATE = Fraction(24)
ON = 2
GRACE = 1 / 24
EXPOSURE = ON / 24


class Scores(NamedTuple):
    """See above."""

    recalled: float
    pauses: float
    false: float
    false_of_shut: float
    onsets: float
    rank: float
    rank_apart: float

    def __str__(self) -> str:
        """One line of a table."""
        return "".join(f"{value:9.3f}" for value in self)


HEADER = "".join(
    f"{name:>9}" for name in ("recalled", "pauses", "false", "of shut", "onsets", "rank", "apart")
)


def scored(pairs: Iterable[tuple[Spoken, Reading]]) -> Scores:
    """The scores of some sentences together."""
    recalled: list[bool] = []
    pauses: list[bool] = []
    false: list[bool] = []
    beside: list[bool] = []
    onsets: list[bool] = []
    opening: list[float] = []
    formant: list[float] = []
    shut_share: list[float] = []
    for spoken, reading in pairs:
        exposures = reading.exposures()
        labials = [(p.start, p.end) for p in spoken.phones if p.kind == LABIAL]
        silences = [(p.start, p.end) for p in spoken.phones if p.kind == PAUSE]
        recalled += [
            any(m.shape == "shut" and _touches(m, [(a, b)], GRACE) for m in exposures) for a, b in labials
        ]
        for mouth in exposures:
            lo, hi = _seconds(mouth)
            shut = mouth.shape == "shut"
            if any(a <= lo and hi <= b for a, b in silences):
                pauses.append(shut)
            elif not _touches(mouth, silences, GRACE):
                labial = _touches(mouth, labials, GRACE)
                if not labial:
                    false.append(shut)
                if shut:
                    beside.append(not labial)
        changes = [now.frame / 24 for last, now in pairwise(exposures) if last.shape == "shut" != now.shape]
        for phone, after in pairwise(spoken.phones):
            if phone.kind in (LABIAL, PAUSE) and after.kind not in (LABIAL, PAUSE):
                at = bisect_left(changes, phone.end - EXPOSURE)
                onsets.append(at < len(changes) and changes[at] <= phone.end + EXPOSURE)
        for phone in spoken.phones:
            if phone.kind in VOWELS_F1:
                formant.append(VOWELS_F1[phone.kind])
                shown = [(_overlap(m, phone), m) for m in exposures]
                length = phone.end - phone.start
                opening.append(sum(share * m.opening for share, m in shown) / length)
                shut_share.append(sum(share for share, m in shown if m.shape == "shut") / length)
    a, b, c, d, e = (
        float(np.mean(hits)) if hits else 0.0 for hits in (recalled, pauses, false, beside, onsets)
    )
    apart = np.array(shut_share) < 0.5
    ranks = [_rank(np.array(opening)[k], np.array(formant)[k]) for k in (np.ones(len(apart), bool), apart)]
    return Scores(a, b, c, d, e, *ranks)


def _seconds(mouth: Mouth) -> tuple[float, float]:
    return mouth.frame / 24, (mouth.frame + mouth.frames) / 24


def _touches(mouth: Mouth, spans: list[tuple[float, float]], grace: float) -> bool:
    lo, hi = _seconds(mouth)
    return any(lo < b + grace and a - grace < hi for a, b in spans)


def _overlap(mouth: Mouth, phone: Phone) -> float:
    lo, hi = _seconds(mouth)
    return max(0.0, min(hi, phone.end) - max(lo, phone.start))


def _rank(shown: NDArray[np.float64], wanted: NDArray[np.float64]) -> float:
    if len(shown) < 3 or np.ptp(shown) == 0 or np.ptp(wanted) == 0:
        return 0.0
    return float(np.corrcoef(rankdata(shown), rankdata(wanted))[0, 1])
