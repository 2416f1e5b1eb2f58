"""The example film, *Exact Change*: a proud cup charges a cat in old coins.

Comes in: an empty place on disk. Goes out: a whole film folder, made of pictures that scikit-image carries,
of paper and sounds made by code, and of documents written by hand (``film/``). It is material for the studio,
not part of it: nothing else in the house depends on how these pictures are made.
"""

from splitpin.example.write import write

__all__ = ["write"]
