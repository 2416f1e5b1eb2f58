"""Shooting on paper: what hands do for each exposure, the set-ups of the table, their order, and the hours.

Comes in: sheets. Goes out: set-ups with what they need, an order with few changes, seconds of work.
"""
