"""Frames: from rows of the sheet to pixels.

Comes in: rows (placed pieces, mm on the table), the view, cut-outs' pictures (uint8 straight-alpha sRGB), the
paper look. Goes out: frames, uint8 (height, width, 3), sRGB, with the rectangles that changed; and the planes
a film is encoded from. In between everything is linear light, premultiplied, 16 bits a channel.
"""
