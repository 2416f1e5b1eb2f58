"""The table under the camera: where it is, what lies on it, and how it is lit.

Comes in: pictures of the table (uint8), rows of the sheet, the stand. Goes out: the map between the camera's
pixels and millimetres, the place and angle of each piece, faults, light and focus over the field.
"""
