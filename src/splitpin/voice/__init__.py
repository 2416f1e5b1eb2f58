"""Track reading: what the mouth of a cut-out does while a recorded voice is heard.

Comes in: a voice, float32 at 48 kHz, full scale ±1, shape ``(samples,)`` or ``(samples, channels)``, and its
words if somebody wrote them down. Goes out: the track, how the voice sounds every 10 ms (decibels, hertz, and
shares from 0 to 1); the reading, one mouth for each exposure (whole frames, a shape, an opening from 0 to 1);
and where each word lies (seconds). No files here.
"""
