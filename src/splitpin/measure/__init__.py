"""Exact small values: what all other rooms count and measure with.

Frames are whole numbers at a rational rate, seconds and samples are exact fractions or nearest whole samples;
lengths are millimetres on the table (y up) or pixels (y down, corner origin); angles are degrees
anticlockwise; light is linear where it is added.
"""
