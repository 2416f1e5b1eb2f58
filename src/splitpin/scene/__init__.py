"""Scenes: what a film-maker says about one set-up of the table.

Comes in: a document's values (millimetres, degrees, seconds). Goes out: the same, checked and frozen. What it
means in frames is the sheet's work.
"""
