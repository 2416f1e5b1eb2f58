"""Cut-outs: transparent pictures with a size on paper.

Comes in: a picture's size in pixels and its width in millimetres. Goes out: what figures are made of.
"""
