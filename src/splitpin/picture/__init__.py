"""One found picture and what is known of it, and what makes a scan fit.

Comes in: pixels, uint8 (height, width, 3) sRGB. Goes out: the same kind, straight, cropped, with white paper
and black ink, printed dots smoothed into tones; and what was found: angles in degrees anticlockwise, places
and sizes in pixels (y down), how much real detail a picture holds.
"""
