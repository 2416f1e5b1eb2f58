"""The edge of the house: codecs.

Comes in: bytes and files of pictures, sounds and films. Goes out: arrays (pictures uint8 sRGB with straight
alpha, sounds float32 at 48 kHz) and, the other way, PNG, WAV and MP4 files, written beside and renamed.
"""
