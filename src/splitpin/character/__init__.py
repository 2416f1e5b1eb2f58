"""Characters: cut-outs on pins.

Comes in: a character document, its measured cut-outs, and a pose (channels in millimetres, degrees and
ratios). Goes out: placed pieces, each with the map from its pixels (y down) to the table (mm, y up).
"""
