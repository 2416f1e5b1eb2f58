"""Cut-outs: transparent pictures with a size on paper, and how they are made from found pictures.

Comes in: found pictures made fit, uint8 (height, width, 3) sRGB; rough loops, points, strokes and lines in
pixels from the top left corner; sizes in millimetres. Goes out: pieces, uint8 (height, width, 4) sRGB with
straight alpha; cut lines in millimetres; mended pictures; a piece split at its joints. The same numbers make
the same bits.
"""
