"""What a person can ask for, one file each.

Comes in: a film folder's path and what is wanted of it. Goes out: what was made or found, as plain values. A
job joins load, work and save; it decides nothing about pictures.
"""
