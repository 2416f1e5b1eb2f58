"""Making very many small values at once."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def unswept() -> Iterator[None]:
    """Pause the search for cyclic rubbish while rows are written.

    Rows are hundreds of thousands of small values that are all kept and hold no cycles; looking through them
    again and again for rubbish takes longer than making them.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
