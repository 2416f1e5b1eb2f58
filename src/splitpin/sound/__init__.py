"""Samples, cues in their places, loudness, and a kit of effects made from numbers.

Comes in: sources of stereo sound at 48 kHz (float32, full scale ±1, shape ``(samples, 2)``) and the places
where they are heard, in whole samples. Goes out: the mix, block by block, its loudness (LUFS, LU, dBTP: ITU-R
BS.1770, EBU Tech 3341 and 3342), and the mix brought to a target under a ceiling. No files and no codecs
here.
"""
