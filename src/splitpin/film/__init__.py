"""The film: sheets cut into segments, each exposure shown by the best there is, and the sound track.

Comes in: exposure sheets, cut-outs' pictures, sounds. Goes out: pictures with how many frames each is held
(uint8 RGB and where it changed), keys that say what a segment depends on, and the mix (float32 at 48 kHz).
"""
