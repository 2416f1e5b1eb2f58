"""The exposure sheet: from what a scene says to one row per exposure.

Comes in: a scene, the figures of its cast, the picture's stage, rate and exposures. Goes out: a sheet of rows
(whole frames; millimetres and degrees on the table) and the faults found on the way. Everything else reads
rows; nobody recomputes a position.
"""
